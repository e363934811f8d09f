//! Every kind of picture, as the program draws it: type that can be read, ink
//! that can be seen, a sheet of its width, sound XML; an eclipse is told, and a
//! night without a window tells the rule that leaves none.

use crate::program;

use program::Run;
use rakelight::chart::Size;
use resvg::usvg::roxmltree::{Document, Node};
use std::collections::HashSet;

/// A kind of picture, and its arguments; `SITE`, `NIGHT` and `TIME` stand for
/// those of a case.
struct Kind {
    name: &'static str,
    arguments: &'static str,
    /// Whether it says which rule leaves its night without a window.
    tells_why_none: bool,
    /// Whether it shows any number of views of a place.
    shows_views: bool,
}

impl Kind {
    /// Whether it is of one night.
    fn has_night(&self) -> bool {
        self.arguments.contains("NIGHT") || self.arguments.contains("TIME")
    }
}

const KINDS: [Kind; 6] = [
    Kind {
        name: "frame",
        arguments: "SITE --time TIME",
        tells_why_none: true,
        shows_views: true,
    },
    Kind {
        name: "season",
        arguments: "SITE --from 2027-03-01 --to 2027-06-30",
        tells_why_none: false,
        shows_views: true,
    },
    Kind {
        name: "night",
        arguments: "SITE --on NIGHT",
        tells_why_none: true,
        shows_views: true,
    },
    Kind {
        name: "skyline",
        arguments: "SITE --on NIGHT",
        tells_why_none: false,
        shows_views: true,
    },
    Kind {
        name: "cluster",
        arguments: "SITE --on NIGHT",
        tells_why_none: true,
        shows_views: true,
    },
    Kind {
        name: "year",
        arguments: "SITE --from 2027-01-01 --to 2027-12-31",
        tells_why_none: false,
        shows_views: false,
    },
];

/// A place, an evening, an instant of its night, and rules.
type Case = (&'static str, &'static str, &'static str, &'static str);

/// Nights of every kind, and hard places.
const CASES: [Case; 15] = [
    (
        "demo-sites/tinaja-mesa.toml",
        "2027-05-29",
        "2027-05-30T03:45",
        "",
    ),
    (
        "demo-sites/saltbush-tank.toml",
        "2027-07-09",
        "2027-07-09T22:12",
        "",
    ),
    (
        "demo-sites/saltbush-tank.toml",
        "2027-08-17",
        "2027-08-17T18:10",
        "--target moon",
    ),
    (
        "demo-sites/gratalm-hut.toml",
        "2027-05-11",
        "2027-05-12T03:44",
        "--light blend",
    ),
    (
        "demo-sites/witkopje-pan.toml",
        "2027-07-06",
        "2027-07-06T23:30",
        "--light dark",
    ),
    (
        "demo-sites/quillon-slip.toml",
        "2027-03-27",
        "2027-03-28T03:30",
        "",
    ),
    (
        "demo-sites/gannet-steps.toml",
        "2027-04-03",
        "2027-04-03T23:00",
        "",
    ),
    (
        "demo-sites/storvarden-cairn.toml",
        "2027-06-21",
        "2027-06-22T00:30",
        "",
    ),
    (
        "demo-sites/storvarden-cairn.toml",
        "2027-01-12",
        "2027-01-12T17:20",
        "",
    ),
    (
        "demo-sites/candlenut-cay.toml",
        "2027-08-06",
        "2027-08-06T20:58",
        "",
    ),
    (
        "demo-sites/molle-bend.toml",
        "2027-10-03",
        "2027-10-03T22:26",
        "",
    ),
    (
        "demo-sites/tamarisk-halt.toml",
        "2027-06-27",
        "2027-06-28T01:28",
        "",
    ),
    (
        "--place=89.9,0 --facing 180",
        "2027-01-05",
        "2027-01-05T12:00",
        "--light any",
    ),
    (
        "--place=-90,0,2800 --time-zone UTC --facing 10",
        "2027-06-20",
        "2027-06-20T12:00",
        "--light any",
    ),
    (
        "--place=1.87,-157.4 --time-zone Pacific/Kiritimati --facing arch",
        "2027-12-31",
        "2028-01-01T01:00",
        "--light dark",
    ),
];

/// Places of these cases with several views.
const SEVERAL_VIEWS: [&str; 3] = [
    "demo-sites/candlenut-cay.toml",
    "demo-sites/molle-bend.toml",
    "demo-sites/tamarisk-halt.toml",
];

/// What is printed on paper, and what a phone shows in the dark.
const LOOKS: [(&str, &str, Size); 2] = [("light", "a4", Size::A4), ("dark", "phone", Size::Phone)];

/// The picture as the program draws it.
fn drawn(kind: &Kind, case: &Case, paper: &str, size: &str) -> String {
    let (site, night, time, rules) = case;
    let mut arguments = vec!["chart", kind.name];
    for part in kind.arguments.split(' ') {
        match part {
            "SITE" => arguments.extend(site.split(' ')),
            "NIGHT" => arguments.push(night),
            "TIME" => arguments.push(time),
            part => arguments.push(part),
        }
    }
    if kind.has_night() {
        arguments.extend(rules.split(' ').filter(|rule| !rule.is_empty()));
    }
    arguments.extend(["--paper", paper, "--size", size]);
    let ended = Run::here().of(&arguments);
    assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
    ended.out
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("no {name}"));
    text.parse().expect("a number")
}

fn elements<'a, 'i>(svg: &'a Document<'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    svg.descendants().filter(|node| node.is_element())
}

fn texts<'a, 'i>(svg: &'a Document<'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    elements(svg).filter(|node| {
        node.has_tag_name(("http://www.w3.org/2000/svg", "text"))
            && node.attribute("aria-hidden").is_none()
    })
}

/// All that can be read on a picture.
fn words(svg: &Document<'_>) -> String {
    let words: Vec<&str> = texts(svg).filter_map(|node| node.text()).collect();
    words.join(" ")
}

/// Relative luminance of a grey, WCAG 2.2.
fn luminance(color: &str) -> f64 {
    let level = color.strip_prefix('#').and_then(|hex| hex.get(..2));
    let level = u8::from_str_radix(level.expect("a grey"), 16).expect("a level");
    let c = f64::from(level) / 255.0;
    if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn check(text: &str, size: Size, what: &str) {
    let svg = Document::parse(text).unwrap_or_else(|error| panic!("{what}: {error}"));
    let root = svg.root_element();
    let width = number(root, "width");
    assert!((width - size.width()).abs() < 0.01, "{what}: {width} wide");
    let view: Vec<f64> = root
        .attribute("viewBox")
        .expect("a view box")
        .split(' ')
        .map(|part| part.parse().expect("a number"))
        .collect();
    assert_eq!(view, [0.0, 0.0, width, number(root, "height")], "{what}");

    let mut ids = HashSet::new();
    for node in elements(&svg) {
        if let Some(id) = node.attribute("id") {
            assert!(ids.insert(id), "{what}: {id} twice");
        }
    }
    for node in elements(&svg) {
        for attribute in node.attributes() {
            let value = attribute.value();
            let pointed = value
                .strip_prefix("url(#")
                .map(|id| id.trim_end_matches(')'));
            let named = (attribute.name() == "aria-labelledby").then(|| value.split(' '));
            for id in pointed.into_iter().chain(named.into_iter().flatten()) {
                assert!(ids.contains(id), "{what}: {id} is nowhere");
            }
        }
    }
    for picture in elements(&svg).filter(|node| node.attribute("role") == Some("img")) {
        for name in ["title", "desc"] {
            let child = picture
                .children()
                .find(|child| child.tag_name().name() == name);
            let text = child.and_then(|child| child.text()).unwrap_or_default();
            assert!(!text.trim().is_empty(), "{what}: no {name}");
        }
    }

    let paper = elements(&svg)
        .find(|node| node.tag_name().name() == "rect" && node.attribute("fill").is_some())
        .and_then(|node| node.attribute("fill"))
        .expect("a ground");
    for node in texts(&svg) {
        let read = node.text().unwrap_or_default();
        let type_size = number(node, "font-size");
        assert!(
            type_size >= size.least_type() - 0.01,
            "{what}: {read:?} is set in {type_size}"
        );
        let ink = node.attribute("fill").expect("an ink");
        assert!(
            contrast(ink, paper) >= 4.5,
            "{what}: {read:?} in {ink} on {paper}"
        );
    }
    for node in elements(&svg).filter(|node| node.attribute("aria-hidden").is_none()) {
        let ink = node.attribute("stroke").filter(|ink| ink.starts_with('#'));
        // A line in the grey of the paper keeps two marks apart.
        if let Some(ink) = ink.filter(|ink| *ink != paper) {
            assert!(
                contrast(ink, paper) >= 3.0,
                "{what}: a line in {ink} on {paper}"
            );
        }
    }
}

#[test]
fn every_picture_can_be_read() {
    let cases: Vec<(&Kind, &Case, usize)> = KINDS
        .iter()
        .flat_map(|kind| {
            CASES
                .iter()
                .enumerate()
                .map(move |(at, case)| (kind, case, at))
        })
        .filter(|(kind, case, _)| kind.shows_views || !SEVERAL_VIEWS.contains(&case.0))
        // A season has no night, so one of each place is enough.
        .filter(|(kind, case, at)| {
            kind.has_night() || CASES.iter().position(|other| other.0 == case.0) == Some(*at)
        })
        .collect();
    on_all_cores(&cases, |(kind, case, _)| {
        for (paper, size, width) in LOOKS {
            let text = drawn(kind, case, paper, size);
            check(
                &text,
                width,
                &format!("{} {case:?} {paper} {size}", kind.name),
            );
        }
    });
}

/// Does the same for each of several things, on all cores.
fn on_all_cores<T: Sync>(things: &[T], work: impl Fn(&T) + Sync) {
    let next = std::sync::atomic::AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(thing) =
                    things.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed))
                {
                    work(thing);
                }
            });
        }
    });
}

/// Nights with an eclipse of the Moon above the horizon, with an instant at
/// which it goes on.
const ECLIPSES: [Case; 5] = [
    (
        "demo-sites/tinaja-mesa.toml",
        "2026-03-02",
        "2026-03-03T04:34",
        "--light any",
    ),
    (
        "demo-sites/tinaja-mesa.toml",
        "2029-06-25",
        "2029-06-25T21:30",
        "--light any",
    ),
    (
        "demo-sites/saltbush-tank.toml",
        "2028-12-31",
        "2029-01-01T03:22",
        "--light any",
    ),
    (
        "demo-sites/gratalm-hut.toml",
        "2029-12-20",
        "2029-12-20T23:42",
        "--light any",
    ),
    (
        "demo-sites/witkopje-pan.toml",
        "2028-07-06",
        "2028-07-06T20:20",
        "--light any",
    ),
];

#[test]
fn an_eclipse_is_told() {
    for kind in KINDS.iter().filter(|kind| kind.has_night()) {
        for case in &ECLIPSES {
            for (paper, size, width) in LOOKS {
                let what = format!("{} {case:?} {paper} {size}", kind.name);
                let text = drawn(kind, case, paper, size);
                check(&text, width, &what);
                let svg = Document::parse(&text).expect("well formed");
                // In totality the Moon has no lit part.
                let total = words(&svg).contains("now total");
                assert!(!total || !text.contains("\"moon-lit\""), "{what}");
                assert!(
                    words(&svg).to_lowercase().contains("eclipse"),
                    "{what}: {}",
                    words(&svg)
                );
            }
        }
    }
}

/// What a night says on which it never gets dark.
const SUN: &str = "No window: the Sun never sinks below -18°";

/// Nights whose rules leave no window, and the one that fails.
const WITHOUT: [(Case, &str); 4] = [
    (
        (
            "demo-sites/tinaja-mesa.toml",
            "2027-05-20",
            "2027-05-21T01:00",
            "",
        ),
        "No raking window: the Moon is lit too much or too little (--moon-fraction)",
    ),
    (
        (
            "demo-sites/quillon-slip.toml",
            "2027-06-20",
            "2027-06-21T01:00",
            "",
        ),
        SUN,
    ),
    (
        (
            "demo-sites/saltbush-tank.toml",
            "2027-12-20",
            "2027-12-21T01:00",
            "--light dark",
        ),
        "No dark window: the core is too low or too high (--target-altitude)",
    ),
    (
        (
            "demo-sites/storvarden-cairn.toml",
            "2027-06-21",
            "2027-06-22T00:30",
            "",
        ),
        SUN,
    ),
];

#[test]
fn a_night_without_a_window_says_why() {
    for kind in KINDS.iter().filter(|kind| kind.tells_why_none) {
        for (case, why) in &WITHOUT {
            for (paper, size, width) in LOOKS {
                let what = format!("{} {case:?} {paper} {size}", kind.name);
                let text = drawn(kind, case, paper, size);
                check(&text, width, &what);
                let svg = Document::parse(&text).expect("well formed");
                let words = words(&svg);
                // Where the Sun is the reason, nights in a row name the rule.
                let rule = "No raking window: the Sun is not low enough (--sun-altitude)";
                let in_a_row = kind.name == "cluster" && *why == SUN && words.contains(rule);
                assert!(
                    in_a_row || words.contains(why),
                    "{what}: {why:?} is not in {words:?}"
                );
            }
        }
    }
}

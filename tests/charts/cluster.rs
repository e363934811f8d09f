//! Neighbouring evenings against the numbers: rows and strokes are read back from
//! the SVG.

use crate::common::svg;
use crate::program;

use chrono::{NaiveDate, NaiveTime};
use program::{Folder, Run};
use rakelight::{
    Moment,
    chart::{ClusterChart, Look, Palette, Picture, Size},
    input::read_sites,
    rule::{Brief, Rules},
    scene::{Dates, Site},
    search::{NightHours, Season, SitePlanners},
};
use std::path::Path;
use svg::{attribute, number, points, tag, tags};

fn demo(name: &str) -> Site {
    let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut read = read_sites(Path::new(&path)).expect("the demo site");
    read.next().expect("one site").expect("a sound site")
}

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date in the test")
}

fn draw(
    name: &str,
    light: &str,
    [from, to]: [&str; 2],
    size: Size,
) -> (SitePlanners, Vec<NightHours>, Picture) {
    let site = demo(name);
    let mut brief = Brief::default();
    brief.set("light", light).expect("a kind of light");
    let brief = brief.or(&Brief::of_site(&site));
    let rules = Rules::of_kinds(&brief, &site).expect("rules");
    let season = Season::new(Dates::new(day(from), day(to)).expect("dates"));
    let planners = season.site_planners(site, rules).expect("planners");
    let nights = planners.hours();
    let picture = ClusterChart {
        site: planners.site(),
        rules: planners.first().rules(),
        kinds: planners.kinds(),
        nights: &nights,
    }
    .draw(Look::new(Palette::Light, size));
    (planners, nights, picture)
}

#[test]
fn each_evening_has_its_lanes_and_windows_at_their_hours() {
    for (name, light, dates) in [
        ("tinaja-mesa", "raking", ["2027-05-27", "2027-05-31"]),
        ("witkopje-pan", "blend", ["2027-07-05", "2027-07-10"]),
        ("saltbush-tank", "raking,dark", ["2027-07-06", "2027-07-14"]),
    ] {
        for size in [Size::A4, Size::Phone] {
            let (planners, nights, picture) = draw(name, light, dates, size);
            let axes = tag(&picture.svg, "data-axes=\"cluster\"");
            let [left, right] = ["data-left", "data-right"].map(|edge| number(axes, edge));
            let [first, last] = ["data-from-hour", "data-to-hour"].map(|edge| number(axes, edge));
            let hour = |x: f64| first + (last - first) * (x - left) / (right - left);
            let clock = |night: NaiveDate, seconds: f64| {
                let local = planners.site().zone.local(Moment::from_seconds(seconds));
                (local - night.and_time(NaiveTime::MIN)).num_seconds() as f64 / 3600.0
            };
            let close = 1.5 / 60.0;
            let mut lane_y = f64::NEG_INFINITY;
            let mut strokes = 0;
            for night in &nights {
                let date = night.night.date;
                let own = |mark: &str| -> Vec<&str> {
                    let of_night = format!("data-night=\"{date}\"");
                    let all = tags(&picture.svg, mark).into_iter();
                    all.filter(|tag| tag.contains(&of_night)).collect()
                };
                for (mark, held) in [
                    ("data-lane=\"dark\"", &night.dark),
                    ("data-lane=\"target\"", &night.target),
                    ("data-lane=\"moon\"", &night.moon_up),
                ] {
                    let shown = held.as_slice().iter().filter(|period| {
                        clock(date, period.start) < last && clock(date, period.end) > first
                    });
                    let shown: Vec<_> = shown.collect();
                    let drawn = own(mark);
                    assert_eq!(drawn.len(), shown.len(), "{name} {date} {mark}");
                    for (line, period) in drawn.iter().zip(shown) {
                        let ends = points(attribute(line, "d"));
                        let from = clock(date, period.start).max(first);
                        let to = clock(date, period.end).min(last);
                        assert!((hour(ends[0].0) - from).abs() < close, "{date} {mark}");
                        assert!((hour(ends[1].0) - to).abs() < close, "{date} {mark}");
                    }
                }
                // Evenings stand in order, one below the other.
                let dark = points(attribute(own("data-lane=\"dark\"")[0], "d"))[0].1;
                assert!(dark > lane_y + 50.0, "{date}");
                lane_y = dark;
                let periods: Vec<_> = night
                    .windows
                    .iter()
                    .flat_map(|window| {
                        let land = window.land.as_ref().map(|land| ("moonlit", land.interval));
                        [("window", window.interval)].into_iter().chain(land)
                    })
                    .collect();
                let drawn = own("data-stroke=");
                assert_eq!(drawn.len(), periods.len(), "{name} {date}");
                for (stroke, (mark, period)) in drawn.iter().zip(periods) {
                    let ends = points(attribute(stroke, "d"));
                    assert_eq!(attribute(stroke, "data-stroke"), mark);
                    assert!((hour(ends[0].0) - clock(date, period.start)).abs() < close);
                    assert!((hour(ends[1].0) - clock(date, period.end)).abs() < close);
                    strokes += 1;
                }
                for window in &night.windows {
                    let at = clock(date, window.best.moment().seconds());
                    let notches = tags(&picture.svg, &format!("data-best=\"{date}\""));
                    let near = |notch: &&str| {
                        (hour(points(attribute(notch, "d"))[0].0) - at).abs() < close
                    };
                    assert!(notches.iter().any(near), "{date}");
                }
            }
            assert!(strokes > 2, "{name}");
        }
    }
}

/// The answer is that of `scan --spare`: the best evening, and the best of the
/// later ones.
#[test]
fn the_answer_names_the_evenings_of_the_scan() {
    let (planners, nights, picture) = draw(
        "tinaja-mesa",
        "raking",
        ["2027-05-27", "2027-05-31"],
        Size::A4,
    );
    let windows = planners.windows();
    let best = &windows[0];
    let spares = rakelight::spare_nights(&[best], &windows, 5);
    let spare = spares[0]
        .spares
        .iter()
        .max_by(|a, b| a.score.total_cmp(&b.score));
    let spare = spare.expect("a spare");
    let words: Vec<&str> = picture
        .labels
        .iter()
        .map(|label| label.text.as_str())
        .collect();
    let name = |night: NaiveDate| night.format("%a %-d %b").to_string();
    assert!(
        words[1].starts_with(&format!("Best {} ", name(best.night))),
        "{words:?}"
    );
    assert!(
        words[1].contains(&format!("; spare {} ", name(spare.night))),
        "{words:?}"
    );
    assert!(
        words.iter().any(|text| text.ends_with("weekend: best")),
        "{words:?}"
    );
    // An evening without a window has its rule.
    let without = nights
        .iter()
        .filter(|night| night.windows.is_empty())
        .count();
    assert_eq!(without, 2);
    let no_window = |text: &&&str| text.starts_with("No raking window: ");
    assert_eq!(words.iter().filter(no_window).count(), without);
}

/// Where no good evening follows the best, that before it is marked; of several
/// kinds of light the answer tells which.
#[test]
fn the_kinds_and_the_evening_before_are_told() {
    let dates = ["2027-07-28", "2027-08-07"];
    let (_, nights, picture) = draw("saltbush-tank", "raking,dark,blend", dates, Size::A4);
    let says = |text: &str| picture.labels.iter().any(|label| label.text == text);
    assert!(says("Fri 6 Aug, weekend: best"));
    assert!(says("Wed 28 Jul: best of those before it"));
    assert!(says("The best is raking, the one before it blend."));
    assert!(nights.iter().any(|night| night.windows.is_empty()));
    let labels = picture.labels.iter().map(|label| &label.text);
    let none: Vec<_> = labels.filter(|text| text.starts_with("No ")).collect();
    assert!(none.iter().all(|text| text.ends_with("; no other either")));
}

#[test]
fn evenings_are_those_around_the_date_or_as_many_as_asked_for() {
    let folder = Folder::new();
    let mesa = format!("{}/demo-sites/tinaja-mesa.toml", env!("CARGO_MANIFEST_DIR"));
    let nights = |more: &[&str]| {
        let line = ["chart", "cluster", &mesa, "--on", "2027-05-29", "--quiet"];
        let ended = Run::at(&folder).of(&[&line, more].concat());
        assert_eq!(ended.code, 0, "{}", ended.err);
        tags(&ended.out, "data-lane=\"dark\"")
            .iter()
            .map(|lane| attribute(lane, "data-night").to_owned())
            .collect::<Vec<_>>()
    };
    let run = ["27", "28", "29", "30", "31"].map(|day| format!("2027-05-{day}"));
    assert_eq!(nights(&[]), run);
    assert_eq!(nights(&["--nights", "3"]), run[1..4]);
    let seven = nights(&["--nights", "7"]);
    assert_eq!((seven.len(), seven[3].as_str()), (7, "2027-05-29"));
}

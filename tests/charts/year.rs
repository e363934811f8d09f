//! Nights by date and hour against the numbers: coordinates are read back from
//! the SVG, and what a picture refuses is answered by its remedy.

use crate::common::svg;
use crate::program;

use chrono::{Days, NaiveDate, NaiveTime};
use program::{Folder, Run};
use rakelight::{
    chart::{Look, Palette, Size, YearChart},
    ephemeris::EventKind,
    input::read_sites,
    rule::{Brief, Rules},
    scene::{Dates, Site, Zone},
    search::{NightHours, NightSeries, Planner, Season, SitePlanners},
    why::WouldAdd,
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

fn planners(site: &Site, light: &str, from: &str, to: &str) -> SitePlanners {
    let mut brief = Brief::default();
    brief.set("light", light).expect("a kind of light");
    let brief = brief.or(&Brief::of_site(site));
    let rules = Rules::of_kinds(&brief, site).expect("rules");
    let season = Season::new(Dates::new(day(from), day(to)).expect("dates"));
    season.site_planners(site.clone(), rules).expect("planners")
}

/// A drawn year: the picture and what it was drawn from.
struct Drawn {
    planners: SitePlanners,
    nights: Vec<NightHours>,
    would_add: Vec<WouldAdd>,
    svg: String,
}

impl Drawn {
    fn of(site: &Site, light: &str, from: &str, to: &str, size: Size) -> Self {
        let planners = planners(site, light, from, to);
        let nights = planners.hours();
        let leading = planners.first();
        let advice = leading.study().map(|study| leading.advice(&study));
        let would_add = advice
            .as_ref()
            .map_or_else(Vec::new, |advice| leading.would_add(advice));
        let svg = YearChart {
            site,
            rules: leading.rules(),
            kinds: planners.kinds(),
            dates: leading.dates(),
            nights: &nights,
            advice: advice.as_ref(),
            would_add: &would_add,
            on_a_sheet: 1,
        }
        .draw(Look::new(Palette::Light, size))
        .svg;
        Self {
            planners,
            nights,
            would_add,
            svg,
        }
    }

    fn planner(&self) -> &Planner {
        self.planners.first()
    }

    /// The evening and the hour of a point in the only panel.
    fn at(&self, (x, y): (f64, f64)) -> (NaiveDate, f64) {
        let axes = tag(&self.svg, "data-axes=\"year\"");
        let across = (x - number(axes, "x")) / number(axes, "width");
        let down = (y - number(axes, "y")) / number(axes, "height");
        let (night, hour) = match attribute(axes, "data-dates-run") {
            "down" => (down, across),
            _ => (across, down),
        };
        let from = number(axes, "data-from-hour");
        let hour = from + hour * (number(axes, "data-to-hour") - from);
        let night = night * number(axes, "data-nights");
        let date = day(attribute(axes, "data-first")) + Days::new(night.floor() as u64);
        // A mark stands in the middle of its night's strip.
        assert!((night - night.floor() - 0.5).abs() < 0.02, "{night}");
        (date, hour)
    }

    /// The hour of the wall clock, counted by this test alone.
    fn hour(&self, evening: NaiveDate, seconds: f64) -> f64 {
        let moment = rakelight::Moment::from_seconds(seconds);
        let local = self.planner().site().zone.local(moment);
        (local - evening.and_time(NaiveTime::MIN)).num_seconds() as f64 / 3600.0
    }
}

/// Two minutes of the clock: what two decimals of a pixel allow, and more.
const CLOSE: f64 = 2.0 / 60.0;

#[test]
fn each_window_has_its_stroke_at_its_evening_and_hours() {
    for (name, light, size) in [
        ("tinaja-mesa", "raking", Size::A4),
        ("tinaja-mesa", "raking", Size::Phone),
        ("saltbush-tank", "dark", Size::Phone),
        ("witkopje-pan", "blend", Size::A4),
        ("storvarden-cairn", "raking,dark", Size::A4),
    ] {
        let drawn = Drawn::of(&demo(name), light, "2027-01-01", "2027-12-31", size);
        // A window over a change of the clocks has two strokes: see below.
        let zone = drawn.planner().site().zone;
        let moved = |night: NaiveDate| {
            let night = drawn.planner().night(night).expect("a night");
            !zone.offset_changes(night.start, night.end).is_empty()
        };
        let mut expected = Vec::new();
        for window in drawn.planners.windows() {
            let mut add = |mark, interval: rakelight::Interval| {
                if moved(window.night) {
                    return;
                }
                expected.push((
                    window.night.to_string(),
                    mark,
                    drawn.hour(window.night, interval.start),
                    drawn.hour(window.night, interval.end),
                    format!("{:.2}", window.score),
                ));
            };
            add("window", window.interval);
            if let Some(land) = &window.land {
                add("moonlit", land.interval);
            }
        }
        assert!(expected.len() > 20, "{name}");
        let mut strokes = tags(&drawn.svg, "data-stroke=");
        strokes.retain(|stroke| !moved(day(attribute(stroke, "data-night"))));
        for (night, mark, from, to, score) in &expected {
            let fits = |stroke: &&str| {
                let ends = points(attribute(stroke, "d"));
                let ((first, begins), (last, stops)) = (drawn.at(ends[0]), drawn.at(ends[1]));
                attribute(stroke, "data-stroke") == *mark
                    && first.to_string() == *night
                    && first == last
                    && (begins - from).abs() < CLOSE
                    && (stops - to).abs() < CLOSE
                    && attribute(stroke, "data-score") == score
            };
            let at = strokes.iter().position(fits);
            let at = at.unwrap_or_else(|| panic!("{name}: no stroke for {night} {from}-{to}"));
            strokes.remove(at);
        }
        assert!(strokes.is_empty(), "{name}: strokes of no window");
    }
}

#[test]
fn night_lines_and_combs_stand_at_the_events_of_each_night() {
    let site = demo("witkopje-pan");
    for size in [Size::A4, Size::Phone] {
        let drawn = Drawn::of(&site, "any", "2027-01-01", "2027-12-31", size);
        let events: Vec<(NaiveDate, Vec<(EventKind, f64)>)> = drawn
            .nights
            .iter()
            .map(|night| {
                let date = night.night.date;
                let series: NightSeries = drawn.planner().series(date, 1).expect("a night");
                let hours = series.events.iter();
                let hours = hours.map(|e| (e.kind, drawn.hour(date, e.moment.seconds())));
                (date, hours.collect())
            })
            .collect();
        let of_night = |date: NaiveDate| {
            let found = events.iter().find(|(night, _)| *night == date);
            &found.expect("a night of the year").1
        };
        let near = |date: NaiveDate, hour: f64, kinds: &[EventKind]| {
            let of_kind = of_night(date)
                .iter()
                .filter(|(kind, _)| kinds.contains(kind));
            of_kind
                .map(|(_, at)| (at - hour).abs())
                .fold(f64::INFINITY, f64::min)
                < CLOSE
        };
        for (line, kind) in [
            ("sunset", EventKind::Sunset),
            ("sunrise", EventKind::Sunrise),
            ("dark-begin", EventKind::AstronomicalDusk),
            ("dark-end", EventKind::AstronomicalDawn),
        ] {
            let mut seen = 0;
            for path in tags(&drawn.svg, &format!("data-line=\"{line}\"")) {
                for point in points(attribute(path, "d")) {
                    let (date, hour) = drawn.at(point);
                    assert!(near(date, hour, &[kind]), "{line} {date} {hour}");
                    seen += 1;
                }
            }
            assert_eq!(seen, 365, "{line}");
        }
        let comb = points(attribute(tag(&drawn.svg, "data-comb=\"moon\""), "d"));
        for tooth in comb.chunks(2) {
            let ((date, from), (same, to)) = (drawn.at(tooth[0]), drawn.at(tooth[1]));
            assert_eq!(date, same);
            assert!(
                near(date, from, &[EventKind::Moonrise, EventKind::Sunset]),
                "{date} {from}"
            );
            assert!(
                near(date, to, &[EventKind::Moonset, EventKind::Sunrise]),
                "{date} {to}"
            );
        }
        assert!(comb.len() > 600, "{}", comb.len());
    }
}

#[test]
fn what_is_outlined_is_found_when_its_option_is_typed() {
    let drawn = Drawn::of(
        &demo("tinaja-mesa"),
        "raking",
        "2027-01-01",
        "2027-12-31",
        Size::A4,
    );
    assert!(!drawn.would_add.is_empty());
    let mut outlined: Vec<&str> = tags(&drawn.svg, "data-outline=");
    for added in &drawn.would_add {
        let rules = added.loosening.apply(drawn.planner().rules());
        let loose = drawn
            .planner()
            .season()
            .planner(demo("tinaja-mesa"), rules)
            .expect("rules");
        assert!(drawn.svg.contains(&added.loosening.option()));
        for window in &added.windows {
            let own = drawn.planner().windows_of(window.night).expect("a night");
            assert!(own.is_empty(), "{} has a window already", window.night);
            let found = loose.windows_of(window.night).expect("a night");
            assert!(found.iter().any(|other| other.interval == window.interval));
            let night = window.night.to_string();
            let at = outlined
                .iter()
                .position(|outline| attribute(outline, "data-outline") == night);
            let outline = outlined.remove(at.expect("an outline"));
            let (x, y) = (number(outline, "x"), number(outline, "y"));
            let middle = x + 0.5 * number(outline, "width");
            let (date, from) = drawn.at((middle, y));
            let (_, to) = drawn.at((middle, y + number(outline, "height")));
            assert_eq!(date, window.night);
            assert!((from - drawn.hour(date, window.interval.start)).abs() < CLOSE);
            assert!((to - drawn.hour(date, window.interval.end)).abs() < CLOSE);
        }
    }
    assert!(outlined.is_empty());
}

#[test]
fn a_window_over_a_change_of_the_clocks_keeps_its_length() {
    // Clocks in the United States go forward on the second Sunday of March and
    // back on the first of November at 02:00 (Energy Policy Act of 2005).
    let mut site = Site::new(37.0, -113.4).expect("a place");
    site.zone = Zone::named("America/Denver").expect("a zone");
    let rules = [
        ("light", "any"),
        ("target_altitude", "-90.."),
        ("target_offset", "-180..180"),
        ("contrast", "0.."),
    ];
    for (night, change) in [("2027-03-13", 1.0), ("2027-11-06", -1.0)] {
        let mut brief = Brief::default();
        for (key, text) in rules {
            brief.set(key, text).expect("a rule");
        }
        let season = Season::new(Dates::new(day(night), day(night)).expect("dates"));
        let planners = season
            .site_planners(site.clone(), Rules::of_kinds(&brief, &site).expect("rules"))
            .expect("planners");
        let nights = planners.hours();
        let leading = planners.first();
        let svg = YearChart {
            site: &site,
            rules: leading.rules(),
            kinds: planners.kinds(),
            dates: leading.dates(),
            nights: &nights,
            advice: None,
            would_add: &[],
            on_a_sheet: 1,
        }
        .draw(Look::new(Palette::Light, Size::A4))
        .svg;
        let axes = tag(&svg, "data-axes=\"year\"");
        let an_hour = number(axes, "height")
            / (number(axes, "data-to-hour") - number(axes, "data-from-hour"));
        let strokes: Vec<(f64, f64)> = tags(&svg, "data-stroke=\"window\"")
            .iter()
            .map(|stroke| {
                let ends = points(attribute(stroke, "d"));
                (ends[0].1 / an_hour, ends[1].1 / an_hour)
            })
            .collect();
        let windows = &nights[0].windows;
        assert_eq!((windows.len(), strokes.len()), (1, 2), "{night}");
        let drawn: f64 = strokes.iter().map(|(from, to)| to - from).sum();
        let hours = windows[0].interval.minutes() / 60.0;
        assert!((drawn - hours).abs() < 0.02, "{drawn} {hours}");
        assert!(
            (strokes[1].0 - strokes[0].1 - change).abs() < 0.01,
            "{strokes:?}"
        );
        assert_eq!(svg.matches("data-tick=\"clock-change\"").count(), 1);
    }
}

/// A window lies where night, target and Moon are as the rules ask.
#[test]
fn hours_of_a_night_hold_its_windows() {
    for name in [
        "tinaja-mesa",
        "saltbush-tank",
        "gratalm-hut",
        "storvarden-cairn",
    ] {
        let nights = planners(&demo(name), "raking", "2027-01-01", "2027-12-31").hours();
        let mut seen = 0;
        for night in &nights {
            assert_eq!(
                night.windows.is_empty(),
                night.unmet.is_some(),
                "{}",
                night.night.date
            );
            for window in &night.windows {
                let middle = 0.5 * (window.interval.start + window.interval.end);
                for time in [
                    window.interval.start + 2.0,
                    middle,
                    window.interval.end - 2.0,
                ] {
                    for held in [&night.dark, &night.target, &night.moon_lit, &night.moon_up] {
                        assert!(held.contains(time), "{name} {}", window.night);
                    }
                }
                seen += 1;
            }
        }
        assert!(seen > 1, "{name}");
        let lit = nights
            .iter()
            .filter(|night| !night.moon_lit.is_empty())
            .count();
        let up = nights
            .iter()
            .filter(|night| !night.moon_up.is_empty())
            .count();
        assert!(2 * lit < up + 60 && lit > 60, "{name} {lit} {up}");
    }
}

#[test]
fn an_eclipse_has_its_tick_where_the_moon_is_up() {
    let tick = "total lunar eclipse 20 Dec";
    for (latitude, seen) in [(37.0, true), (-37.0, false)] {
        let mut site = Site::new(latitude, if seen { 0.0 } else { 180.0 }).expect("a place");
        site.zone = Zone::UTC;
        let drawn = Drawn::of(&site, "any", "2029-12-01", "2029-12-31", Size::A4);
        assert_eq!(drawn.svg.contains(tick), seen, "{latitude}");
        assert_eq!(drawn.svg.contains("data-tick=\"eclipse\""), seen);
    }
}

#[test]
fn too_many_years_or_sites_are_refused_and_the_remedies_are_accepted() {
    let folder = Folder::new();
    let table =
        "name,latitude_deg,longitude_deg,time_zone\nA,-31,139,UTC\nB,-31,138,UTC\nC,-31,137,UTC\n";
    folder.file("sites.csv", table);
    let year = ["--from", "2027-01-01", "--to", "2027-02-01"];
    let run = |sites: &[&str], more: &[&str]| {
        let output = ["--quiet", "-o", "year.svg"];
        Run::at(&folder).of(&[&["chart", "year"], sites, more, &output].concat())
    };
    let long = run(
        &["sites.csv#A"],
        &["--from", "2027-01-01", "--to", "2030-01-01"],
    );
    assert_eq!(long.code, 2);
    assert!(long.err.contains("use --to 2029-12-31"), "{}", long.err);
    let fits = run(
        &["sites.csv#A"],
        &["--from", "2027-01-01", "--to", "2029-12-31"],
    );
    assert_eq!(fits.code, 0, "{}", fits.err);
    let many = run(&["sites.csv"], &year);
    assert_eq!(many.code, 2);
    assert!(
        many.err.contains("write \"sites.csv#A\" \"sites.csv#B\""),
        "{}",
        many.err
    );
    let two = run(&["sites.csv#A", "sites.csv#B"], &year);
    assert_eq!(two.code, 0, "{}", two.err);
    let svg = std::fs::read_to_string(folder.path("year.svg")).expect("the picture");
    assert_eq!(svg.matches("data-axes=\"year\"").count(), 2);
}

//! The picture of a night against the numbers: time, directions, bars, the ends
//! of windows and the values beside them are read back from the SVG.

use crate::common;

use common::svg::{attribute, number, points, tag, tags};
use rakelight::{
    chart::{Look, NightChart, Palette, Picture, Size},
    ephemeris::Moment,
    input::read_sites,
    plan::PlanSettings,
    report::words::{clock, group_words},
    rule::{Brief, Conditions, Rules},
    scene::{Dates, Site},
    search::{Intervals, Planner, Season},
    why::PeriodKind,
};
use std::path::Path;

fn demo(name: &str) -> Site {
    let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut read = read_sites(Path::new(&path)).expect("the demo site");
    read.next().expect("one site").expect("a sound site")
}

fn planner(site: Site, light: &str, date: &str) -> Planner {
    let mut brief = Brief::default();
    brief.set("light", light).expect("a kind of light");
    let rules = Rules::new(&brief.or(&Brief::of_site(&site)), &site).expect("rules");
    let date = date.parse().expect("a date in the test");
    let season = Season::new(Dates::new(date, date).expect("dates"));
    season.planner(site, rules).expect("a planner")
}

/// A picture with where things are in it.
struct Drawn {
    picture: Picture,
    from: f64,
    to: f64,
    edges: [f64; 4],
    half_deg: f64,
}

impl Drawn {
    fn of(planner: &Planner, size: Size) -> Self {
        let date = planner.dates().first();
        let plan = planner
            .plan(date, &PlanSettings::default())
            .expect("a night of the season");
        let chart = NightChart::of(planner, &plan).expect("that night");
        let picture = chart.draw(Look::new(Palette::Light, size));
        let axes = tag(&picture.svg, "data-axes=\"night\"").to_owned();
        Self {
            from: seconds(attribute(&axes, "data-from-utc")),
            to: seconds(attribute(&axes, "data-to-utc")),
            edges: ["x", "y", "width", "height"].map(|name| number(&axes, name)),
            half_deg: number(&axes, "data-half-deg"),
            picture,
        }
    }

    fn time(&self, y: f64) -> f64 {
        let [_, top, _, height] = self.edges;
        self.from + (self.to - self.from) * (y - top) / height
    }

    fn y(&self, seconds: f64) -> f64 {
        let [_, top, _, height] = self.edges;
        let y = top + height * (seconds - self.from) / (self.to - self.from);
        y.clamp(top, top + height)
    }

    fn offset(&self, x: f64) -> f64 {
        let [left, _, width, _] = self.edges;
        self.half_deg * (2.0 * (x - left) / width - 1.0)
    }

    fn says(&self, text: &str) -> bool {
        self.picture.labels.iter().any(|label| label.text == text)
    }

    /// All words in the order in which they were placed.
    fn words(&self) -> String {
        let labels = self.picture.labels.iter();
        let texts: Vec<&str> = labels.map(|label| label.text.as_str()).collect();
        texts.join(" ")
    }
}

fn seconds(utc: &str) -> f64 {
    Moment::from_utc(utc.parse().expect("a time")).seconds()
}

fn turn(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

/// The width that the picture promises: the target's grows with its contrast,
/// the Moon's by a step for each doubling of its light.
fn width_of(name: &str, fill: &str, instant: &Conditions) -> f64 {
    let light = &instant.light;
    match (name, fill) {
        ("target", _) => 1.4 + 8.0 * light.contrast_kept,
        (_, "full") => 1.6 + 1.5 * (1.0 + light.moonlight_lux / 0.000_15).log2(),
        _ => (1.6 + 1.5 * (1.0 + light.moonlight_lux / 0.000_15).log2()).max(6.0),
    }
}

/// Nights of each kind: raking behind ridges, dark, a blend, an eclipse, a core
/// that passes overhead, a Moon that goes behind the camera.
const NIGHTS: [(&str, &str, &str); 7] = [
    ("tinaja-mesa", "raking", "2027-05-29"),
    ("saltbush-tank", "raking", "2027-07-09"),
    ("saltbush-tank", "dark", "2027-07-02"),
    ("saltbush-tank", "blend", "2027-07-27"),
    ("gratalm-hut", "any", "2028-12-31"),
    ("witkopje-pan", "any", "2027-06-08"),
    ("gannet-steps", "any", "2029-12-20"),
];

#[test]
fn courses_are_drawn_where_they_are_computed() {
    let mut drawn = [0, 0];
    for (name, light, date) in NIGHTS {
        let planner = planner(demo(name), light, date);
        let facing = planner
            .windows()
            .first()
            .filter(|_| light == "blend")
            .map(|window| window.best.facing_deg);
        for size in [Size::A4, Size::Phone] {
            let picture = Drawn::of(&planner, size);
            let svg = &picture.picture.svg;
            for (index, body) in ["moon", "target"].into_iter().enumerate() {
                let mark = format!("data-line=\"{body}\"");
                for ribbon in tags(svg, &mark) {
                    let outline = points(attribute(ribbon, "d"));
                    let count = number(ribbon, "data-points") as usize;
                    assert_eq!(outline.len(), 2 * count);
                    for index in 0..count {
                        let (a, b) = (outline[index], outline[2 * count - 1 - index]);
                        let (x, y) = (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
                        let moment = Moment::from_seconds(picture.time(y));
                        let instant = planner.at(moment).expect("within the season");
                        let place = match body {
                            "moon" => instant.sky.moon,
                            _ => instant.sky.target,
                        };
                        let facing = facing.unwrap_or(instant.facing_deg);
                        let off = turn(place.azimuth_deg - facing);
                        // Near the zenith a second turns it by degrees.
                        let steep = 0.05 + 0.02 / place.apparent_altitude_deg.to_radians().cos();
                        assert!(
                            turn(picture.offset(x) - off).abs() < steep,
                            "{name} {date} {body} {index}: {} against {off}",
                            picture.offset(x)
                        );
                        assert!(place.apparent_altitude_deg > 0.0);
                        let width = (a.0 - b.0).hypot(a.1 - b.1);
                        let fill = attribute(ribbon, "data-fill");
                        let expected = width_of(body, fill, &instant);
                        assert!(
                            (width - expected).abs() < 0.2,
                            "{name} {date} {body} {index}: {width} {expected}"
                        );
                    }
                    drawn[index] += count;
                }
            }
        }
    }
    assert!(drawn.iter().all(|count| *count > 400), "{drawn:?}");
}

#[test]
fn bars_are_where_their_rules_hold() {
    for (name, light, date) in NIGHTS {
        let planner = planner(demo(name), light, date);
        let date = planner.dates().first();
        let periods = planner.period_reasons(date).expect("that night");
        for size in [Size::A4, Size::Phone] {
            let picture = Drawn::of(&planner, size);
            let svg = &picture.picture.svg;
            let shown = Intervals::one(picture.from, picture.to);
            let mut expected: Vec<(String, f64, f64)> = Vec::new();
            let mut known: Vec<(String, Intervals)> = Vec::new();
            for period in &periods {
                for group in period.reasons.groups() {
                    let words = group_words(&group, &period.rules);
                    let same = (words.clone(), group.held.clone());
                    if known.contains(&same) {
                        continue;
                    }
                    known.push(same);
                    assert!(picture.words().contains(&words), "{words}");
                    // The bar is where each rule of the group holds.
                    let held = group.rules.iter().map(|through| &through.held);
                    let held = held.fold(shown.clone(), |left, held| left.and(held));
                    let parts = held.as_slice().iter();
                    expected.extend(parts.map(|i| (words.clone(), i.start, i.end)));
                }
            }
            let bars: Vec<&str> = tags(svg, "data-bar=");
            for (words, start, end) in &expected {
                let (top, bottom) = (picture.y(*start), picture.y(*end));
                let found = bars.iter().any(|bar| {
                    let y = number(bar, "y");
                    attribute(bar, "data-bar") == words
                        && (y - top).abs() < 0.05
                        && (y + number(bar, "height") - bottom).abs() < 0.05
                });
                assert!(
                    found || bottom - top < 0.01,
                    "{name} {date} {words} {top} {bottom}"
                );
            }
            assert!(bars.len() <= expected.len(), "{name} {date}");
            assert!(!bars.is_empty(), "{name} {date}");
        }
    }
}

#[test]
fn windows_are_bands_with_their_times_and_ends() {
    let mut told = 0;
    for (name, light, date) in NIGHTS {
        let planner = planner(demo(name), light, date);
        let site = planner.site();
        for size in [Size::A4, Size::Phone] {
            let picture = Drawn::of(&planner, size);
            let svg = &picture.picture.svg;
            for window in planner.windows() {
                let own = match window.land {
                    Some(_) => "sky",
                    None => "window",
                };
                let mut bands = vec![(own, window.interval, window.best)];
                bands.extend(window.land.map(|land| ("land", land.interval, land.best)));
                for (word, interval, best) in bands {
                    let mark = format!("data-window=\"{word}\"");
                    let found = tags(svg, &mark).into_iter().any(|band| {
                        let y = number(band, "y");
                        (y - picture.y(interval.start)).abs() < 0.05
                            && (y + number(band, "height") - picture.y(interval.end)).abs() < 0.05
                            && (seconds(attribute(band, "data-best-utc")) - best.moment().seconds())
                                .abs()
                                < 1.0
                    });
                    assert!(found, "{name} {date} {word}");
                    for moment in [interval.first(), interval.last(), best.moment()] {
                        let text = clock(site, moment);
                        assert!(picture.says(&text), "{name} {date}: no {text}");
                    }
                    told += 1;
                }
            }
        }
    }
    assert!(told >= 8, "{told}");
    // One night by its own numbers: the ridge and the twilight make it.
    let planner = planner(demo("tinaja-mesa"), "raking", "2027-05-29");
    let window = &planner.windows()[0];
    let begin = planner.at(window.interval.first()).expect("known").sky;
    let ridge = planner.site().subject_skyline.as_ref().expect("a skyline");
    let over = begin.moon.apparent_altitude_deg - ridge.altitude_deg_at(begin.moon.azimuth_deg);
    assert!(over.abs() < 0.05, "{over}");
    let end = planner.at(window.interval.last()).expect("known").sky;
    assert!((end.sun.altitude_deg + 18.0).abs() < 0.01);
    for size in [Size::A4, Size::Phone] {
        let words = Drawn::of(&planner, size).words();
        assert!(words.contains("opens: Moon clears the ridge"), "{words}");
        assert!(words.contains("closes: astronomical dawn"), "{words}");
    }
}

#[test]
fn values_at_the_best_instant_stand_in_the_head_and_in_the_lanes() {
    for (name, light, date) in [NIGHTS[0], NIGHTS[1], NIGHTS[2]] {
        let planner = planner(demo(name), light, date);
        let window = &planner.windows()[0];
        let best = planner.at(window.best.moment()).expect("known");
        let picture = Drawn::of(&planner, Size::A4);
        let words = picture.words();
        let target = best.sky.target.apparent_altitude_deg.round();
        assert!(words.contains(&format!("Core {target}° up")), "{words}");
        let stops = best.light.land_vs_sky_stops;
        assert!(
            words.contains(&format!("{:.1} stops darker than the sky", -stops)),
            "{words}"
        );
        let settings = window.frame.as_ref().expect("a camera").exposure;
        assert!(words.contains(&format!("ISO {}", settings.iso)), "{words}");
        assert!(picture.says(&format!("{stops:+.1}")), "{words}");
        let contrast = best.light.milky_way_contrast.expect("of the core");
        assert!(picture.says(&format!("{contrast:.2}")), "{words}");
        assert!(picture.says(&format!("{target}°")), "{words}");
        // The curves, at every point.
        for lane in tags(&picture.picture.svg, "data-lane=") {
            let (left, width) = (number(lane, "data-left"), number(lane, "data-width"));
            let (low, high) = (number(lane, "data-low"), number(lane, "data-high"));
            for (x, y) in points(attribute(lane, "d")) {
                let value = low + (high - low) * (x - left) / width;
                let moment = Moment::from_seconds(picture.time(y));
                let instant = planner.at(moment).expect("within the season");
                let expected = match attribute(lane, "data-lane") {
                    "moon" => instant.sky.moon.apparent_altitude_deg,
                    "target" => instant.sky.target.apparent_altitude_deg,
                    "contrast" => instant.light.milky_way_contrast.expect("a contrast"),
                    _ => instant.light.land_vs_sky_stops,
                };
                let least = 0.012 * (high - low);
                assert!(
                    (value - expected).abs() < least,
                    "{lane} {value} {expected}"
                );
                assert!((low..=high).contains(&expected), "{expected} is cut off");
            }
        }
    }
}

/// The line of the best instant runs through no words.
#[test]
fn the_best_instant_strikes_no_figure() {
    for (name, light, date) in NIGHTS {
        let planner = planner(demo(name), light, date);
        for size in [Size::A4, Size::Phone] {
            let picture = Drawn::of(&planner, size);
            for line in tags(&picture.picture.svg, "data-best=") {
                let ends = points(attribute(line, "d"));
                let ((from, y), (to, _)) = (ends[0], ends[1]);
                for label in &picture.picture.labels {
                    let room = label.room;
                    let across = room.left < to && from < room.left + room.width;
                    let struck = across && room.top < y && y < room.top + room.height;
                    assert!(!struck, "{name} {date}: {label:?}");
                }
            }
        }
    }
}

/// A blend has two sets of bars, and a band for each period.
#[test]
fn a_blend_has_both_its_periods() {
    let planner = planner(demo("saltbush-tank"), "blend", "2027-07-27");
    let date = planner.dates().first();
    let periods = planner.period_reasons(date).expect("that night");
    let kinds: Vec<PeriodKind> = periods.iter().map(|period| period.kind).collect();
    assert_eq!(kinds, [PeriodKind::Moonlit, PeriodKind::Dark]);
    let window = &planner.windows()[0];
    let land = window.land.as_ref().expect("a blend");
    for (period, interval) in periods.iter().zip([land.interval, window.interval]) {
        let mut ends = period.reasons.windows.iter();
        let near = |a: f64, b: f64| (a - b).abs() < 1.0;
        let same = ends.find(|ends| {
            near(ends.interval.start, interval.start) && near(ends.interval.end, interval.end)
        });
        let same = same.expect("the period");
        assert!(same.long_enough);
        // What begins it fails just before it, what ends it just after, and
        // every other rule holds there.
        for (rule, time) in [
            (same.begun_by, interval.start - 10.0),
            (same.ended_by, interval.end + 10.0),
        ] {
            let rule = rule.expect("a rule");
            for through in &period.reasons.rules {
                let held = through.held.contains(time);
                assert_eq!(held, through.rule != rule, "{:?}", through.rule);
            }
        }
    }
    let picture = Drawn::of(&planner, Size::A4);
    for word in ["data-window=\"sky\"", "data-window=\"land\""] {
        assert!(picture.picture.svg.contains(word), "{word}");
    }
    assert!(picture.says("no Moon") && picture.says("Moon low, clear"));
    assert!(picture.says("dark sky") && picture.says("moonlit land"));
}

/// An eclipsed Moon is never a full line.
#[test]
fn a_line_in_the_umbra_is_not_full() {
    // Over the Atlantic all of it is seen, greatest at 2029-06-26 03:22 UTC.
    let site = Site::new(30.0, -50.0).expect("a place");
    let planner = planner(site, "any", "2029-06-25");
    let picture = Drawn::of(&planner, Size::A4);
    let svg = &picture.picture.svg;
    let mut seconds_of = [0.0; 3];
    for ribbon in tags(svg, "data-line=\"moon\"") {
        let outline = points(attribute(ribbon, "d"));
        let half = outline.len() / 2;
        let (first, last) = (outline[0].1, outline[half - 1].1);
        let index = match attribute(ribbon, "data-fill") {
            "full" => 0,
            "umbra" => 1,
            _ => 2,
        };
        seconds_of[index] += picture.time(last) - picture.time(first);
    }
    // Totality lasts 102 minutes (Espenak & Meeus, Five Millennium Canon).
    assert!((seconds_of[2] / 60.0 - 102.0).abs() < 8.0, "{seconds_of:?}");
    assert!(
        seconds_of[1] > 3600.0 && seconds_of[0] > 3600.0,
        "{seconds_of:?}"
    );
    assert!(picture.words().contains("total eclipse"));
    assert!(picture.words().contains("Lunar eclipse: total"));
    let facts = picture.words();
    assert!(
        facts.contains(", eclipsed") && !facts.contains("100% lit"),
        "{facts}"
    );
}

/// Without darkness the answer is that, and no rule is blamed.
#[test]
fn a_night_that_stays_light_says_so() {
    let planner = planner(demo("storvarden-cairn"), "raking", "2027-06-21");
    for size in [Size::A4, Size::Phone] {
        let words = Drawn::of(&planner, size).words();
        assert!(
            words.contains("No window: the Sun never sinks below -18°"),
            "{words}"
        );
        assert!(words.contains("The Sun does not set"), "{words}");
        assert!(!words.contains("--"), "{words}");
    }
}

/// The views of a place: on paper side by side on one axis of time, on a phone
/// one below the other, the place's events once.
#[test]
fn views_share_time_and_events() {
    let path = format!(
        "{}/demo-sites/candlenut-cay.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let sites = read_sites(Path::new(&path)).expect("the demo site");
    let planners: Vec<Planner> = sites
        .map(|site| {
            let site = site.expect("a sound site");
            let rules = Rules::new(&Brief::of_site(&site), &site).expect("rules");
            let date = "2027-06-08".parse().expect("a date");
            let season = Season::new(Dates::new(date, date).expect("dates"));
            season.planner(site, rules).expect("a planner")
        })
        .collect();
    assert_eq!(planners.len(), 3);
    let plans: Vec<_> = planners
        .iter()
        .map(|planner| {
            let date = planner.dates().first();
            planner
                .plan(date, &PlanSettings::default())
                .expect("a night")
        })
        .collect();
    let charts: Vec<_> = planners
        .iter()
        .zip(&plans)
        .map(|(planner, plan)| NightChart::of(planner, plan).expect("that night"))
        .collect();
    for size in [Size::A4, Size::Phone] {
        let picture = NightChart::draw_all(&charts, Look::new(Palette::Dark, size));
        assert_eq!(picture.width, size.width());
        let axes: Vec<&str> = tags(&picture.svg, "data-axes=\"night\"");
        assert_eq!(axes.len(), 3);
        let view = |axes: &str| attribute(axes, "data-view").to_owned();
        let views: Vec<String> = axes.iter().map(|axes| view(axes)).collect();
        assert_eq!(views, ["beacon", "leaning palm", "open lagoon"]);
        if size == Size::A4 {
            for name in ["y", "height", "data-from-utc", "data-to-utc"] {
                let values: Vec<&str> = axes.iter().map(|axes| attribute(axes, name)).collect();
                assert!(values.windows(2).all(|pair| pair[0] == pair[1]), "{name}");
            }
            let x: Vec<f64> = axes.iter().map(|axes| number(axes, "x")).collect();
            assert!(x.windows(2).all(|pair| pair[0] + 100.0 < pair[1]), "{x:?}");
            assert!(picture.height <= 1047.0, "{}", picture.height);
        }
        let told = |word: &str| {
            let labels = picture.labels.iter();
            labels.filter(|label| label.text.ends_with(word)).count()
        };
        for event in ["sunset", "moonset", "nautical dawn"] {
            assert_eq!(told(event), 1, "{event}");
        }
        for view in views {
            assert!(
                picture
                    .labels
                    .iter()
                    .any(|label| label.text.contains(&view))
            );
        }
    }
}

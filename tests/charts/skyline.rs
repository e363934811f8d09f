//! The picture of the skyline against the numbers: land, paths and crossings are
//! read back from the SVG.

use crate::common::svg;
use rakelight::{
    chart::{Around, Look, Palette, Size, SkylineChart},
    ephemeris::Moment,
    input::read_sites,
    plan::{NightEvent, PlanSettings, RidgeNights},
    rule::{Brief, Rules},
    scene::{Dates, Site},
    search::{Planner, Season},
};
use std::path::Path;

fn demo(name: &str) -> Site {
    let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut read = read_sites(Path::new(&path)).expect("a demo site");
    read.next().expect("one site").expect("a sound site")
}

fn day(text: &str) -> chrono::NaiveDate {
    text.parse().expect("a date in the test")
}

fn planner(site: &Site, on: &str, rules: &[(&str, &str)]) -> Planner {
    let mut brief = Brief::default();
    for (key, value) in rules {
        brief.set(key, value).expect("a rule");
    }
    let rules = Rules::new(&brief.or(&Brief::of_site(site)), site).expect("rules");
    let dates = Dates::one(day(on)).expect("a date").widened(7);
    let season = Season::new(dates);
    season.planner(site.clone(), rules).expect("a planner")
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let (_, from) = tag.split_once(&format!(" {name}=\""))?;
    Some(from.split_once('"')?.0)
}

fn number(tag: &str, name: &str) -> f64 {
    let text = attribute(tag, name).unwrap_or_else(|| panic!("no {name} in {tag}"));
    text.parse().expect("a number")
}

/// The elements that have an attribute, in order.
fn tags<'a>(svg: &'a str, name: &str) -> Vec<&'a str> {
    let elements = svg.split('<').filter_map(|piece| piece.split('>').next());
    elements
        .filter(|tag| attribute(tag, name).is_some())
        .collect()
}

/// A strip of the picture, and what is drawn in it.
struct Strip<'a> {
    axes: &'a str,
    svg: &'a str,
}

impl Strip<'_> {
    fn direction(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let half = number(self.axes, "data-half-deg");
        let offset = (x - number(self.axes, "x")) / number(self.axes, "data-pixels-across") - half;
        let up = (y - number(self.axes, "y")) / number(self.axes, "data-pixels-up");
        (
            (number(self.axes, "data-middle-deg") + offset).rem_euclid(360.0),
            number(self.axes, "data-top-deg") - up,
        )
    }
}

fn strips(svg: &str) -> Vec<Strip<'_>> {
    let starts: Vec<usize> = svg
        .match_indices("data-axes=\"skyline\"")
        .map(|(at, _)| at)
        .collect();
    let starts = starts
        .iter()
        .map(|at| svg[..*at].rfind('<').expect("an element"));
    let starts: Vec<usize> = starts.collect();
    let ends = starts.iter().skip(1).copied().chain([svg.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(from, to)| Strip {
            axes: tags(&svg[*from..to], "data-axes")[0],
            svg: &svg[*from..to],
        })
        .collect()
}

fn turn(a: f64, b: f64) -> f64 {
    ((a - b + 180.0).rem_euclid(360.0) - 180.0).abs()
}

fn draw(planner: &Planner, nights: &RidgeNights, around: Around, size: Size) -> String {
    let chart = SkylineChart::of(planner, nights, around).expect("nights of the season");
    chart.draw(Look::new(Palette::Light, size)).svg
}

/// A site, an evening, rules.
type Case = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

/// Sites, evenings and rules: a ridge of its own for the subject, high ridges, a
/// level horizon, the poles' and the equator's skies, a camera that looks north,
/// the Moon as target.
const CASES: [Case; 8] = [
    ("tinaja-mesa", "2027-05-29", &[]),
    ("saltbush-tank", "2027-07-09", &[]),
    ("gratalm-hut", "2027-06-22", &[("light", "any")]),
    ("gratalm-hut", "2027-12-14", &[("light", "any")]),
    ("storvarden-cairn", "2027-12-10", &[("facing", "0")]),
    ("candlenut-cay", "2027-06-10", &[]),
    ("tinaja-mesa", "2027-05-20", &[("target", "moon")]),
    ("witkopje-pan", "2029-06-25", &[("light", "any")]),
];

#[test]
fn land_and_paths_are_drawn_where_they_are_computed() {
    for (name, on, rules) in CASES {
        let site = demo(name);
        let planner = planner(&site, on, rules);
        for (size, around) in [(Size::A4, Around::All), (Size::Phone, Around::Camera)] {
            let nights = planner.ridge_nights(day(on), None).expect("nights");
            let svg = draw(&planner, &nights, around, size);
            let what = format!("{name} {on} {size:?}");
            let strips = strips(&svg);
            assert_eq!(
                strips.len(),
                if around == Around::All { 2 } else { 1 },
                "{what}"
            );
            let seen: f64 = strips
                .iter()
                .map(|strip| 2.0 * number(strip.axes, "data-half-deg"))
                .sum();
            assert!(
                around != Around::All || (seen - 360.0).abs() < 1e-6,
                "{what}: {seen}"
            );
            let (mut told, mut points) = (0, 0);
            for strip in &strips {
                for (line, skyline) in [
                    ("skyline", site.skyline.as_ref()),
                    ("subject-skyline", site.subject_skyline.as_ref()),
                ] {
                    for tag in tags(strip.svg, "data-line") {
                        if attribute(tag, "data-line") != Some(line) {
                            continue;
                        }
                        for point in svg::points(attribute(tag, "d").expect("a path")) {
                            let (azimuth, altitude) = strip.direction(point);
                            let land = skyline.map_or(0.0, |land| land.altitude_deg_at(azimuth));
                            assert!((altitude - land).abs() < 0.02, "{what}: {altitude} {land}");
                            told += 1;
                        }
                    }
                }
                // Hours are instants: there the body stands where `at` has it.
                for tag in tags(strip.svg, "data-hour") {
                    let utc = attribute(tag, "data-hour").expect("a time");
                    let moment = Moment::from_utc(utc.parse().expect("a time"));
                    let sky = planner.at(moment).expect("of the season").sky;
                    let place = match attribute(tag, "data-of") {
                        Some("moon") => sky.moon,
                        _ => sky.target,
                    };
                    let ends = svg::points(attribute(tag, "d").expect("a path"));
                    let middle =
                        |pick: fn(&(f64, f64)) -> f64| 0.5 * ends.iter().map(pick).sum::<f64>();
                    let (azimuth, altitude) = strip.direction((middle(|p| p.0), middle(|p| p.1)));
                    let across = turn(azimuth, place.azimuth_deg)
                        * place.apparent_altitude_deg.to_radians().cos();
                    let up = altitude - place.apparent_altitude_deg;
                    assert!(
                        across.hypot(up) < 0.03,
                        "{what} {utc}: {azimuth} {altitude}"
                    );
                    points += 1;
                }
                // Every point of a path is a place of the night's record.
                for tag in tags(strip.svg, "data-path") {
                    let night = nights.nights.iter().find(|night| {
                        Some(night.night.date.to_string().as_str()) == attribute(tag, "data-night")
                    });
                    let night = night.expect("a night of the picture");
                    let body = match attribute(tag, "data-path") {
                        Some("moon") => &night.moon,
                        _ => &night.target,
                    };
                    let known: Vec<_> = body.clear_parts().concat();
                    for point in svg::points(attribute(tag, "d").expect("a path")) {
                        let (azimuth, altitude) = strip.direction(point);
                        let met = known.iter().any(|(_, place)| {
                            turn(azimuth, place.azimuth_deg) < 0.02
                                && (altitude - place.apparent_altitude_deg).abs() < 0.02
                        });
                        assert!(met, "{what}: {azimuth} {altitude}");
                    }
                }
            }
            assert!(told > 10 || site.skyline.is_none(), "{what}");
            assert!(points > 2, "{what}: {points} hours");
        }
    }
}

#[test]
fn crossings_are_those_of_the_timetable() {
    let mut met = 0;
    for (name, on, rules) in CASES {
        let site = demo(name);
        let planner = planner(&site, on, rules);
        let nights = planner.ridge_nights(day(on), None).expect("nights");
        let svg = draw(&planner, &nights, Around::All, Size::A4);
        for night in &nights.nights {
            let date = night.night.date;
            let plan = planner
                .plan(date, &PlanSettings::default())
                .expect("a night");
            let of_moon = plan.rules.target.is_moon();
            for (body, path) in [("moon", &night.moon), ("target", &night.target)] {
                if of_moon && body == "target" {
                    continue;
                }
                use rakelight::EventKind as Kind;
                let ridge = match body {
                    "moon" if !of_moon => site.subject_skyline.is_some() || site.skyline.is_some(),
                    _ => site.skyline.is_some(),
                };
                let target_ridge = of_moon && site.subject_skyline.is_some();
                let kind = |event: NightEvent| match (body, ridge, event) {
                    ("moon", true, NightEvent::MoonClearsRidge) => (!target_ridge).then_some(true),
                    ("moon", true, NightEvent::MoonBehindRidge) => (!target_ridge).then_some(false),
                    ("moon", true, NightEvent::TargetClearsRidge) => target_ridge.then_some(true),
                    ("moon", true, NightEvent::TargetBehindRidge) => target_ridge.then_some(false),
                    ("target", true, NightEvent::TargetClearsRidge) => Some(true),
                    ("target", true, NightEvent::TargetBehindRidge) => Some(false),
                    ("moon", false, NightEvent::Sky(Kind::Moonrise)) => Some(true),
                    ("moon", false, NightEvent::Sky(Kind::Moonset)) => Some(false),
                    ("target", false, NightEvent::Sky(Kind::TargetRise)) => Some(true),
                    ("target", false, NightEvent::Sky(Kind::TargetSet)) => Some(false),
                    _ => None,
                };
                let hours = night.sunless.expect("a sunset");
                let expected: Vec<(f64, bool)> = plan
                    .order
                    .iter()
                    .filter_map(|entry| Some((entry.moment().seconds(), kind(entry.event)?)))
                    .filter(|(t, _)| hours.start <= *t && *t <= hours.end)
                    .collect();
                let found: Vec<(f64, bool)> = path
                    .crossings
                    .iter()
                    .map(|one| (one.moment.seconds(), one.clears))
                    .collect();
                let what = format!("{name} {date} {body}");
                assert_eq!(
                    found.len(),
                    expected.len(),
                    "{what}: {found:?} {expected:?}"
                );
                for (a, b) in found.iter().zip(&expected) {
                    assert!((a.0 - b.0).abs() < 0.5 && a.1 == b.1, "{what}: {a:?} {b:?}");
                    met += 1;
                }
                // Those in the dark are drawn, each on the edge of its land.
                let shown = body == "moon" || date == nights.date;
                let dark: Vec<_> = path
                    .crossings
                    .iter()
                    .filter(|one| one.dark && shown)
                    .collect();
                let mut drawn = 0;
                for strip in strips(&svg) {
                    for tag in tags(strip.svg, "data-crossing") {
                        if attribute(tag, "data-crossing") != Some(body)
                            || attribute(tag, "data-night") != Some(date.to_string().as_str())
                        {
                            continue;
                        }
                        drawn += 1;
                        let place = strip.direction((number(tag, "cx"), number(tag, "cy")));
                        let near = dark.iter().any(|one| {
                            turn(place.0, one.place.azimuth_deg) < 0.02
                                && (place.1 - one.place.apparent_altitude_deg).abs() < 0.02
                        });
                        assert!(near, "{what}: {place:?}");
                    }
                }
                assert_eq!(drawn, dark.len(), "{what}");
            }
        }
    }
    assert!(met > 20, "{met}");
}

/// The night's words say the times of its record.
#[test]
fn the_answer_says_when_the_moon_clears_the_ridge() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, "2027-05-29", &[]);
    let nights = planner
        .ridge_nights(day("2027-05-29"), None)
        .expect("nights");
    let dates: Vec<String> = nights
        .nights
        .iter()
        .map(|one| one.night.date.to_string())
        .collect();
    assert_eq!(dates, ["2027-05-28", "2027-05-29", "2027-05-30"]);
    let svg = draw(&planner, &nights, Around::usual(Size::A4), Size::A4);
    let crossing = nights.asked().expect("that night").moon.crossings[0];
    let local = site.zone.local(crossing.moment.to_the_minute());
    let answer = format!("Moon clears the ridge at {},", local.format("%H:%M"));
    assert!(svg.contains(&answer), "{answer}");
    let [least, most] = nights
        .later_minutes(|night| &night.moon, true)
        .expect("a shift");
    let times: Vec<f64> = nights
        .nights
        .iter()
        .map(|one| one.moon.crossings[0].moment.seconds())
        .collect();
    let shifts = times
        .windows(2)
        .map(|pair| (pair[1] - pair[0] - 86_400.0) / 60.0);
    let (low, high) = shifts.fold((f64::MAX, f64::MIN), |(a, b), t| (a.min(t), b.max(t)));
    assert!(
        (least - low).abs() < 0.01 && (most - high).abs() < 0.01,
        "{least} {most} {low} {high}"
    );
    assert!(svg.contains(&format!("{least:.0} to {most:.0} min later each night")));
    // A star gains four minutes each night.
    assert!(svg.contains("4 min earlier each night"));
}

#[test]
fn nights_are_counted_from_the_one_asked_for() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, "2027-05-29", &[]);
    for count in 1..=7 {
        let nights = planner
            .ridge_nights(day("2027-05-29"), Some(count))
            .expect("nights");
        assert_eq!(nights.nights.len(), count as usize);
        assert_eq!(nights.nights[0].night.date, day("2027-05-29"));
        let svg = draw(&planner, &nights, Around::All, Size::A4);
        let mut moons: Vec<&str> = tags(&svg, "data-path")
            .into_iter()
            .filter(|tag| attribute(tag, "data-path") == Some("moon"))
            .filter_map(|tag| attribute(tag, "data-night"))
            .collect();
        moons.sort_unstable();
        moons.dedup();
        let with_moon = nights
            .nights
            .iter()
            .filter(|night| night.moon.shows())
            .count();
        assert_eq!(moons.len(), with_moon);
    }
}

#[test]
fn a_moon_that_never_clears_the_ridge_and_a_sun_that_never_sets_are_told() {
    // The Moon stands highest of all at the meridian: a ridge over that is never
    // cleared.
    let mut site = demo("gratalm-hut");
    site.skyline = Some(rakelight::Skyline::new([(0.0, 75.0)]).expect("a skyline"));
    let on = "2027-06-19";
    let planner = self::planner(&site, on, &[("light", "any")]);
    let nights = planner.ridge_nights(day(on), None).expect("nights");
    let svg = draw(&planner, &nights, Around::All, Size::A4);
    assert!(svg.contains("Moon never clears the ridge: at "), "{svg}");
    assert_eq!(tags(&svg, "data-path").len(), 0);
    assert!(!tags(&svg, "data-hidden").is_empty());
    let nearest = nights
        .asked()
        .and_then(|night| night.moon.nearest)
        .expect("dark hours");
    assert!(svg.contains(&format!("it is {:.1}° too low", -nearest.above_land_deg)));

    let site = demo("storvarden-cairn");
    let on = "2027-06-21";
    let planner = self::planner(&site, on, &[]);
    let nights = planner.ridge_nights(day(on), None).expect("nights");
    let svg = draw(&planner, &nights, Around::All, Size::A4);
    assert!(svg.contains("The Sun does not set: no dark hours"));
    assert_eq!(
        tags(&svg, "data-path").len() + tags(&svg, "data-crossing").len(),
        0
    );
    // Nobody gave a skyline: the picture says how one is made.
    assert!(svg.contains("rakelight sites horizon"));
}

#[test]
fn an_eclipse_is_told_and_marked_where_it_can_be_seen() {
    for (name, on, total) in [
        ("witkopje-pan", "2029-06-25", true),
        ("quillon-slip", "2028-07-06", false),
    ] {
        let site = demo(name);
        let planner = planner(&site, on, &[("light", "any")]);
        let nights = planner.ridge_nights(day(on), None).expect("nights");
        let svg = draw(&planner, &nights, Around::All, Size::A4);
        let eclipse = nights.asked().and_then(|night| night.eclipse);
        assert_eq!(
            eclipse.map(|one| one.total.is_some()),
            eclipse.map(|_| total),
            "{name}"
        );
        assert_eq!(
            svg.contains("eclipse of the Moon"),
            eclipse.is_some(),
            "{name}"
        );
        if name == "witkopje-pan" {
            assert!(svg.contains(">totality "), "{name}");
            assert!(tags(&svg, "data-eclipse").len() >= 3, "{name}");
        }
    }
}

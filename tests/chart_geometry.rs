//! What is drawn against the numbers: coordinates are read back from the SVG.

mod common;

use common::svg::{attribute, number, tag};
use rakelight::{
    chart::{FrameChart, Look, NightChart, Palette, SeasonChart, SeasonPanel, Size},
    ephemeris::Direction,
    input::read_sites,
    plan::PlanSettings,
    rule::{Brief, Rules, TARGET},
    scene::{Dates, LightKind, Site},
    search::{LUNATION_DAYS, Season, lunations},
};
use std::path::Path;

fn saltbush() -> Site {
    let path = format!(
        "{}/demo-sites/saltbush-tank.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut read = read_sites(Path::new(&path)).expect("the demo site");
    read.next().expect("one site").expect("a sound site")
}

fn day(text: &str) -> chrono::NaiveDate {
    text.parse().expect("a date in the test")
}

#[test]
fn the_view_is_drawn_where_it_is_computed() {
    let site = saltbush();
    let rules = Rules::new(&Brief::of_site(&site), &site).expect("rules");
    // A time with Moon, core and the arch's top in the view.
    let moment = site.zone.parse_time("2027-07-09T21:40").expect("a time");
    let date = day("2027-07-09");
    let season = Season::new(Dates::new(date, date).expect("dates"));
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let mut view = FrameChart::at(&planner, moment).expect("an instant of the season");
    view.magnetic_declination_deg = None;
    let svg = view.draw(Look::new(Palette::Light, Size::A4)).svg;
    let axes = tag(&svg, "data-axes=\"view\"");
    let scale = number(axes, "width") / (2.0 * number(axes, "data-half-deg"));
    let azimuth = |x: f64| {
        let offset = (x - number(axes, "x")) / scale - number(axes, "data-half-deg");
        (number(axes, "data-facing-deg") + offset).rem_euclid(360.0)
    };
    let altitude = |y: f64| number(axes, "data-top-deg") - (y - number(axes, "y")) / scale;
    let near = |what: &str, (x, y): (f64, f64), azimuth_deg: f64, altitude_deg: f64| {
        let off = (azimuth(x) - azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
        assert!(off.abs() < 0.01, "{what}: {} {azimuth_deg}", azimuth(x));
        assert!(
            (altitude(y) - altitude_deg).abs() < 0.01,
            "{what}: {} {altitude_deg}",
            altitude(y)
        );
    };
    let sky = &view.instant.sky;
    let target = tag(&svg, "data-body=\"target\"");
    near(
        "target",
        (number(target, "data-x"), number(target, "data-y")),
        sky.target.azimuth_deg,
        sky.target.apparent_altitude_deg,
    );
    let arch = sky.arch.expect("an arch");
    let top = tag(&svg, "data-body=\"arch-top\"");
    let refraction_deg = 0.01;
    let y = number(top, "data-y");
    assert!((altitude(y) - arch.top_altitude_deg).abs() < refraction_deg);
    near(
        "arch",
        (number(top, "data-x"), y),
        arch.top_azimuth_deg,
        altitude(y),
    );

    let moon = tag(&svg, "data-body=\"moon\"");
    let transform = attribute(moon, "transform");
    let numbers: Vec<f64> = transform
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|piece| piece.parse().ok())
        .collect();
    near(
        "moon",
        (numbers[0], numbers[1]),
        sky.moon.azimuth_deg,
        sky.moon.apparent_altitude_deg,
    );
    assert!((numbers[2] - view.bright_limb_from_zenith_deg).abs() < 0.01);
    // The lit shape's area over the disc's, from the drawn arcs: half a disc
    // and half an ellipse.
    let shape = svg[svg.find("data-body=\"moon\"").expect("the Moon")..]
        .split("d=\"")
        .nth(1)
        .expect("a path");
    let arcs: Vec<f64> = shape[..shape.find('"').expect("its end")]
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter_map(|piece| piece.parse().ok())
        .collect();
    // M-r 0 A r r 0 0 1 r 0 A r b 0 0 sweep -r 0
    let (radius, bulge, sweep) = (arcs[2], arcs[10], arcs[13]);
    let lit = 0.5 * (1.0 + bulge / radius * if sweep > 0.5 { 1.0 } else { -1.0 });
    assert!((lit - sky.phase.illuminated_fraction).abs() < 1e-3, "{lit}");
}

#[test]
fn the_season_shows_the_windows_of_the_table() {
    let site = saltbush();
    let rules = Rules::new(&Brief::of_site(&site), &site).expect("rules");
    let (first, last) = (day("2027-01-01"), day("2027-12-31"));
    let dates = Dates::new(first, last).expect("dates");
    let planner = Season::new(dates.widened(LUNATION_DAYS))
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let rows = lunations(std::slice::from_ref(&planner), dates);
    let svg = SeasonChart {
        first,
        last,
        kinds: vec![LightKind::Raking],
        weighed: false,
        panels: vec![SeasonPanel {
            site: &site,
            rules: &rules,
            lunations: &rows,
        }],
    }
    .draw(Look::new(Palette::Light, Size::A4))
    .svg;
    let windows = Season::new(Dates::new(first, last).expect("dates"))
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    assert!(!windows.is_empty());
    for window in &windows {
        let mark = tag(&svg, &format!("data-night=\"{}\"", window.night));
        assert_eq!(
            attribute(mark, "data-score"),
            format!("{:.2}", window.score)
        );
    }
    assert_eq!(svg.matches("data-night=").count(), windows.len());
}

/// A Moon that is the target: its disc to scale where it stands, no second mark
/// and no second line for it, and no Milky Way.
#[test]
fn a_moon_that_is_the_target_is_drawn_to_scale_and_once() {
    let site = saltbush();
    let brief = Brief::default().with(&TARGET, Direction::Moon);
    let rules = Rules::new(&brief, &site).expect("rules");
    let date = day("2027-05-20");
    let season = Season::new(Dates::new(date, date).expect("dates"));
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let moment = site.zone.parse_time("2027-05-20T17:30").expect("a time");
    let frame = FrameChart::at(&planner, moment).expect("known");
    let svg = frame.draw(Look::new(Palette::Light, Size::A4)).svg;
    let view = tag(&svg, "data-axes=\"view\"");
    let scale = number(view, "width") / (2.0 * number(view, "data-half-deg"));
    let moon = tag(&svg, "data-body=\"moon\"");
    let at = attribute(moon, "transform")
        .trim_start_matches("translate(")
        .split([' ', ')'])
        .take(2)
        .map(|text| text.parse::<f64>().expect("a number"))
        .collect::<Vec<_>>();
    let place = &frame.instant.sky.moon;
    let middle = number(view, "x") + 0.5 * number(view, "width");
    let azimuth = number(view, "data-facing-deg") + (at[0] - middle) / scale;
    assert!((azimuth - place.azimuth_deg).abs() < 0.02, "{azimuth}");
    let altitude = number(view, "data-top-deg") - (at[1] - number(view, "y")) / scale;
    assert!(
        (altitude - place.apparent_altitude_deg).abs() < 0.02,
        "{altitude}"
    );
    let disc = &svg[svg.find("data-body=\"moon\"").expect("a Moon")..];
    let radius_deg = number(tag(disc, " r=\""), "r") / scale;
    let distance_km = place.distance_km.expect("near");
    let expected_deg = (1737.4 / distance_km).asin().to_degrees();
    assert!((radius_deg - expected_deg).abs() < 0.002, "{radius_deg}");
    let plan = planner
        .plan(date, &PlanSettings::default())
        .expect("a night of the season");
    let night = NightChart::of(&planner, &plan).expect("that night");
    let night = night.draw(Look::new(Palette::Light, Size::A4)).svg;
    assert!(night.contains("data-line=\"moon\""));
    for picture in [&svg, &night] {
        assert!(!picture.contains("=\"target\"") && !picture.contains("Milky Way"));
    }
}

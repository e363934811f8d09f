//! The picture of one instant against the numbers: positions are read back from
//! the SVG and compared with formulas of this file.

use crate::common;

use common::svg::{self, attribute, number, tag, tags};
use rakelight::{
    Moment, Planner,
    chart::{FrameChart, Look, NightChart, Palette, Size},
    ephemeris::{Direction, Ephemeris},
    input::read_sites,
    plan::PlanSettings,
    rule::{Brief, Conditions, Rules, TARGET},
    scene::{Dates, Site},
    search::Season,
};
use std::path::Path;

fn demo(name: &str) -> Site {
    let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut read = read_sites(Path::new(&path)).expect("a demo site");
    read.next().expect("one site").expect("a sound site")
}

fn planner(site: &Site, brief: Brief, date: &str) -> Planner {
    let rules = Rules::new(&brief.or(&Brief::of_site(site)), site).expect("rules");
    let date = date.parse().expect("a date in the test");
    let season = Season::new(Dates::new(date, date).expect("dates"));
    season.planner(site.clone(), rules).expect("a planner")
}

fn time(site: &Site, text: &str) -> Moment {
    site.zone.parse_time(text).expect("a time in the test")
}

fn drawn(chart: &FrameChart<'_>) -> String {
    chart.draw(Look::new(Palette::Light, Size::A4)).svg
}

fn point(tag: &str) -> (f64, f64) {
    (number(tag, "data-x"), number(tag, "data-y"))
}

/// The points of an element's path.
fn points(tag: &str) -> Vec<(f64, f64)> {
    svg::points(attribute(tag, "d"))
}

fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Where a direction falls through a lens: the gnomonic projection (J. P. Snyder,
/// *Map Projections: A Working Manual*, USGS Professional Paper 1395, 1987,
/// equations 5-3 and 22-3 to 22-5), with altitude and azimuth for latitude and
/// longitude.
struct Lens {
    azimuth: f64,
    altitude: f64,
    middle: (f64, f64),
    unit: f64,
}

impl Lens {
    fn of(svg: &str) -> Self {
        let axes = tag(svg, "data-axes=\"lens\"");
        let unit = number(axes, "data-pixels-per-unit");
        let middle = (
            number(axes, "x") + 0.5 * number(axes, "width"),
            number(axes, "y") + 0.5 * number(axes, "height"),
        );
        Self {
            azimuth: number(axes, "data-axis-azimuth-deg").to_radians(),
            altitude: number(axes, "data-axis-altitude-deg").to_radians(),
            middle: (
                middle.0 - unit * number(axes, "data-middle-across"),
                middle.1 + unit * number(axes, "data-middle-up"),
            ),
            unit,
        }
    }

    fn point(&self, azimuth_deg: f64, altitude_deg: f64) -> (f64, f64) {
        let (sin, cos) = altitude_deg.to_radians().sin_cos();
        let (sin_axis, cos_axis) = self.altitude.sin_cos();
        let (sin_turn, cos_turn) = (azimuth_deg.to_radians() - self.azimuth).sin_cos();
        let cos_c = sin_axis * sin + cos_axis * cos * cos_turn;
        let x = cos * sin_turn / cos_c;
        let y = (cos_axis * sin - sin_axis * cos * cos_turn) / cos_c;
        (self.middle.0 + self.unit * x, self.middle.1 - self.unit * y)
    }

    /// The direction at a point: azimuth and altitude, degrees (Snyder, equations
    /// 20-14, 20-15, 22-1 to 22-3).
    fn direction(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (x, y) = (
            (x - self.middle.0) / self.unit,
            (self.middle.1 - y) / self.unit,
        );
        let rho = x.hypot(y);
        let (sin_c, cos_c) = rho.atan().sin_cos();
        let (sin_axis, cos_axis) = self.altitude.sin_cos();
        let altitude = (cos_c * sin_axis + y * sin_c * cos_axis / rho).asin();
        let turn = (x * sin_c).atan2(rho * cos_axis * cos_c - y * sin_axis * sin_c);
        ((self.azimuth + turn).to_degrees(), altitude.to_degrees())
    }

    fn target(&self, instant: &Conditions) -> (f64, f64) {
        let target = &instant.sky.target;
        self.point(target.azimuth_deg, target.apparent_altitude_deg)
    }
}

/// What is written with two decimals lies this near, pixels.
const NEAR: f64 = 0.05;

#[test]
fn the_lens_shows_land_target_and_band_where_they_are() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, Brief::default(), "2027-05-29");
    let moment = time(&site, "2027-05-30T03:47");
    let chart = FrameChart::at(&planner, moment).expect("an instant of the season");
    let svg = drawn(&chart);
    let lens = Lens::of(&svg);
    let plan = chart.plan.expect("a frame");
    assert!((lens.azimuth.to_degrees() - plan.bearing_deg).abs() < 1e-3);
    assert!((lens.altitude.to_degrees() - plan.pitch_deg).abs() < 1e-3);

    // The frame of 20 mm and 35.9 by 23.9 mm, upright.
    let frame = tag(&svg, "data-frame=\"frame\"");
    assert!((number(frame, "width") - lens.unit * 23.9 / 20.0).abs() < NEAR);
    assert!((number(frame, "height") - lens.unit * 35.9 / 20.0).abs() < NEAR);

    let target = point(tag(&svg, "data-body=\"target\""));
    assert!(
        apart(target, lens.target(&chart.instant)) < NEAR,
        "{target:?}"
    );

    // Whole hours, and both ends of the window.
    let marks = tags(&svg, "data-clock=");
    assert!(marks.len() >= 6, "{}", marks.len());
    let mut clocks = Vec::new();
    for mark in marks {
        let utc = attribute(mark, "data-utc").parse().expect("a time");
        let instant = planner.at(Moment::from_utc(utc)).expect("known");
        assert!(apart(point(mark), lens.target(&instant)) < NEAR, "{mark}");
        clocks.push(attribute(mark, "data-clock").to_owned());
    }
    for clock in ["03:27", "04:27", "03:00", "04:00"] {
        assert!(
            clocks.iter().any(|told| told == clock),
            "{clock} in {clocks:?}"
        );
    }

    // The heavy part begins and ends with the window.
    let window = &planner
        .series("2027-05-29".parse().expect("a date"), 48)
        .expect("a night")
        .windows[0];
    let heavy = points(tag(&svg, "data-course-of=\"target\""));
    for (at, moment) in [
        (heavy[0], window.interval.first()),
        (heavy[heavy.len() - 1], window.interval.last()),
    ] {
        let instant = planner.at(moment).expect("known");
        assert!(apart(at, lens.target(&instant)) < NEAR);
    }
    // And lies on the course between: half-way in time.
    let middle = Moment::from_seconds(0.5 * (window.interval.start + window.interval.end));
    let there = lens.target(&planner.at(middle).expect("known"));
    let nearest = heavy
        .windows(2)
        .map(|pair| off_segment(there, pair[0], pair[1]));
    assert!(nearest.fold(f64::INFINITY, f64::min) < NEAR);

    // The subject: 6.5 m high, half as wide, by plane triangles at some 130 m.
    let shape = site.subject_shape().expect("a subject");
    let corners = points(tag(&svg, "data-body=\"subject\""));
    let expected = [
        (-shape.half_width_deg, shape.top_deg),
        (shape.half_width_deg, shape.top_deg),
        (shape.half_width_deg, shape.foot_deg),
        (-shape.half_width_deg, shape.foot_deg),
    ];
    for (corner, (aside, altitude)) in corners.iter().zip(expected) {
        assert!(apart(*corner, lens.point(shape.bearing_deg + aside, altitude)) < NEAR);
    }

    // The skyline, from the site's own points.
    let skyline = site.skyline.as_ref().expect("a skyline");
    let line = points(tag(&svg, "data-line=\"skyline\""));
    for azimuth in [150.0, 165.0, 180.0, 205.0] {
        let there = lens.point(azimuth, skyline.altitude_deg_at(azimuth));
        let off = line
            .windows(2)
            .map(|pair| off_segment(there, pair[0], pair[1]));
        assert!(off.fold(f64::INFINITY, f64::min) < NEAR, "{azimuth}");
    }

    // The band, 15 degrees wide, and 24 at the core.
    for (longitude, half) in [(0.0, 12.0), (40.0, 7.5), (320.0, 7.5)] {
        for side in [-half, half] {
            let there = chart.galaxy.place(longitude, side);
            let there = lens.point(there.azimuth_deg, there.apparent_altitude_deg);
            let edges = tags(&svg, "data-line=\"band-edge\"");
            let lines: Vec<_> = edges.iter().map(|edge| points(edge)).collect();
            let pairs = lines.iter().flat_map(|line| line.windows(2));
            let off = pairs.map(|pair| off_segment(there, pair[0], pair[1]));
            let off = off.fold(f64::INFINITY, f64::min);
            assert!(off < 0.3, "{longitude} {side}: {off}");
        }
    }
}

/// How far a point is from a stretch of a line.
fn off_segment(at: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let along = (to.0 - from.0, to.1 - from.1);
    let length = along.0.hypot(along.1).max(1e-9);
    let part = ((at.0 - from.0) * along.0 + (at.1 - from.1) * along.1) / (length * length);
    let part = part.clamp(0.0, 1.0);
    apart(at, (from.0 + part * along.0, from.1 + part * along.1))
}

#[test]
fn what_is_outside_is_told_at_the_nearest_edge() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, Brief::default(), "2027-05-29");
    let chart = FrameChart::at(&planner, time(&site, "2027-05-30T03:47")).expect("known");
    let picture = chart.draw(Look::new(Palette::Light, Size::Phone));
    let svg = &picture.svg;
    let labels = picture.labels.iter();
    assert_eq!(
        labels
            .filter(|label| label.text == "Moon 79° left, 11° up")
            .count(),
        1
    );
    let lens = Lens::of(svg);
    let frame = tag(svg, "data-frame=\"frame\"");
    let (left, top) = (number(frame, "x"), number(frame, "y"));
    let (width, height) = (number(frame, "width"), number(frame, "height"));
    let moon = &chart.instant.sky.moon;
    let away = |at: (f64, f64)| {
        let (azimuth, altitude) = lens.direction(at);
        let (sin, cos) = altitude.to_radians().sin_cos();
        let (moon_sin, moon_cos) = moon.apparent_altitude_deg.to_radians().sin_cos();
        let turn = (azimuth - moon.azimuth_deg).to_radians();
        (sin * moon_sin + cos * moon_cos * turn.cos())
            .acos()
            .to_degrees()
    };
    let mark = point(tag(svg, "data-outside="));
    let nearest = (0..=1000)
        .map(|step| f64::from(step) / 1000.0)
        .flat_map(|part| {
            let (x, y) = (left + part * width, top + part * height);
            [(x, top), (x, top + height), (left, y), (left + width, y)]
        })
        .map(away)
        .fold(f64::INFINITY, f64::min);
    assert!(
        away(mark) < nearest + 0.05,
        "{mark:?}: {} {nearest}",
        away(mark)
    );
    assert!((mark.0 - left).abs() < NEAR);
}

#[test]
fn the_strip_shows_all_round_at_one_scale() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, Brief::default(), "2027-05-29");
    let chart = FrameChart::at(&planner, time(&site, "2027-05-30T03:47")).expect("known");
    let svg = drawn(&chart);
    let axes = tag(&svg, "data-axes=\"strip\"");
    let scale = number(axes, "data-pixels-per-deg");
    assert!((number(axes, "width") - 360.0 * scale).abs() < NEAR);
    let facing = number(axes, "data-facing-deg");
    let at = |azimuth: f64, altitude: f64| {
        let offset = (azimuth - facing + 540.0).rem_euclid(360.0) - 180.0;
        (
            number(axes, "x") + 0.5 * number(axes, "width") + scale * offset,
            number(axes, "y") + scale * (number(axes, "data-top-deg") - altitude),
        )
    };
    let sky = &chart.instant.sky;
    for (mark, place) in [("strip-target", sky.target), ("strip-moon", sky.moon)] {
        let drawn = point(tag(&svg, &format!("data-body=\"{mark}\"")));
        let expected = at(place.azimuth_deg, place.apparent_altitude_deg);
        assert!(
            apart(drawn, expected) < NEAR,
            "{mark} {drawn:?} {expected:?}"
        );
    }
    // The frame's corners, where the lens has them.
    let lens = Lens::of(&svg);
    let frame = tag(&svg, "data-frame=\"frame\"");
    let outline = points(tag(&svg, "data-frame=\"outline\""));
    let left_upper = (number(frame, "x"), number(frame, "y"));
    let close = outline.iter().any(|(x, y)| {
        let azimuth = facing + (x - at(facing, 0.0).0) / scale;
        let altitude = number(axes, "data-top-deg") - (y - number(axes, "y")) / scale;
        apart(lens.point(azimuth, altitude), left_upper) < 0.3
    });
    assert!(close, "no corner of the frame in {outline:?}");
}

#[test]
fn the_plan_is_to_scale() {
    let site = demo("tinaja-mesa");
    let planner = planner(&site, Brief::default(), "2027-05-29");
    let chart = FrameChart::at(&planner, time(&site, "2027-05-30T03:47")).expect("known");
    let svg = drawn(&chart);
    let axes = tag(&svg, "data-axes=\"above\"");
    let scale = number(axes, "data-pixels-per-metre");
    let camera = (number(axes, "data-camera-x"), number(axes, "data-camera-y"));
    let facing = number(axes, "data-facing-deg");
    let subject = tag(&svg, "data-body=\"subject-above\"");
    let subject = (number(subject, "cx"), number(subject, "cy"));
    let distance_m = apart(camera, subject) / scale;
    let expected_m = site.subject_distance_m().expect("a distance");
    assert!(
        (distance_m - expected_m).abs() < 0.05,
        "{distance_m} {expected_m}"
    );
    let bearing = |from: (f64, f64), to: (f64, f64)| {
        let turn = (to.0 - from.0).atan2(from.1 - to.1).to_degrees();
        (facing + turn).rem_euclid(360.0)
    };
    let expected = site.subject_bearing_deg().expect("a bearing");
    assert!((bearing(camera, subject) - expected).abs() < 0.05);

    // The shadow: the height over the tangent of the Moon's altitude, away from
    // the Moon; as wide as the subject, which is half as wide as it is tall.
    let corners = points(tag(&svg, "data-body=\"shadow\""));
    let moon = &chart.instant.sky.moon;
    let length_m = 6.5 / moon.apparent_altitude_deg.to_radians().tan();
    for pair in [(corners[0], corners[1]), (corners[3], corners[2])] {
        let drawn_m = apart(pair.0, pair.1) / scale;
        assert!(
            (drawn_m - length_m).abs() < 0.02 * length_m,
            "{drawn_m} {length_m}"
        );
        let away = (moon.azimuth_deg + 180.0).rem_euclid(360.0);
        assert!((bearing(pair.0, pair.1) - away).abs() < 0.2);
    }
    let wide_m = apart(corners[0], corners[3]) / scale;
    assert!((wide_m - 3.25).abs() < 0.05, "{wide_m}");

    // The frame's side edges at the level, found through the lens.
    let lens = Lens::of(&svg);
    let frame = tag(&svg, "data-frame=\"frame\"");
    let edges = tags(&svg, "data-edge-deg=");
    assert_eq!(edges.len(), 2);
    let sides = [
        number(frame, "x"),
        number(frame, "x") + number(frame, "width"),
    ];
    for (edge, side) in edges.iter().zip(sides) {
        let ends = points(edge);
        let azimuth = bearing(ends[0], ends[1]);
        let (x, _) = lens.point(azimuth, 0.0);
        assert!((x - side).abs() < 0.3, "{azimuth}: {x} {side}");
        assert!((azimuth - number(edge, "data-edge-deg")).abs() < 0.05);
    }

    // From the dotted way the core stands straight above the subject.
    let way = points(tag(&svg, "data-way=\"straight-above\""));
    let window = chart.course.as_ref().expect("a night").series.windows[0].interval;
    for (at, moment) in [
        (way[0], window.first()),
        (way[way.len() - 1], window.last()),
    ] {
        let target = planner.at(moment).expect("known").sky.target;
        assert!((bearing(at, subject) - target.azimuth_deg).abs() < 0.1);
        assert!((apart(at, subject) / scale - expected_m).abs() < 0.1);
    }
}

/// Area and centre of a polygon: the shoelace formula.
fn area(polygon: &[(f64, f64)]) -> (f64, (f64, f64)) {
    let next = polygon.iter().cycle().skip(1);
    let (mut twice, mut x, mut y) = (0.0, 0.0, 0.0);
    for (a, b) in polygon.iter().zip(next) {
        let cross = a.0 * b.1 - b.0 * a.1;
        twice += cross;
        x += (a.0 + b.0) * cross;
        y += (a.1 + b.1) * cross;
    }
    (0.5 * twice.abs(), (x / (3.0 * twice), y / (3.0 * twice)))
}

/// The picture of a Moon that the camera faces.
fn of_moon<'a>(planner: &'a Planner, text: &str) -> FrameChart<'a> {
    FrameChart::at(planner, time(planner.site(), text)).expect("known")
}

fn moon_brief() -> Brief {
    let mut brief = Brief::default().with(&TARGET, Direction::Moon);
    brief.set("facing", "target").expect("a direction");
    brief
}

#[test]
fn a_moon_that_is_the_target_is_drawn_to_scale_and_once() {
    let site = demo("saltbush-tank");
    for (date, text) in [
        ("2027-07-09", "2027-07-09T21:40"),
        ("2027-05-15", "2027-05-15T19:00"),
    ] {
        let planner = planner(&site, moon_brief(), date);
        let chart = of_moon(&planner, text);
        let svg = drawn(&chart);
        let lens = Lens::of(&svg);
        let place = &chart.instant.sky.moon;
        let there = lens.point(place.azimuth_deg, place.apparent_altitude_deg);
        let limb = tags(&svg, "data-body=\"moon\"");
        assert_eq!(limb.len(), 1, "{text}");
        assert!(apart(point(limb[0]), there) < NEAR, "{text}");

        // As large as a sphere of 1737.4 km (IAU) at its distance.
        let distance_km = place.distance_km.expect("near");
        let radius_deg = (1737.4 / distance_km).asin().to_degrees();
        let upper = lens.point(place.azimuth_deg, place.apparent_altitude_deg + radius_deg);
        let points_of_limb = points(limb[0]);
        let (whole, centre) = area(&points_of_limb);
        assert!(apart(centre, there) < NEAR, "{text}");
        let highest = points_of_limb.iter().map(|at| apart(*at, upper));
        assert!(
            highest.fold(f64::INFINITY, f64::min) < 0.05 * apart(upper, there),
            "{text}"
        );

        // Its lit part has the share of the disc that the phase says, toward the
        // bright limb.
        let (lit, towards) = area(&points(tag(&svg, "data-body=\"moon-lit\"")));
        let fraction = chart.instant.sky.phase.illuminated_fraction;
        assert!(
            (lit / whole - fraction).abs() < 2e-3,
            "{text}: {} {fraction}",
            lit / whole
        );
        let angle = (towards.0 - there.0)
            .atan2(there.1 - towards.1)
            .to_degrees();
        let off = (angle - chart.bright_limb_from_zenith_deg + 180.0).rem_euclid(360.0) - 180.0;
        assert!(
            off.abs() < 1.5,
            "{text}: {angle} {}",
            chart.bright_limb_from_zenith_deg
        );

        let on = date.parse().expect("a date");
        let plan = planner
            .plan(on, &PlanSettings::default())
            .expect("a night of the season");
        let night = NightChart::of(&planner, &plan).expect("that night");
        let night = night.draw(Look::new(Palette::Light, Size::A4)).svg;
        for picture in [&svg, &night] {
            assert!(!picture.contains("=\"target\"") && !picture.contains("Milky Way"));
        }
    }
}

#[test]
fn the_umbra_lies_on_the_moon_to_scale() {
    // 2026-03-03: partial from 09:50 UT, total from 11:04 to 12:03 (F. Espenak,
    // *Fifty Year Canon of Lunar Eclipses*, from memory), high over this place.
    let site = demo("tinaja-mesa");
    let planner = planner(&site, moon_brief(), "2026-03-02");
    let chart = of_moon(&planner, "2026-03-03T03:20");
    let svg = drawn(&chart);
    let (disc, middle) = area(&points(tag(&svg, "data-body=\"moon\"")));
    let (shadow, centre) = area(&points(tag(&svg, "data-body=\"umbra\"")));
    let radius = (shadow / disc).sqrt();
    let moon_px = (disc / std::f64::consts::PI).sqrt();
    let distance = apart(centre, middle) / moon_px;
    let moment = time(&site, "2026-03-03T03:20");
    let ephemeris = Ephemeris::covering(
        moment.plus_seconds(-86_400.0),
        moment.plus_seconds(86_400.0),
    );
    let expected = ephemeris.shadow_magnitudes(moment).umbral;
    let share = 0.5 * (radius + 1.0 - distance);
    assert!((share - expected).abs() < 0.01, "{share} {expected}");
    // The umbra is some 2.7 times as wide as the Moon.
    assert!((2.4..3.0).contains(&radius), "{radius}");
    // Toward the point opposite the Sun, which the parallax lowers as it does the
    // Moon (no refraction so high).
    let sky = &chart.instant.sky;
    let parallax = (6378.0 / sky.moon.distance_km.expect("near"))
        .asin()
        .to_degrees();
    let altitude = sky.moon.altitude_deg;
    let lowered = -sky.sun.altitude_deg - parallax * altitude.to_radians().cos();
    let up = lowered - altitude;
    let right =
        (sky.sun.azimuth_deg + 180.0 - sky.moon.azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
    let right = right * altitude.to_radians().cos();
    let expected = right.atan2(up).to_degrees();
    let angle = (centre.0 - middle.0)
        .atan2(middle.1 - centre.1)
        .to_degrees();
    let off = (angle - expected + 180.0).rem_euclid(360.0) - 180.0;
    assert!(off.abs() < 6.0, "{angle} {expected}");

    // In totality no part of the disc is white, and the words say so.
    let total = of_moon(&planner, "2026-03-03T04:30");
    let picture = total.draw(Look::new(Palette::Light, Size::A4));
    assert!(picture.svg.contains("data-body=\"moon\""));
    assert!(!picture.svg.contains("data-body=\"moon-lit\""));
    let words: Vec<&str> = picture.labels.iter().map(|l| l.text.as_str()).collect();
    let words = words.join(" ");
    assert!(
        words.contains("Total eclipse of the Moon: in the umbra 02:50-06:17"),
        "{words}"
    );
    assert!(
        words.contains("now total") && !words.contains("100% lit"),
        "{words}"
    );
}

/// A wall is a bar across the line of sight, as long as the wall is wide.
#[test]
fn a_wide_subject_is_a_bar_to_scale() {
    let mut site = demo("tinaja-mesa");
    let subject = site.subject.as_mut().expect("a subject");
    (subject.width_m, subject.height_m) = (Some(40.0), Some(3.0));
    let planner = planner(&site, Brief::default(), "2027-05-29");
    let chart = FrameChart::at(&planner, time(&site, "2027-05-30T03:47")).expect("known");
    let svg = drawn(&chart);
    assert!(!svg.contains("subject-above"));
    let axes = tag(&svg, "data-axes=\"above\"");
    let scale = number(axes, "data-pixels-per-metre");
    let camera = (number(axes, "data-camera-x"), number(axes, "data-camera-y"));
    let ends = points(tag(&svg, "data-body=\"subject-bar\""));
    let wide_m = apart(ends[0], ends[1]) / scale;
    assert!((wide_m - 40.0).abs() < 0.2, "{wide_m}");
    let middle = (0.5 * (ends[0].0 + ends[1].0), 0.5 * (ends[0].1 + ends[1].1));
    let expected_m = site.subject_distance_m().expect("a distance");
    assert!((apart(camera, middle) / scale - expected_m).abs() < 0.2);
    // Both ends are as far from the camera, and the shadow begins at them.
    assert!((apart(camera, ends[0]) - apart(camera, ends[1])).abs() < 0.2);
    let shadow = points(tag(&svg, "data-body=\"shadow\""));
    assert!(apart(shadow[0], ends[0]) < 0.2 && apart(shadow[3], ends[1]) < 0.2);
}

/// How bright a faint Milky Way is stands in the answer; a target without a name
/// is told as it is typed; the way to it is told from the subject.
#[test]
fn the_answer_says_how_faint_and_which_target() {
    let told = |name: &str, date: &str, at: &str| {
        let site = demo(name);
        let planner = planner(&site, Brief::default(), date);
        let chart = FrameChart::at(&planner, time(&site, at)).expect("known");
        let picture = chart.draw(Look::new(Palette::Light, Size::A4));
        let words: Vec<&str> = picture.labels.iter().map(|l| l.text.as_str()).collect();
        let words = words.join(" ");
        (
            words,
            chart.instant.light.milky_way_contrast.expect("a contrast"),
        )
    };
    let (words, contrast) = told("quillon-slip", "2028-07-14", "2028-07-15T01:02");
    assert!((0.1..0.3).contains(&contrast));
    let core = format!("In the picture: core (Milky Way {contrast:.2} of the sky)");
    assert!(words.contains(&core), "{words}");
    assert!(!words.contains("camera direction."), "{words}");
    assert!(words.contains("° right of the winch house"), "{words}");
    let (words, contrast) = told("storvarden-cairn", "2027-12-10", "2027-12-10T20:00");
    assert!(contrast < 0.1);
    let target = "Lost in the bright sky: target gal:80,0 (Milky Way 0.";
    assert!(words.contains(target), "{words}");
}

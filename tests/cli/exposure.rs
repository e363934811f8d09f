//! Exposure: the land, a mount, trails, a time-lapse, panoramas.

use super::{TANK, code, json, rakelight, stdout};
use crate::program::Folder;
use serde_json::Value;
use std::f64::consts::TAU;

/// A sidereal day, seconds.
const DAY_S: f64 = 86_164.090_5;
const AT: [&str; 2] = ["--time", "2027-07-09T22:00"];

fn exposure(more: &[&str]) -> Value {
    json(&[&["exposure", "--format", "json"], more].concat())
}

fn number(document: &Value, pointer: &str) -> f64 {
    let found = document.pointer(pointer).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("{pointer} in {document}"))
}

fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} {expected}");
}

/// The equator's stars on the sensor of the lens by itself: 14 mm, 6 um.
fn moves_px(seconds: f64) -> f64 {
    TAU / DAY_S * seconds * 14.0 / 6e-3
}

#[test]
fn the_land_has_its_own_settings() {
    let plain = exposure(&["--land-lux", "0.02", "--reflectance", "0.3"]);
    let asked = [
        "--land-lux=0.02",
        "--reflectance=0.3",
        "--land-placement=-1",
        "--land-f-number=4",
        "--land-frames=3",
        "--iso=100..400",
        "--pause=5s",
    ];
    let asked = exposure(&asked);
    // Lambert, then ISO 2720:1974 with K = 12.5.
    let land_cd_m2 = 0.02 * 0.3 / std::f64::consts::PI;
    for (document, n, placement, iso) in [(&plain, 2.8, 0.0, 25_600.0), (&asked, 4.0, -1.0, 400.0)]
    {
        let (shutter, speed) = (
            number(document, "/land/shutter_s"),
            number(document, "/land/iso"),
        );
        assert!(shutter > 30.0 && shutter <= 240.0 && speed <= iso);
        let mid_tone_cd_m2 = 12.5 * n * n / (shutter * speed);
        near((land_cd_m2 / mid_tone_cd_m2).log2(), placement, 0.02);
        near(number(document, "/land/placement_stops"), placement, 0.02);
    }
    let shutter = number(&asked, "/land/shutter_s");
    near(
        number(&asked, "/land/total_s"),
        3.0 * shutter + 2.0 * 5.0,
        1e-9,
    );
    let text = stdout(&rakelight(&["exposure"]));
    assert!(text.contains("(bulb)"), "{text}");
}

/// The window is that of the scan, so that a series can be set against it.
#[test]
fn the_window_is_that_of_the_scan() {
    let mesa = "demo-sites/tinaja-mesa.toml";
    let scan = ["scan", mesa, "--from=2027-07-09", "--to=2027-07-09"];
    let scan = json(&[&scan[..], &["--format=json"]].concat());
    let window = &super::windows(&scan)[0];
    let at = |time: &str| exposure(&[mesa, "--time", time])["window"].clone();
    let inside = at("2027-07-09T23:29");
    assert_eq!(inside["start_utc"], window["start_utc"]);
    assert_eq!(inside["end_utc"], window["end_utc"]);
    let end: chrono::DateTime<chrono::Utc> = inside["end_utc"]
        .as_str()
        .and_then(|text| text.parse().ok())
        .expect("a time");
    let asked = "2027-07-10T05:29:00Z".parse::<chrono::DateTime<chrono::Utc>>();
    let left = (end - asked.expect("a time")).num_seconds() as f64;
    near(number(&inside, "/left_s"), left, 1.0);
    assert!(at("2027-07-09T21:00").is_null());
    assert!(exposure(&[]).get("window").is_none());
}

#[test]
fn a_mount_blurs_the_land() {
    let tracked = exposure(&["--tracked", "120s"]);
    let same = exposure(&["--tracked=2min"]);
    assert_eq!(tracked, same);
    near(number(&tracked, "/tracked/shutter_s"), 120.0, 0.0);
    near(
        number(&tracked, "/tracked/land_blur_px"),
        moves_px(120.0),
        0.01,
    );
    assert!(number(&tracked, "/tracked/iso") < number(&tracked, "/iso") / 8.0);
    near(number(&tracked, "/tracked/sky_placement_stops"), -2.0, 0.2);
    assert!(exposure(&[]).get("tracked").is_none());
}

#[test]
fn trails_are_as_long_as_asked() {
    for (asked, seconds) in [
        ("20deg", 20.0 / 360.0 * DAY_S),
        ("60min", 3600.0),
        ("1h30min", 5400.0),
    ] {
        let trails = exposure(&[
            "--trails",
            asked,
            "--frame-shutter",
            "1min",
            "--pause",
            "1s",
        ]);
        let total_s = number(&trails, "/star_trails/total_s");
        assert!((seconds..seconds + 61.0).contains(&total_s), "{asked}");
        let frames = number(&trails, "/star_trails/frames");
        near(total_s, 60.0 * frames + (frames - 1.0), 1e-6);
        near(
            number(&trails, "/star_trails/turn_deg"),
            360.0 * total_s / DAY_S,
            1e-3,
        );
        near(
            number(&trails, "/star_trails/length_px"),
            moves_px(total_s),
            0.1,
        );
        near(number(&trails, "/star_trails/gap_px"), moves_px(1.0), 0.006);
    }
}

#[test]
fn a_time_lapse_is_counted() {
    let film = exposure(&["--time-lapse", "2h", "--interval", "15s"]);
    near(number(&film, "/time_lapse/frames"), 480.0, 0.0);
    near(number(&film, "/time_lapse/film_s"), 19.2, 1e-9);
    assert!(film["time_lapse"]["light_change"].is_null());
    let at_24 = exposure(&["--time-lapse=2h", "--interval=15s", "--frame-rate=24"]);
    near(number(&at_24, "/time_lapse/film_s"), 20.0, 1e-9);
}

/// From dusk into the night the same camera needs more ISO or time; the
/// settings at both ends are those that the command gives for these instants.
#[test]
fn a_time_lapse_follows_the_light() {
    let dusk = ["--time", "2027-07-09T18:20"];
    let film = exposure(&[&[TANK, "--time-lapse=90min"], &dusk[..]].concat());
    let change = &film["time_lapse"]["light_change"];
    let (first, last) = (
        change["first_utc"].as_str().expect("a time"),
        change["last_utc"].as_str().expect("a time"),
    );
    for (end, time) in [("first", first), ("last", last)] {
        let there = exposure(&[TANK, "--time", time]);
        for field in ["shutter_s", "iso"] {
            let of_film = number(change, &format!("/{end}_{field}"));
            near(of_film, number(&there, &format!("/{field}")), 0.0);
        }
    }
    let given = |end: &str| {
        number(change, &format!("/{end}_iso")) * number(change, &format!("/{end}_shutter_s"))
    };
    assert!(given("last") > 2.0 * given("first"), "{change}");
    assert!(number(change, "/lowest_iso") <= number(change, "/first_iso"));
    assert!(number(change, "/highest_iso") >= number(change, "/last_iso"));
    // A sky that was measured stays what it is.
    let measured = [TANK, "--time-lapse=90min", "--sky-mag=20"];
    let measured = exposure(&[&measured[..], &dusk[..]].concat());
    assert!(measured["time_lapse"]["light_change"].is_null());
}

/// 14 mm at the core: the equator is in the frame, so the limit is
/// (16.856 x 2.8 + 0.0997 x 14 + 13.713 x 6)/14 = 9.348 s and not that over
/// cos 29 degrees.
#[test]
fn the_fastest_star_in_the_frame_sets_the_limit_in_every_command() {
    near(number(&exposure(&[]), "/shutter_limit_s"), 9.348, 0.001);
    let night = json(&["night", TANK, "--on=2027-07-09", "--format=json"]);
    let steps = night["steps"].as_array().expect("steps");
    for step in steps.iter().step_by(7) {
        let time = step["time_utc"].as_str().expect("a time");
        let there = exposure(&[TANK, "--time", time]);
        near(
            number(step, "/longest_shutter_s"),
            number(&there, "/shutter_limit_s"),
            0.006,
        );
        let sky = json(&["sky", TANK, "--time", time, "--format=json"]);
        for field in ["shutter_s", "iso"] {
            let of_sky = number(&sky, &format!("/camera/{field}"));
            near(of_sky, number(&there, &format!("/{field}")), 1e-4);
        }
    }
    // A long lens at the pole has only slow stars.
    let pole = exposure(&["--focal-mm=200", "--declination=89"]);
    let half_diagonal_deg = (21.633f64 / 200.0).atan().to_degrees();
    near(
        number(&pole, "/declination_deg"),
        89.0 - half_diagonal_deg,
        0.001,
    );
}

#[test]
fn a_panorama_has_its_bearings_and_its_time() {
    let angles = |plan: &Value, key: &str| -> Vec<f64> {
        let all = plan[key].as_array().expect("angles");
        all.iter().filter_map(Value::as_f64).collect()
    };
    let alone = exposure(&["--panorama=200x70", "--pause=3s"]);
    assert!(alone["panorama"]["centre_deg"].is_null());
    let there = exposure(&[&[TANK, "--panorama=200x70", "--pause=3s"], &AT[..]].concat());
    let facing = number(&there, "/sky/facing_deg");
    near(number(&there, "/panorama/centre_deg"), facing, 0.01);
    for document in [&alone, &there] {
        let plans = document["panorama"]["plans"].as_array().expect("plans");
        for plan in plans {
            let bearings = angles(plan, "bearings_deg");
            let frames = number(plan, "/frames_per_row");
            assert_eq!(bearings.len() as f64, frames);
            let step = number(plan, "/yaw_step_deg");
            for pair in bearings.windows(2) {
                near((pair[1] - pair[0]).rem_euclid(360.0), step, 0.02);
            }
            assert_eq!(
                angles(plan, "pitches_deg").len() as f64,
                number(plan, "/rows")
            );
            let row_s = frames * (number(document, "/shutter_s") + 3.0);
            near(number(plan, "/row_s"), row_s, 1e-6);
            near(number(plan, "/sky_turn_deg"), 360.0 * row_s / DAY_S, 1e-3);
        }
    }
    let plan = &alone["panorama"]["plans"][0];
    let bearings = angles(plan, "bearings_deg");
    near(bearings.iter().sum::<f64>(), 0.0, 0.05);
}

#[test]
fn all_of_it_fits_in_80_columns() {
    let series = [
        "--tracked=90s",
        "--trails=20deg",
        "--time-lapse=2h",
        "--land-frames=12",
    ];
    let at_site = [&["exposure", TANK], &AT[..], &series].concat();
    let alone = [&["exposure"][..], &series].concat();
    let long = ["exposure", "--focal-mm=300", "--panorama=360x160"];
    let dark = [
        "exposure",
        "--sky-mag=22",
        "--f-number=22",
        "--iso=100..200",
    ];
    for args in [&at_site[..], &alone, &long, &[&dark[..], &series].concat()] {
        let output = rakelight(args);
        assert_eq!(code(&output), 0, "{args:?}");
        for line in stdout(&output).lines() {
            assert!(line.chars().count() <= 80, "{args:?}: {line}");
        }
    }
}

/// The reflectance that a frame gives, written into the site as it is printed,
/// makes the computed land that of the frame, and the range narrower.
#[test]
fn a_frame_of_ones_own_calibrates_the_land() {
    let folder = Folder::new();
    let at = "--time=2027-07-09T12:30Z";
    let site = |subject: &str| {
        let text = format!(
            "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n\
             [subject]\nbearing_deg = 205\n{subject}"
        );
        folder.file("site.toml", text)
    };
    let sky = |path: &str| json(&["sky", path, at, "--format", "json"]);
    let plain = site("");
    let before = sky(&plain);
    let computed = number(&before, "/light/land_vs_sky_stops");
    let measured = computed + 0.8;
    let frame = format!("--land-measured={measured:.3}");
    let said = json(&["exposure", &plain, at, &frame, "--format", "json"]);
    near(
        number(&said, "/calibration/computed_stops"),
        computed,
        0.005,
    );
    let reflectance = number(&said, "/calibration/reflectance");
    // Brighter land than by the default of 0.15.
    assert!(reflectance > 0.15 && reflectance < 0.6, "{reflectance}");
    let page = stdout(&rakelight(&["exposure", &plain, at, &frame]));
    let line = |start: &str| {
        let found = page.lines().find(|line| line.trim().starts_with(start));
        found.unwrap_or_else(|| panic!("{start} in {page}")).trim()
    };
    let lines = [line("reflectance ="), line("reflectance_measured =")];
    assert_eq!(lines[1], "reflectance_measured = 2027-07-09");
    let after = sky(&site(&lines.join("\n")));
    near(number(&after, "/light/land_vs_sky_stops"), measured, 0.01);
    let width = |document| number(document, "/land_vs_sky_half_width_stops");
    assert!(
        width(&after) < 0.6 * width(&before),
        "{} {}",
        width(&after),
        width(&before)
    );
}

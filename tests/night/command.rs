//! The night as the program prints it: hard places, every line.
#![cfg(feature = "cli")]

use crate::program;

use program::{Folder, Run};
use serde_json::Value;

fn run(arguments: &[&str]) -> String {
    let ended = Run::here().of(arguments);
    assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
    ended.out
}

fn night(site: &str, on: &str, more: &[&str]) -> String {
    let mut arguments = vec!["night", site, "--on", on];
    arguments.extend(more);
    run(&arguments)
}

fn json(site: &str, on: &str) -> Value {
    serde_json::from_str(&night(site, on, &["--format", "json"])).expect("JSON")
}

#[test]
fn a_midsummer_night_in_the_far_north_says_how_dark_it_gets() {
    let report = json("demo-sites/storvarden-cairn.toml", "2027-06-20");
    assert_eq!(report["darkness"]["reaches"], "sun_up");
    assert_eq!(report["steps"], Value::Array(Vec::new()));
    for event in ["sunset", "sunrise", "civil_dusk", "astronomical_dawn"] {
        assert_eq!(report["events"][event], Value::Null, "{event}");
    }
    // The Sun's altitude at its lower transit is 90 - latitude - declination
    // from below: 23.436 + 69.62 - 90 (the obliquity near the solstice).
    let lowest = report["darkness"]["lowest_sun_altitude_deg"].as_f64();
    assert!((lowest.expect("a number") - (23.436 + 69.62 - 90.0)).abs() < 0.02);
    let table = night("demo-sites/storvarden-cairn.toml", "2027-06-20", &[]);
    assert!(table.contains("The Sun does not set; it is lowest at 00:39, 3.1° up."));
}

#[test]
fn a_polar_night_has_no_sunset_and_many_dark_hours() {
    let report = json("demo-sites/storvarden-cairn.toml", "2027-12-05");
    assert_eq!(report["darkness"]["reaches"], "night");
    assert_eq!(report["darkness"]["sunless"], true);
    assert_eq!(report["events"]["sunset"], Value::Null);
    assert!(report["events"]["astronomical_dusk"].is_string());
    assert!(report["steps"].as_array().expect("steps").len() > 60);
}

#[test]
fn a_midsummer_night_at_50_north_never_gets_dark() {
    let report = json("demo-sites/quillon-slip.toml", "2027-06-20");
    assert_eq!(report["darkness"]["reaches"], "astronomical_twilight");
    assert_eq!(report["events"]["astronomical_dusk"], Value::Null);
    let advice = report["advice"][0].as_str().expect("advice");
    assert!(advice.starts_with("No full darkness:"), "{advice}");
}

#[test]
fn every_event_is_named_and_the_same_in_both_lists() {
    let report = json("demo-sites/tinaja-mesa.toml", "2027-07-09");
    let events = report["events"].as_object().expect("events");
    let names: Vec<&str> = events.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        [
            "sunset",
            "civil_dusk",
            "nautical_dusk",
            "astronomical_dusk",
            "astronomical_dawn",
            "nautical_dawn",
            "civil_dawn",
            "sunrise",
            "moonrise",
            "moonset",
            "target_rise",
            "target_transit",
            "target_set"
        ]
    );
    let order = report["timetable"].as_array().expect("lines");
    for (name, time) in events {
        let line = order.iter().find(|line| line["what"] == name.as_str());
        let told = line.map_or(&Value::Null, |line| &line["time_utc"]);
        assert_eq!(told, time, "{name}");
    }
    let times: Vec<&str> = order
        .iter()
        .filter_map(|line| line["time_utc"].as_str())
        .collect();
    assert!(times.is_sorted());
    // Magnetic = true less declination.
    let declination = report["compass"]["declination_deg"]
        .as_f64()
        .expect("known");
    for line in order {
        let (Some(azimuth), Some(magnetic)) = (
            line["azimuth_deg"].as_f64(),
            line["magnetic_azimuth_deg"].as_f64(),
        ) else {
            continue;
        };
        let apart = (azimuth - declination - magnetic + 180.0).rem_euclid(360.0) - 180.0;
        assert!(apart.abs() < 0.02, "{line}");
    }
}

#[test]
fn through_a_change_of_clocks_local_time_and_offset_make_utc() {
    for (site, on, offsets) in [
        // Half an hour back at 02:00 (Lord Howe Island), an hour back at 03:00
        // (South Australia): first Sunday of April.
        (
            "demo-sites/gannet-steps.toml",
            "2027-04-03",
            ["+11:00", "+10:30"],
        ),
        (
            "demo-sites/saltbush-tank.toml",
            "2027-04-03",
            ["+10:30", "+09:30"],
        ),
        // An hour on at 02:00: first Sunday of October.
        (
            "demo-sites/saltbush-tank.toml",
            "2027-10-02",
            ["+09:30", "+10:30"],
        ),
        (
            "demo-sites/gannet-steps.toml",
            "2027-10-02",
            ["+10:30", "+11:00"],
        ),
    ] {
        let text = night(site, on, &["--format", "csv", "--light", "any"]);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let heads = reader.headers().expect("heads").clone();
        let column = |name: &str| {
            heads
                .iter()
                .position(|head| head == name)
                .expect("a column")
        };
        let (local, offset, utc) = (
            column("time_local"),
            column("utc_offset"),
            column("time_utc"),
        );
        let mut seen = Vec::new();
        for row in reader.records() {
            let row = row.expect("a row");
            let whole = format!("{}{}", row[local].replace(' ', "T"), &row[offset]);
            let typed = chrono::DateTime::parse_from_rfc3339(&whole).expect("RFC 3339");
            let meant = chrono::DateTime::parse_from_rfc3339(&row[utc]).expect("RFC 3339");
            assert_eq!(typed, meant, "{site} {on}");
            if seen.last() != Some(&row[offset].to_string()) {
                seen.push(row[offset].to_string());
            }
        }
        assert_eq!(seen, offsets, "{site} {on}");
        let table = night(site, on, &[]);
        assert!(table.contains(&format!("clocks change: UTC {} from now on", offsets[1])));
    }
}

#[test]
fn the_card_fits_80_columns_and_does_not_change_from_run_to_run() {
    for (site, on) in [
        ("demo-sites/gannet-steps.toml", "2027-04-03"),
        ("demo-sites/storvarden-cairn.toml", "2027-12-05"),
        ("demo-sites/gratalm-hut.toml", "2027-08-08"),
        ("demo-sites/quillon-slip.toml", "2027-06-20"),
    ] {
        let table = night(site, on, &[]);
        for line in table.lines() {
            assert!(line.chars().count() <= 80, "{site} {on}: {line}");
        }
        for format in [
            "table", "json", "csv", "markdown", "ical", "geojson", "gpx", "kml",
        ] {
            let first = night(site, on, &["--format", format]);
            assert_eq!(first, night(site, on, &["--format", format]), "{format}");
        }
    }
}

#[test]
fn a_lunar_eclipse_stands_in_the_running_order() {
    // NASA, Five Millennium Canon of Lunar Eclipses: total eclipse of 2025
    // March 14, umbral contacts 05:09, 06:26, 07:31, 08:48 UT, greatest 06:59
    // (contacts from memory; they differ by up to a minute or two between
    // shadow rules).
    let report = json("demo-sites/tinaja-mesa.toml", "2025-03-13");
    let order = report["timetable"].as_array().expect("lines");
    for (what, minute) in [
        ("eclipse_begins", "05:09"),
        ("totality_begins", "06:26"),
        ("eclipse_greatest", "06:59"),
        ("totality_ends", "07:31"),
        ("eclipse_ends", "08:48"),
    ] {
        let line = order.iter().find(|line| line["what"] == what);
        let time = line.and_then(|line| line["time_utc"].as_str()).expect(what);
        let found = chrono::DateTime::parse_from_rfc3339(time).expect("RFC 3339");
        let published = format!("2025-03-14T{minute}:00Z");
        let published = chrono::DateTime::parse_from_rfc3339(&published).expect("RFC 3339");
        assert!(
            (found - published).num_seconds().abs() <= 120,
            "{what}: {time}"
        );
    }
}

#[test]
fn outside_the_magnetic_model_the_card_says_so() {
    let table = night("demo-sites/saltbush-tank.toml", "2035-07-05", &[]);
    assert!(table.contains("valid from 2025.0 to"), "{table}");
    let report = json("demo-sites/saltbush-tank.toml", "2035-07-05");
    assert_eq!(report["compass"]["declination_deg"], Value::Null);
}

#[test]
fn windows_are_those_of_the_scan() {
    let site = "demo-sites/saltbush-tank.toml";
    let scan: Value = serde_json::from_str(&run(&[
        "scan",
        site,
        "--from",
        "2027-07-01",
        "--to",
        "2027-07-31",
        "--format",
        "json",
    ]))
    .expect("JSON");
    let windows = scan["sites"][0]["windows"].as_array().expect("windows");
    assert!(!windows.is_empty());
    for window in windows {
        let on = window["night"].as_str().expect("a date");
        let of_night = json(site, on);
        let same = of_night["windows"]
            .as_array()
            .expect("windows")
            .iter()
            .any(|other| {
                [
                    "start_utc",
                    "end_utc",
                    "best_utc",
                    "score",
                    "land_vs_sky_stops",
                ]
                .iter()
                .all(|key| other[*key] == window[*key])
            });
        assert!(same, "{on}");
    }
}

#[test]
fn odd_input_is_refused_in_words() {
    for (arguments, words) in [
        (
            vec!["night", "demo-sites/saltbush-tank.toml", "--on", "someday"],
            "--on",
        ),
        (
            vec![
                "night",
                "demo-sites/saltbush-tank.toml",
                "--on",
                "2027-02-30",
            ],
            "2027-02-30",
        ),
        (
            vec![
                "night",
                "demo-sites/saltbush-tank.toml",
                "--on",
                "2027-05-01",
                "--step",
                "nan",
            ],
            "minutes from 1 to 720",
        ),
        (
            vec![
                "tripod",
                "demo-sites/saltbush-tank.toml",
                "--time",
                "2027-05-01T12:00",
            ],
            "no tripod position",
        ),
        (
            vec!["tripod", "--place", "-31,139", "--time", "2027-07-09T10:00"],
            "no subject",
        ),
        // Samoa left 30 December 2011 out.
        (
            vec![
                "night",
                "--place",
                "-13.8,-171.8",
                "--time-zone",
                "Pacific/Apia",
                "--on",
                "2011-12-30",
            ],
            "that day was left out there",
        ),
    ] {
        let ended = Run::here().of(&arguments);
        let said = ended.err;
        assert_eq!(ended.code, 2, "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
}

/// Rise and set of Sun and Moon are the almanacs', by 34' whatever the air; the
/// target's are by the air of the site, as its altitude is everywhere else.
/// `docs/accuracy.md` tells how much that is.
#[test]
fn the_core_rises_by_the_air_of_the_site_and_the_moon_by_the_almanacs() {
    let folder = Folder::new();
    let told = include_str!("../../docs/accuracy.md");
    let mut seen = Vec::new();
    for (elevation, pressure, temperature, name) in [
        (0, "1010", 10, "sea.toml"),
        // The standard atmosphere at 4000 m.
        (4000, "616", -11, "plateau.toml"),
    ] {
        let text = format!(
            "name = 'A'\nlatitude_deg = -30\nlongitude_deg = 10\nelevation_m = {elevation}\n\
             time_zone = 'UTC'\n[air]\npressure_hpa = {pressure}\ntemperature_c = {temperature}\n"
        );
        let path = folder.file(name, text);
        let events = &json(&path, "2027-07-09")["events"];
        for event in ["target_rise", "target_set"] {
            let time = events[event].as_str().expect("a time").to_owned();
            let sky = run(&["sky", &path, "--time", &time, "--format", "json"]);
            let core = &serde_json::from_str::<Value>(&sky).expect("JSON")["target"];
            let appears = core["apparent_altitude_deg"].as_f64().expect("a number");
            // The core moves 0.0042 degrees in a second of time.
            assert!(appears.abs() < 0.004, "{event}: {appears}");
            let refraction = -60.0 * core["altitude_deg"].as_f64().expect("a number");
            let words = format!("{refraction:.0}' of refraction at {pressure} hPa");
            assert!(told.contains(&words), "{words} is not in docs/accuracy.md");
            seen.push((event, events[event].clone(), events["moonrise"].clone()));
        }
    }
    // The same Moon, one core earlier than the other.
    assert_eq!(seen[0].2, seen[2].2);
    assert_ne!(seen[0].1, seen[2].1);
}

#[test]
fn the_dark_periods_of_a_raking_night_have_no_moon_and_a_dark_sky() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-04");
    let report = json(site, on);
    let times =
        |of: &Value, keys: [&str; 2]| keys.map(|key| of[key].as_str().expect(key).to_owned());
    let periods = report["periods"]["moonless_dark"]
        .as_array()
        .expect("periods");
    assert!(!periods.is_empty());
    let events = &report["events"];
    let [dusk, dawn] = times(events, ["astronomical_dusk", "astronomical_dawn"]);
    for period in periods {
        let [start, end] = times(period, ["start_utc", "end_utc"]);
        // The new Moon is down all night; ISO 8601 in UTC sorts as text.
        assert!(dusk <= start && start < end && end <= dawn, "{start} {end}");
    }
    // On this night the core has left before the Moon sets.
    let report = json(site, "2027-07-09");
    assert_eq!(report["periods"]["moonless_dark"], Value::Array(Vec::new()));
}

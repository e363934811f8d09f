//! Each format as it is promised, and that they say the same.

use super::{TANK, code, json, rakelight, scan, stderr, stdout, windows};
use crate::program::Folder;
use serde_json::Value;
use std::fs;

#[test]
fn csv_begins_with_the_promised_columns_and_equals_the_json() {
    let promised = "site,view,rank,score,night,start_local,end_local,best_local,utc_offset,start_utc,\
        end_utc,best_utc,minutes,target_altitude_deg,target_azimuth_deg,target_offset_deg,\
        moon_altitude_deg,moon_azimuth_deg,moon_fraction,moon_waxing,light_angle_deg,light_side,\
        moon_target_separation_deg,sun_altitude_deg,moonlight_lux,sky_mag_arcsec2,sky_loss_mag,\
        milky_way_contrast,milky_way_visibility,contrast_kept,land_vs_sky_stops,\
        land_vs_sky_half_width_stops,one_exposure,level_vs_sky_stops,toward_moon_vs_sky_stops,\
        away_vs_sky_stops,target_in_town_glow,arch_altitude_deg,arch_azimuth_deg,tilt_deg,\
        shadow_length_per_height,score_contrast,score_balance,score_raking,score_framing,score_position,\
        score_length";
    let csv = stdout(&rakelight(&scan(&[TANK, "--format", "csv"])));
    assert!(csv.starts_with(&format!("{promised},")));
    let document = json(&scan(&[TANK, "--format", "json"]));
    let lines = stdout(&rakelight(&scan(&[TANK, "--format", "ndjson"])));
    let lines: Vec<Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect();
    assert_eq!(&lines, windows(&document), "NDJSON holds the same windows");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let mut count = 0;
    for (row, window) in reader.records().zip(windows(&document)) {
        let row = row.expect("a row");
        count += 1;
        for (name, field) in header.iter().zip(&row) {
            match &window[name] {
                Value::Null => assert_eq!(field, "", "{name}"),
                Value::String(text) => assert_eq!(field, text, "{name}"),
                Value::Bool(flag) => assert_eq!(field, flag.to_string(), "{name}"),
                number => {
                    let (a, b): (f64, f64) = (
                        field.parse().expect("a number"),
                        number.as_f64().expect("a number"),
                    );
                    assert_eq!(a, b, "{name}");
                }
            }
        }
    }
    assert_eq!(count, windows(&document).len());
    assert!(count > 0);
}

#[test]
fn light_from_a_moon_that_is_down_is_empty_everywhere() {
    let night = |format: &str| {
        let args = [
            "night",
            TANK,
            "--on",
            "2027-05-30",
            "--step",
            "10",
            "--format",
            format,
        ];
        stdout(&rakelight(&args))
    };
    let document: Value = serde_json::from_str(&night("json")).expect("JSON");
    let steps = document["steps"].as_array().expect("steps");
    let mut down = 0;
    for step in steps {
        // The beam is bent: its upper limb shows for half a degree more.
        let altitude = step["moon_altitude_deg"].as_f64().expect("a number");
        if altitude.abs() < 0.6 {
            continue;
        }
        down += usize::from(altitude < 0.0);
        assert_eq!(step["light_angle_deg"].is_null(), altitude < 0.0, "{step}");
        assert_eq!(step["light_side"].is_null(), altitude < 0.0, "{step}");
        let time = step["time_utc"].as_str().expect("a time");
        let args = ["sky", TANK, "--time", time, "--format", "json"];
        let sky: Value = serde_json::from_str(&stdout(&rakelight(&args))).expect("JSON");
        let light = &sky["light"];
        assert_eq!(light["light_angle_deg"].is_null(), altitude < 0.0, "{time}");
        assert_eq!(light["light_side"], step["light_side"], "{time}");
        let told = stdout(&rakelight(&args[..4]));
        assert_eq!(told.contains("the Moon is down"), altitude < 0.0, "{told}");
    }
    assert!(
        down > 5 && down + 5 < steps.len(),
        "{down} of {}",
        steps.len()
    );
    let table = night("csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let names = reader.headers().expect("a header").clone();
    let column = |name: &str| names.iter().position(|n| n == name).expect("a column");
    let at = ["moon_altitude_deg", "light_angle_deg", "light_side"].map(column);
    let mut empty = 0;
    for row in reader.records() {
        let row = row.expect("a row");
        let altitude: f64 = row[at[0]].parse().expect("a number");
        if altitude.abs() > 0.6 {
            assert_eq!(row[at[1]].is_empty(), altitude < 0.0);
            assert_eq!(row[at[2]].is_empty(), altitude < 0.0);
            empty += usize::from(row[at[1]].is_empty());
        }
    }
    assert!(empty >= down);
}

#[test]
fn a_file_gets_the_format_its_name_ends_in() {
    let folder = Folder::new();
    let begins = |name: &str, more: &[&str]| {
        let path = folder.path(name);
        let to = path.display().to_string();
        let base = ["--from", "2027-06-01", "--to", "2027-06-30", "-o", &to];
        let output = rakelight(&[&["scan"], &base[..], more].concat());
        assert_eq!(code(&output), 0, "{}", stderr(&output));
        fs::read_to_string(path).expect("a file")
    };
    assert!(begins("n.csv", &[]).starts_with("site,view,rank,score,"));
    assert!(begins("n.ICS", &[]).starts_with("BEGIN:VCALENDAR"));
    assert!(begins("n.geojson", &[]).starts_with('{'));
    assert!(begins("n.md", &[]).starts_with("## "));
    assert!(begins("n.json", &[]).starts_with('{'));
    for table in ["n", "n.txt", "n.TXT"] {
        assert!(begins(table, &[]).starts_with("Tinaja Mesa  "), "{table}");
    }
    // What is asked for goes before what the name says.
    assert!(begins("m.csv", &["--format", "table"]).starts_with("Tinaja Mesa  "));
    let night = folder.path("night.csv").display().to_string();
    let output = rakelight(&[
        "night",
        "demo-sites/tinaja-mesa.toml",
        "--on",
        "2027-06-09",
        "-o",
        &night,
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let text = fs::read_to_string(&night).expect("a file");
    assert!(
        text.lines().next().is_some_and(|line| line.contains(',')),
        "{text}"
    );
}

#[test]
fn a_night_tells_its_rules() {
    let night = |date: &str, more: &[&str]| {
        let mut args = vec!["night", "demo-sites/tinaja-mesa.toml", "--on", date];
        args.extend(more);
        rakelight(&args)
    };
    let told = night("2027-05-29", &["--rules", "--format", "json"]);
    assert_eq!(code(&told), 0);
    let document: Value = serde_json::from_slice(&told.stdout).expect("JSON");
    let reasons = &document["reasons"];
    assert_eq!(reasons["periods"][0]["ended_by"], "sun_altitude");
    assert_eq!(reasons["periods"][0]["begun_by"], "moon_ridge");
    let steps = document["steps"].as_array().expect("steps").len();
    for rule in reasons["rules"].as_array().expect("rules") {
        assert_eq!(rule["margins"].as_array().expect("margins").len(), steps);
    }
    let windows = document["windows"].as_array().expect("windows");
    assert_eq!(reasons["periods"][0]["start_utc"], windows[0]["start_utc"]);
    // A night without a window gives its reasons unasked.
    let without = stdout(&night("2027-05-24", &[]));
    assert!(without.contains("At no time do all the rules hold."));
    assert_eq!(
        code(&night("2027-05-29", &["--rules", "--format", "csv"])),
        2
    );
}

#[test]
fn sky_and_phases_speak_json() {
    let sky = json(&[
        "sky",
        TANK,
        "--time",
        "2027-05-30T21:00",
        "--format",
        "json",
    ]);
    for pointer in [
        "/sun/altitude_deg",
        "/sun/apparent_altitude_deg",
        "/sun/azimuth_deg",
        "/moon/distance_km",
        "/moon/moon_fraction",
        "/moon/phase_angle_deg",
        "/moon/elongation_deg",
        "/moon/age_days",
        "/target/altitude_deg",
        "/moon_target_separation_deg",
        "/arch/top/altitude_deg",
        "/arch/top/galactic_longitude_deg",
        "/arch/feet/0/azimuth_deg",
        "/arch/feet/1/galactic_longitude_deg",
        "/light/moonlight_lux",
    ] {
        assert!(
            sky.pointer(pointer).is_some_and(Value::is_number),
            "{pointer}"
        );
    }
    assert_eq!(sky["time_utc"], "2027-05-30T11:30:00Z");
    assert!(sky["camera"]["iso"].as_u64().is_some_and(|iso| iso >= 100));
    let phases = json(&[
        "phases",
        "--from",
        "2027-02-01",
        "--to",
        "2027-03-01",
        "--format",
        "json",
    ]);
    assert_eq!(phases["eclipses"][0]["kind"], "penumbral");
    assert_eq!(phases["phases"][0]["kind"], "new");
}

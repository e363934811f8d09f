//! What is said of frames on the command line: lenses side by side, the Moon in
//! the frame, where the target stands, how a night is framed.

use super::{TANK, code, json, rakelight, scan, stderr, stdout, windows};
use crate::program::Run;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

const PAN: &str = "demo-sites/witkopje-pan.toml";
const BEND: &str = "demo-sites/molle-bend.toml";
const HALT: &str = "demo-sites/tamarisk-halt.toml";
const TOWER: &str = "demo-sites/tamarisk-halt.toml#water tower";
const TIME: [&str; 2] = ["--time", "2027-07-09T22:16"];

/// The rows of a scan's CSV, by column.
fn rows(args: &[&str]) -> Vec<BTreeMap<String, String>> {
    let output = rakelight(&[&scan(args)[..], &["--format", "csv"]].concat());
    assert!(code(&output) <= 1, "{args:?}: {}", stderr(&output));
    let text = stdout(&output);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.deserialize().map(|row| row.expect("a row"));
    rows.collect()
}

fn number(row: &BTreeMap<String, String>, column: &str) -> f64 {
    let text = row.get(column).unwrap_or_else(|| panic!("no {column}"));
    text.parse()
        .unwrap_or_else(|_| panic!("{column} is {text:?}"))
}

/// Apparent top and half width of the tower, degrees: seen from 1.5 m above the
/// ground it is 15 m high at 26 m and 5 m wide.
fn tower() -> (f64, f64) {
    let deg = |height_m: f64| (height_m / 26.0).atan().to_degrees();
    (deg(15.0 - 1.5), deg(2.5))
}

fn exposure(more: &[&str]) -> Value {
    json(&[&["exposure", "--format", "json"], more].concat())
}

#[test]
fn lenses_side_by_side_say_what_each_says_alone() {
    let at_tank = [TANK, TIME[0], TIME[1]];
    for place in [&[][..], &at_tank] {
        // In the order typed.
        let all = exposure(&[place, &["--focal-mm", "35,14,20"]].concat());
        let lenses = all["lenses"].as_array().expect("lenses");
        let typed: Vec<Option<f64>> = lenses.iter().map(|l| l["focal_mm"].as_f64()).collect();
        assert_eq!(typed, [35.0, 14.0, 20.0].map(Some));
        for (lens, mm) in lenses.iter().zip(["35", "14", "20"]) {
            let alone = exposure(&[place, &["--focal-mm", mm]].concat());
            for field in ["shutter_limit_s", "shutter_s", "iso"] {
                assert_eq!(lens[field], alone[field], "{mm} mm {field}");
            }
            for (side, field) in ["field_width_deg", "field_height_deg"].iter().zip([0, 1]) {
                let degrees = |value: &Value| value.as_f64().expect("degrees");
                let apart = degrees(&lens[*side]) - degrees(&alone["field_deg"][field]);
                assert!(apart.abs() <= 0.05 + 1e-9, "{mm} mm {side}: {apart}");
            }
            // Absent in the one, null in the other.
            let framing = alone.get("framing").unwrap_or(&Value::Null);
            assert_eq!(&lens["framing"], framing, "{mm} mm");
            assert_eq!(lens["framing"].is_null(), place.is_empty());
            let plans = alone["panorama"]["plans"].as_array().expect("plans");
            let frames = |plan: &Value, columns: &str, rows: &str| {
                let count = |key: &str| plan[key].as_u64().expect("a count");
                assert!(count(columns) >= 1 && count(rows) >= 1);
                count(columns) * count(rows)
            };
            let fewest = plans
                .iter()
                .map(|plan| frames(plan, "frames_per_row", "rows"))
                .min();
            let found = frames(lens, "panorama_columns", "panorama_rows");
            assert_eq!(Some(found), fewest, "{mm} mm");
        }
    }
}

#[test]
fn a_table_of_lenses_has_a_row_each_and_frames_only_at_a_site() {
    let table = |place: &[&str]| {
        let args = [&["exposure", "--quiet", "--focal-mm", "35,14,20"], place].concat();
        let text = stdout(&rakelight(&args));
        let lines = text.lines().map(|line| line.trim_end().to_owned());
        lines.collect::<Vec<_>>()
    };
    let at_tank = table(&[TANK, TIME[0], TIME[1]]);
    let alone = table(&[]);
    for (lines, planned) in [(&at_tank, true), (&alone, false)] {
        assert_eq!(lines.len(), 7, "{lines:?}");
        for (line, mm) in lines[4..].iter().zip(["35 ", "14 ", "20 "]) {
            assert!(line.starts_with(mm), "{lines:?}");
            assert!(line.chars().count() <= 80);
        }
        for word in ["frame", "pitch", "level"] {
            assert_eq!(lines[3].contains(word), planned, "{}", lines[3]);
        }
    }
    // The pitch is the one in the sentence of that lens.
    let one = stdout(&rakelight(&[
        "exposure",
        TANK,
        TIME[0],
        TIME[1],
        "--focal-mm",
        "14",
    ]));
    let pitch = "pitched 41° up";
    assert!(one.contains(&format!("portrait, {pitch}")), "{one}");
    assert!(
        at_tank[5].contains(&format!("portr {pitch}")),
        "{at_tank:?}"
    );
    // Of a panorama the frames.
    assert!(at_tank[4].contains(" 2x2 "), "{at_tank:?}");
    assert!(!at_tank[4].contains("pitched"), "{at_tank:?}");
}

#[test]
fn a_lens_that_is_varied_finds_what_a_site_with_it_finds() {
    let vary = json(
        &[
            &scan(&[PAN, "--vary", "focal_mm=14,35"])[..],
            &["--format=json"],
        ]
        .concat(),
    );
    let rows = vary["sites"][0]["vary"].as_array().expect("rows");
    let folder = super::program::Folder::new();
    let text = std::fs::read_to_string(PAN).expect("a demo site");
    let mut parts = Vec::new();
    for (row, mm) in rows.iter().zip(["14", "35"]) {
        assert_eq!(row["values"]["focal_mm"], mm);
        let other = text.replace("focal_mm = 14", &format!("focal_mm = {mm}"));
        let path = folder.file(&format!("{mm}.toml"), other);
        let alone = json(&[&scan(&[&path])[..], &["--format=json"]].concat());
        let found = windows(&alone);
        assert_eq!(row["windows"], found.len(), "{mm} mm");
        let nights = |is: &dyn Fn(&Value) -> bool| {
            let mut nights: Vec<&str> = found
                .iter()
                .filter(|window| is(window))
                .filter_map(|window| window["night"].as_str())
                .collect();
            nights.sort_unstable();
            nights.dedup();
            nights.len()
        };
        assert_eq!(row["nights"], nights(&|_| true), "{mm} mm");
        let framed = nights(&|window| !window["framed_start_utc"].is_null());
        assert_eq!(row["one_frame_nights"], framed, "{mm} mm");
        assert_eq!(row["best_score"], found[0]["score"], "{mm} mm");
        assert_eq!(row["best_night"], found[0]["night"], "{mm} mm");
        parts.push(framed);
    }
    assert!(parts[0] > parts[1], "the longer lens frames as much");
}

#[test]
fn a_camera_that_faces_the_arch_has_no_nights_in_one_frame() {
    let vary = "moon_fraction=..0.3,..0.5";
    let args = [PAN, "--facing=arch", "--vary", vary, "--format=json"];
    let rows = json(&scan(&args));
    let rows = rows["sites"][0]["vary"].as_array().expect("rows").clone();
    assert_eq!(rows.len(), 2);
    for row in rows {
        assert_eq!(row["one_frame_nights"], Value::Null, "{row}");
    }
}

#[test]
fn a_focal_length_that_is_none_is_refused() {
    for wrong in ["0", "-3", "x", "", "99999", "..35"] {
        for list in [wrong.to_owned(), format!("14,{wrong}")] {
            let varied = format!("--vary=focal_mm={list}");
            let lenses = format!("--focal-mm={list}");
            for args in [&scan(&[PAN, &varied])[..], &["exposure", &lenses]] {
                let output = rakelight(args);
                let said = stderr(&output);
                assert_eq!(code(&output), 2, "{args:?}");
                assert!(stdout(&output).is_empty(), "{args:?}");
                let expected = "expected a number from 1 to 3000";
                assert!(said.contains(expected), "{args:?}: {said}");
            }
        }
    }
}

#[test]
fn the_moon_is_in_the_frame_or_out_of_it_as_asked() {
    let told = |place: &str, word: &str, more: &str| {
        let asked = format!("--moon-in-frame={word}");
        let rows = rows(&[place, "--light=any", more, &asked]);
        assert!(!rows.is_empty(), "{place} {word}");
        let cells = rows.iter().map(|row| {
            let cell = |column: &str| row[column].clone();
            (cell("framing"), cell("moon_in_frame"))
        });
        cells.collect::<BTreeSet<_>>()
    };
    let mut framed = BTreeSet::new();
    for place in [PAN, HALT, BEND] {
        for more in ["--framing=one", "--framing=panorama"] {
            for (word, expected) in [("no", "false"), ("only", "true")] {
                for (framing, cell) in told(place, word, more) {
                    assert_eq!(cell, expected, "{place} {word} {more}: {framing}");
                    framed.insert((framing, cell));
                }
            }
            // Without the rule both occur.
            let any = told(place, "any", more);
            let cells: BTreeSet<String> = any.into_iter().map(|(_, cell)| cell).collect();
            assert_eq!(cells.len(), 2, "{place} {more}");
        }
    }
    // Each rule by one frame and by a panorama.
    assert_eq!(framed.len(), 4, "{framed:?}");
}

#[test]
fn the_target_stands_where_it_is_asked_to() {
    let (top_deg, half_deg) = tower();
    let found = |place: &str| {
        let asked = format!("--target-place={place}");
        let rows = rows(&[TOWER, "--light=any", &asked]);
        let at = |row: &BTreeMap<String, String>| {
            let altitude = number(row, "target_altitude_deg");
            (number(row, "target_offset_deg").abs(), altitude)
        };
        rows.iter().map(at).collect::<Vec<_>>()
    };
    let behind = found("behind");
    assert!(behind.len() > 10, "{}", behind.len());
    let hidden = |&(aside, altitude): &(f64, f64)| aside <= half_deg + 0.01 && altitude < top_deg;
    assert!(behind.iter().all(hidden), "{behind:?}");
    let beside = found("beside");
    assert!(beside.len() > 10, "{}", beside.len());
    let aside = |&(aside, _): &(f64, f64)| aside >= half_deg - 0.01;
    assert!(beside.iter().all(aside), "{beside:?}");
    // The core never stands over a tower that high.
    assert!(found("over:5").is_empty());
    // Over the van it does.
    let van = format!("{HALT}#goods van");
    let top_deg = (2.0f64 / 22.0).atan().to_degrees();
    let half_deg = (7.0f64 / 22.0).atan().to_degrees();
    let over = rows(&[&van, "--light=any", "--target-place=over:5"]);
    assert!(over.len() > 10, "{}", over.len());
    for row in over {
        let altitude = number(&row, "target_altitude_deg");
        assert!(altitude >= top_deg + 5.0 - 0.05, "{altitude}");
        let aside = number(&row, "target_offset_deg").abs();
        assert!(aside <= half_deg + 5.0 + 0.05, "{aside}");
    }
}

/// The same sentence wherever a night is told.
#[test]
fn a_night_says_how_it_is_framed() {
    let van = format!("{HALT}#goods van");
    for (site, date, said) in [
        (
            van.as_str(),
            "2027-06-10",
            "One frame holds land and core: landscape, pitched 5° up, toward 190°. A level camera \
             does too, in landscape.",
        ),
        (
            &format!("{BEND}#river wall"),
            "2027-10-04",
            "No single frame: the core stands too high above the land. A panorama holds both:",
        ),
    ] {
        let plan = |kind: &str, more: &[&str]| {
            let args = [&[kind, site, "--on", date, "--quiet"][..], more].concat();
            let text = Run::here().wide(400).of(&args).good();
            // The calendar folds its lines and marks commas.
            let unfolded = text.replace("\r\n ", "").replace("\\,", ",");
            unfolded.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        for text in [
            plan("night", &[]),
            plan("night", &["--format", "markdown"]),
            plan("night", &["--format", "ical"]),
        ] {
            assert!(text.contains(said), "{site}: {text}");
        }
        let page = plan("handout", &[]);
        assert!(page.contains(&format!("<li>{said}")), "{site}");
    }
    // Where one frame does for a part of the window, the night says which.
    let args = ["scan", &van, "--from=2027-06-10", "--to=2027-06-10"];
    let scan = json(&[&args[..], &["--format=json"]].concat());
    let window = &windows(&scan)[0];
    let [start, framed, end] = ["start_local", "framed_start_local", "framed_end_local"]
        .map(|key| window[key].as_str().expect("a time"));
    assert!(framed > start, "{window}");
    let part = format!("One frame is enough {}-{}.", &framed[11..16], &end[11..16]);
    let night = Run::here()
        .wide(400)
        .of(&["night", &van, "--on", "2027-06-10"]);
    let night = night.good();
    assert!(night.contains(&part), "{part} in {night}");
}

/// Of the Moon on that night, as the timetable has it and as it stands then.
#[test]
fn a_moon_that_goes_behind_the_subject_is_in_the_timetable() {
    let night = ["night", TOWER, "--on", "2027-06-18"];
    let table = Run::here().of(&night).good();
    let line = table
        .lines()
        .find(|line| line.contains("Moon goes behind the subject: backlight"));
    let line = line.unwrap_or_else(|| panic!("{table}"));
    let plan = json(&[&night[..], &["--format=json"]].concat());
    let events = plan["timetable"].as_array().expect("a timetable");
    let (top_deg, half_deg) = tower();
    for (what, side) in [
        ("moon_behind_subject", -half_deg),
        ("moon_clears_subject", half_deg),
    ] {
        let event = events.iter().find(|event| event["what"] == what);
        let event = event.unwrap_or_else(|| panic!("no {what}"));
        let local = event["time_local"].as_str().expect("a time");
        if what == "moon_behind_subject" {
            assert!(line.starts_with(&local[11..16]), "{line}");
        }
        // In at its left side and out at its right.
        let time = event["time_utc"].as_str().expect("a time");
        let sky = json(&["sky", TOWER, "--time", time, "--format=json"]);
        let moon = |key: &str| sky["moon"][key].as_f64().expect("degrees");
        assert!(moon("apparent_altitude_deg") < top_deg, "{what}");
        let aside = moon("azimuth_deg") - 186.0 - side;
        assert!(aside.abs() < 0.02, "{what}: {aside}");
    }
}

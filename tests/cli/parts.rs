//! A run divided in parts (`--part`), and parts that find nothing
//! (`--empty-ok`).

use super::{TANK, code, rakelight, scan, stderr};
use crate::program::{Folder, Run};
use serde_json::Value;
use std::{fmt::Write, fs};

/// A table of many sites, one row of which is wrong.
fn table() -> String {
    let mut table = "name,latitude_deg,longitude_deg,time_zone,guide\n".to_owned();
    for row in 0..9 {
        let latitude = if row == 4 { 95 } else { 40 - 7 * row };
        writeln!(table, "P{row},{latitude},{},UTC,g{row}", 15 * row).expect("a string");
    }
    table
}

const POINTS: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":{"type":"Point","coordinates":[11.3,44.5]},"properties":{"name":"one"}},
{"type":"Feature","geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]},"properties":{}},
{"type":"Feature","geometry":{"type":"Point","coordinates":[12.3,-44.5]},"properties":{"name":"two"}},
{"type":"Feature","geometry":{"type":"Point","coordinates":[13.3,14.5]},"properties":{"name":"three"}}]}"#;

const VIEWS: &str = "latitude_deg = 37\nlongitude_deg = -113\ntime_zone = \"UTC\"\n\
                     [[view]]\nname = \"north\"\nbearing_deg = 0\n\
                     [[view]]\nname = \"south\"\nbearing_deg = 180\n";

/// Sites of every kind: rows, one row by its address, points, views.
const SITES: [&str; 4] = ["t.csv", "t.csv#P2", "views.toml", "hike.geojson"];
const RANGE: [&str; 6] = [
    "--from",
    "2027-05-01",
    "--to",
    "2027-05-20",
    "--keep-going",
    "--quiet",
];

fn folder() -> Folder {
    let folder = Folder::new();
    folder.file("t.csv", table());
    folder.file("hike.geojson", POINTS);
    folder.file("views.toml", VIEWS);
    folder
}

fn asked<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&["scan"][..], &SITES, &RANGE, more].concat()
}

#[test]
fn parts_put_together_are_the_whole_to_the_byte() {
    let folder = folder();
    let forms: [&[&str]; 4] = [
        &["--format", "csv"],
        &[
            "--format",
            "csv",
            "--no-header",
            "--columns",
            "site,view,night,guide",
        ],
        &["--format", "ndjson"],
        &["--by", "year", "--format", "csv"],
    ];
    for form in forms {
        let whole = Run::at(&folder).output(&asked(form));
        assert_eq!(code(&whole), 3);
        let rows = |text: &[u8]| text.iter().filter(|byte| **byte == b'\n').count();
        assert!(rows(&whole.stdout) > 10, "{form:?}");
        for of in 1..=7 {
            let mut together = Vec::new();
            let mut left_out = 0;
            for number in 1..=of {
                let part = format!("{number}/{of}");
                let args = asked(&[form, &["--part", &part]].concat());
                let ended = Run::at(&folder).output(&args);
                left_out += usize::from(code(&ended) == 3);
                assert!(matches!(code(&ended), 0 | 1 | 3), "{part} of {form:?}");
                together.extend(ended.stdout);
            }
            // The wrong row is a fault of its own part alone.
            assert_eq!(left_out, 1, "{of} parts of {form:?}");
            let [together, whole] =
                [&together, &whole.stdout].map(|bytes| String::from_utf8_lossy(bytes));
            assert_eq!(together, whole, "{of} parts of {form:?}");
        }
    }
}

#[test]
fn a_part_knows_nothing_of_what_is_wrong_in_another() {
    let folder = folder();
    // Without --keep-going the part with the wrong row fails, and no other.
    let codes = [1, 2, 3].map(|number| {
        let part = format!("{number}/3");
        let args = [
            "scan",
            "t.csv",
            "--from",
            "2027-05-01",
            "--nights",
            "30",
            "--part",
            &part,
        ];
        let ended = Run::at(&folder).output(&args);
        (
            code(&ended),
            stderr(&ended).contains("t.csv:6:2: latitude_deg: found 95"),
        )
    });
    assert_eq!(codes, [(0, false), (2, true), (0, false)]);
    // A file that is not there is one thing, and in one part.
    let args = [
        "scan",
        "gone.csv",
        "hike.geojson",
        "--from",
        "2027-05-01",
        "--empty-ok",
        "--part",
    ];
    let ends =
        ["1/4", "2/4"].map(|part| code(&Run::at(&folder).output(&[&args[..], &[part]].concat())));
    assert_eq!(ends, [2, 0]);
}

#[test]
fn ids_do_not_depend_on_the_parts() {
    let folder = Folder::new();
    // Two rows of one name and a third that is the same as the first.
    folder.file(
        "twins.csv",
        "name,latitude_deg,longitude_deg,time_zone\nA,-20,10,UTC\nA,-30,10,UTC\nwrong,95,1,UTC\nA,-20,10,UTC\n",
    );
    let scan = |format: &str, more: &[&str]| {
        let args = [
            "scan",
            "twins.csv",
            "--from",
            "2027-05-01",
            "--to",
            "2027-06-10",
            "--keep-going",
            "--format",
        ];
        let ended = Run::at(&folder).output(&[&args[..], &[format], more].concat());
        String::from_utf8(ended.stdout).expect("text")
    };
    let ids = |text: &str| -> Vec<String> {
        let map: Value = serde_json::from_str(text).expect("a map");
        let features = map["features"].as_array().expect("features");
        features
            .iter()
            .map(|feature| feature["id"].to_string())
            .collect()
    };
    let uids = |text: &str| -> Vec<String> {
        let lines = text.lines().filter(|line| line.starts_with("UID:"));
        lines.map(str::to_owned).collect()
    };
    let maps = ["1/4", "2/4", "3/4", "4/4"].map(|part| scan("geojson", &["--part", part]));
    let parts: Vec<String> = maps.iter().flat_map(|map| ids(map)).collect();
    let whole = ids(&scan("geojson", &[]));
    assert!(whole.iter().any(|id| id.contains("A/3/")), "{whole:?}");
    assert_eq!(parts, whole);
    let calendars = ["1/2", "2/2"].map(|part| scan("ical", &["--part", part]));
    let parts: Vec<String> = calendars.iter().flat_map(|text| uids(text)).collect();
    assert!(!parts.is_empty());
    assert_eq!(parts, uids(&scan("ical", &[])));
}

#[test]
fn more_parts_than_sites_leave_some_empty_and_say_so() {
    let folder = folder();
    let args = [
        "scan",
        "views.toml",
        "--from",
        "2027-05-01",
        "--to",
        "2027-05-20",
        "--format",
        "csv",
    ];
    let run = |more: &[&str]| Run::at(&folder).output(&[&args[..], more].concat());
    let empty = run(&["--part", "1/3", "-o", "1.csv"]);
    assert_eq!(code(&empty), 1);
    assert_eq!(
        stderr(&empty).lines().next(),
        Some("Part 1/3 of 1 site has none.")
    );
    let empty = run(&["--part", "1/3", "-o", "1.csv", "--empty-ok", "--quiet"]);
    assert_eq!((code(&empty), stderr(&empty)), (0, String::new()));
    let last = run(&["--part", "3/3", "-o", "3.csv"]);
    assert_eq!(code(&last), 0);
    let read = |name: &str| fs::read_to_string(folder.path(name)).expect("a file");
    // Both views are in one part.
    let whole = String::from_utf8(run(&[]).stdout).expect("text");
    assert_eq!(read("1.csv").lines().count(), 1);
    assert_eq!(read("1.csv") + &read("3.csv"), whole);
}

#[test]
fn a_demo_or_a_typed_place_is_one_site() {
    let run = |args: &[&str]| code(&rakelight(&scan(args)));
    let place = ["--place", "-31.4,139.2", "--time-zone", "UTC"];
    for (part, ends) in [("1/2", 1), ("2/2", 0), ("1/1", 0)] {
        assert_eq!(run(&["--part", part]), ends, "{part}");
        assert_eq!(
            run(&[&place[..], &["--part", part]].concat()),
            ends,
            "{part}"
        );
    }
}

#[test]
fn empty_ok_turns_only_that_code_into_0() {
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let mesa = "demo-sites/tinaja-mesa.toml";
    let run = |args: &[&str]| code(&rakelight(&[&scan(args)[..], &["--empty-ok"]].concat()));
    assert_eq!(run(&[mesa, "--target-altitude", "89.."]), 0);
    assert_eq!(run(&[TANK]), 0);
    assert_eq!(run(&[&bad]), 2);
    assert_eq!(run(&[&bad, TANK, "--keep-going"]), 3);
    assert_eq!(
        run(&[&bad, mesa, "--keep-going", "--target-altitude", "89.."]),
        3
    );
    assert_eq!(run(&[&bad, "--keep-going"]), 4);
    let trip = [
        "trip",
        mesa,
        "--from",
        "2027-05-01",
        "--target-altitude",
        "89..",
    ];
    assert_eq!(code(&rakelight(&trip)), 1);
    assert_eq!(code(&rakelight(&[&trip[..], &["--empty-ok"]].concat())), 0);
}

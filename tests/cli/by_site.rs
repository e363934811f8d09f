//! `scan --by site`: a row per site, counted from its windows.

use super::{code, rakelight, stderr, stdout};
use crate::program::{Folder, Run};
use serde_json::Value;
use std::{
    collections::{BTreeMap, BTreeSet},
    fmt::Write,
};

type Row = BTreeMap<String, String>;

const RANGE: [&str; 4] = ["--from", "2027-05-01", "--to", "2027-06-30"];
/// What is counted without a best window.
const COUNTED: &str = "site,view,latitude_deg,longitude_deg,elevation_m,time_zone,nights,windows,\
                       minutes,nights_raking,nights_blend,nights_dark,nights_any,\
                       expected_clear_nights,Guide";

fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// Places of every kind of difficulty, and a table of others with a column of
/// one's own.
fn sites(folder: &Folder) -> Vec<String> {
    let mut table =
        "name,latitude_deg,longitude_deg,time_zone,Guide,brief.facing,brief.min_minutes\n"
            .to_owned();
    for row in 0..14 {
        let latitude = 66 - 10 * row;
        let facing = if row % 2 == 0 { "target" } else { "140" };
        writeln!(
            table,
            "P{row},{latitude},{},UTC,g{row},{facing},{}",
            25 * row - 170,
            row * 5
        )
        .expect("text");
    }
    let demo = std::fs::read_dir("demo-sites").expect("the demo sites");
    let demo = demo.map(|entry| entry.expect("an entry").path());
    let mut sites: Vec<String> = demo
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| path.display().to_string())
        .collect();
    sites.sort();
    sites.push(folder.file("places.csv", table));
    sites
}

fn scan(sites: &[String], more: &[&str]) -> Vec<Row> {
    let sites: Vec<&str> = sites.iter().map(String::as_str).collect();
    let args = [
        &["scan", "--quiet", "--format", "csv"],
        &sites[..],
        &RANGE,
        more,
    ]
    .concat();
    let output = rakelight(&args);
    assert_eq!(code(&output), 0, "{more:?}: {}", stderr(&output));
    rows(&stdout(&output))
}

/// Seconds of a time in UTC within a few months.
fn seconds(utc: &str) -> i64 {
    let time = chrono::DateTime::parse_from_rfc3339(utc).expect("a time");
    time.timestamp()
}

/// Kinds of night, and how the windows of each are limited.
const KINDS: [&[&str]; 8] = [
    &["--light", "raking"],
    &["--light", "dark"],
    &["--light", "any"],
    &["--light", "blend"],
    &["--light", "blend", "--facing", "200"],
    &["--light", "raking,dark,blend"],
    &["--light", "dark", "--min-score", "90"],
    &["--target", "moon", "--facing", "150"],
];

#[test]
fn rows_are_what_the_windows_add_up_to() {
    let folder = Folder::new();
    let sites = sites(&folder);
    for kind in KINDS {
        let windows = scan(&sites, kind);
        let counted = scan(&sites, &[kind, &["--by", "site"]].concat());
        assert_eq!(counted.len(), 30, "each site and view has a row");
        let mut found = 0;
        for row in &counted {
            let of_site: Vec<&Row> = windows
                .iter()
                .filter(|w| w["site"] == row["site"] && w["view"] == row["view"])
                .collect();
            let name = format!("{kind:?} {} {}", row["site"], row["view"]);
            let nights: BTreeSet<&str> = of_site.iter().map(|w| &*w["night"]).collect();
            assert_eq!(row["nights"], nights.len().to_string(), "{name}");
            assert_eq!(row["windows"], of_site.len().to_string(), "{name}");
            found += nights.len();
            for kind in ["raking", "dark", "blend", "any"] {
                let nights: BTreeSet<&str> = of_site
                    .iter()
                    .filter(|w| w["light"] == kind)
                    .map(|w| &*w["night"])
                    .collect();
                let cell = &row[&format!("nights_{kind}")];
                assert_eq!(cell.parse().unwrap_or(0), nights.len(), "{name}");
            }
            // Times of several kinds that overlap count once.
            let mut times: Vec<[i64; 2]> = of_site
                .iter()
                .map(|w| [seconds(&w["start_utc"]), seconds(&w["end_utc"])])
                .collect();
            times.sort_unstable();
            let (mut sum, mut until) = (0, i64::MIN);
            for [start, end] in times {
                sum += (end - start.max(until)).max(0);
                until = until.max(end);
            }
            let minutes: f64 = row["minutes"].parse().expect("a number");
            // Printed times are rounded to seconds, minutes to a tenth.
            let spare = 0.05 + of_site.len() as f64 / 60.0;
            assert!(
                (minutes - sum as f64 / 60.0).abs() <= spare,
                "{name}: {minutes} {sum} s"
            );
            let best = of_site.iter().find(|w| w["rank"] == "1");
            let same = |ours: &str, theirs: &str| {
                let theirs = best.map_or("", |best| &best[theirs]);
                assert_eq!(row[ours], theirs, "{name}: {ours}");
            };
            for column in [
                "score",
                "light",
                "brief",
                "start_local",
                "end_local",
                "best_local",
            ] {
                same(column, column);
            }
            for column in ["utc_offset", "start_utc", "end_utc", "best_utc"] {
                same(column, column);
            }
            same("best_night", "night");
            if let Some(window) = of_site.first() {
                for column in ["latitude_deg", "longitude_deg", "time_zone", "Guide"] {
                    assert_eq!(row[column], window[column], "{name}");
                }
            }
        }
        assert!(found > 10, "{kind:?}");
        let empty = counted.iter().filter(|row| row["nights"] == "0").count();
        assert!(empty > 0, "{kind:?}");
    }
}

#[test]
fn counts_alone_are_the_same_without_a_best_instant() {
    let folder = Folder::new();
    let sites = sites(&folder);
    for kind in KINDS {
        let whole = scan(&sites, &[kind, &["--by", "site"]].concat());
        let some = scan(
            &sites,
            &[kind, &["--by", "site", "--columns", COUNTED]].concat(),
        );
        assert_eq!(some.len(), whole.len());
        for (some, whole) in some.iter().zip(&whole) {
            assert_eq!(some.len(), COUNTED.split(',').count());
            for (column, cell) in some {
                assert_eq!(cell, &whole[column], "{kind:?} {} {column}", whole["site"]);
            }
        }
    }
}

#[test]
fn every_format_has_the_row_of_the_csv() {
    let folder = Folder::new();
    let sites = sites(&folder);
    let names: Vec<&str> = sites.iter().map(String::as_str).collect();
    let by_site = ["--by", "site", "--light", "raking,dark"];
    let rows = scan(&sites, &by_site);
    let text = |format: &str| {
        let args = [
            &["scan", "--quiet", "--format", format],
            &names[..],
            &RANGE,
            &by_site,
        ]
        .concat();
        let output = rakelight(&args);
        assert_eq!(code(&output), 0, "{format}: {}", stderr(&output));
        stdout(&output)
    };
    let is_in = |row: &Row, object: &Value, what: &str| {
        let fields = object.as_object().expect("an object");
        let mut same = 0;
        for (key, value) in fields {
            let Some(cell) = row.get(key) else { continue };
            let written = match value {
                Value::Null => String::new(),
                Value::String(text) => text.clone(),
                number => number.to_string(),
            };
            let numbers = (cell.parse::<f64>(), written.parse::<f64>());
            let is_same = match numbers {
                (Ok(ours), Ok(theirs)) => ours == theirs,
                _ => *cell == written,
            };
            assert!(is_same, "{what} {}: {key} {cell} {written}", row["site"]);
            same += 1;
        }
        assert!(same >= 18, "{what} has {same} of the columns");
    };
    let lines = text("ndjson");
    assert_eq!(lines.lines().count(), rows.len());
    for (row, line) in rows.iter().zip(lines.lines()) {
        let line: Value = serde_json::from_str(line).expect("a line");
        is_in(row, &line, "ndjson");
        assert_eq!(
            line["own"]["Guide"].as_str().unwrap_or_default(),
            row["Guide"]
        );
    }
    let document: Value = serde_json::from_str(&text("json")).expect("JSON");
    let map: Value = serde_json::from_str(&text("geojson")).expect("JSON");
    let blocks = document["sites"].as_array().expect("sites");
    let points = map["features"].as_array().expect("features");
    assert_eq!((blocks.len(), points.len()), (rows.len(), rows.len()));
    for ((row, block), point) in rows.iter().zip(blocks).zip(points) {
        is_in(row, &block["counts"], "json");
        assert_eq!(block["site"]["name"], row["site"]);
        is_in(row, &point["properties"], "geojson");
        assert_eq!(point["properties"]["site"], row["site"]);
    }
    let markdown = text("markdown");
    let table = text("table");
    for row in &rows {
        let name = match &*row["view"] {
            "" => row["site"].clone(),
            view => format!("{}, {view}", row["site"]),
        };
        let begin = format!("| {name} | ");
        let line = markdown.lines().find(|line| line.starts_with(&begin));
        let cells: Vec<String> = line
            .expect(&name)
            .split('|')
            .map(|cell| cell.trim().trim_matches('*').to_owned())
            .collect();
        assert_eq!(cells[2], row["nights"], "{name}");
        assert_eq!(cells[4], row["nights_raking"], "{name}");
        assert_eq!(cells[5], row["nights_dark"], "{name}");
        let beginning: String = name.chars().take(20).collect();
        let line = table.lines().find(|line| line.starts_with(&beginning));
        let line = line.expect(&name);
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn a_page_of_sites_with_other_kinds_of_light_keeps_its_columns() {
    let folder = Folder::new();
    folder.file(
        "t.csv",
        "name,latitude_deg,longitude_deg,time_zone,brief.light\nA,-20,10,UTC,dark\nB,-20,10,UTC,\"raking,dark\"\n\
         A rather long name of a place that nobody can pronounce at once,-20,10,UTC,raking\n",
    );
    let table = Run::at(&folder).of(&[&["scan", "t.csv", "--by", "site"], &RANGE[..]].concat());
    let text = table.good();
    let of = |name: &str| -> Vec<&str> {
        let line = text.lines().find(|line| line.starts_with(name));
        line.expect(name).split_whitespace().collect()
    };
    assert!(
        text.contains("nights  hours  raking  dark  best evening"),
        "{text}"
    );
    let (a, b) = (of("A "), of("B "));
    assert_eq!(a[3], "-", "{text}");
    assert_eq!(a[4], b[4], "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn a_site_without_a_window_has_a_row_and_nothing_found_is_said() {
    let args = [
        "scan",
        "demo-sites/tinaja-mesa.toml",
        "--target-altitude",
        "89..",
        "--by",
        "site",
    ];
    let csv = rakelight(
        &[
            &args[..],
            &RANGE,
            &["--format", "csv", "--columns", "site,nights,minutes,score"],
        ]
        .concat(),
    );
    assert_eq!(code(&csv), 1);
    assert_eq!(
        stdout(&csv),
        "site,nights,minutes,score\r\nTinaja Mesa,0,0.0,\r\n"
    );
    assert!(
        stderr(&csv).contains("without --by site the scan says why"),
        "{}",
        stderr(&csv)
    );
}

/// Of sites that could not be read nothing is known, whatever counts them.
#[test]
fn where_no_site_could_be_read_nothing_is_said_about_windows() {
    let folder = Folder::new();
    let places = |latitude: &str| {
        let place = |name| format!("{name},{latitude},20,UTC\n");
        format!(
            "name,latitude_deg,longitude_deg,time_zone\n{}{}",
            place("A"),
            place("B")
        )
    };
    let bad = folder.file("bad.csv", places("95"));
    let good = folder.file("good.csv", places("80"));
    for by in [
        &["--by", "month"][..],
        &["--by", "year"],
        &["--by", "site"],
        &["--by", "month", "--compare", "sites"],
    ] {
        let told = |sites: &[&str]| {
            let output = rakelight(&[&["scan", "--keep-going"], sites, by, &RANGE].concat());
            (
                code(&output),
                stderr(&output).contains("No window at any site"),
            )
        };
        assert_eq!(told(&[&bad]), (4, false), "{by:?}");
        assert_eq!(told(&[&bad, &good]), (3, true), "{by:?}");
        assert_eq!(told(&[&good]), (1, true), "{by:?}");
    }
}

#[test]
fn by_site_excludes_what_it_cannot_show() {
    let told = |more: &[&str]| {
        let output = rakelight(&[&["scan", "--by", "site"], more].concat());
        assert_eq!(code(&output), 2, "{more:?}");
        stderr(&output)
    };
    assert!(told(&["--format", "ical"]).contains("--by site is printed as a table, csv, json"));
    assert!(
        told(&["--compare", "sites"]).contains("--compare sites cannot be used with --by site")
    );
    assert!(
        told(&["--compare", "years"]).contains("--compare years cannot be used with --by site")
    );
    assert!(told(&["--together"]).contains("--together"));
    assert!(told(&["--format", "json", "--columns", "nights"]).contains("--format csv"));
    assert!(told(&["--format", "csv", "--columns", "night"]).contains("did you mean nights?"));
}

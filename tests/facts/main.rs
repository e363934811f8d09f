//! Each fact of a window, in every format that gives it, is the same or empty
//! for the same reason: what a reader of its own takes out of a format is
//! compared with the CSV's row, rounded as the format rounds.

mod calendar;
mod compare;
mod fact;
mod map;
mod markdown;
mod night;
#[path = "../common/program.rs"]
mod program;
mod sky;
mod table;

use fact::{Row, Told, rows};
use program::Run;
use rayon::prelude::*;
use serde_json::Value;

/// A season at a place, asked in one way.
#[derive(Debug, Clone)]
struct Case {
    place: Vec<&'static str>,
    light: &'static str,
    target: &'static str,
    dates: [&'static str; 2],
}

impl Case {
    fn rules(&self) -> Vec<&'static str> {
        let asked = ["--light", self.light, "--target", self.target];
        [&self.place[..], &asked].concat()
    }

    /// What `scan` writes in a format.
    fn scan(&self, format: &str) -> String {
        self.scan_wide(format, 80)
    }

    fn scan_wide(&self, format: &str, columns: usize) -> String {
        let range = ["--from", self.dates[0], "--to", self.dates[1], "--top", "6"];
        let how = ["--format", format, "--quiet"];
        let args = [&["scan"][..], &self.rules(), &range, &how].concat();
        out(Run::here().wide(columns), &args)
    }

    fn is_core(&self) -> bool {
        self.target == "core"
    }

    fn target_word(&self) -> &'static str {
        if self.is_core() { "core" } else { "target" }
    }
}

fn out(run: Run, args: &[&str]) -> String {
    let ended = run.of(args);
    assert!(ended.code <= 1, "{args:?}: {}", ended.err);
    ended.out
}

/// Places with a subject and without, where the camera's direction stands and
/// where it moves; every kind of light; the core and another target.
fn cases() -> Vec<Case> {
    let places = [
        vec!["demo-sites/saltbush-tank.toml"],
        vec!["demo-sites/tinaja-mesa.toml"],
        // A view of a place at the equator.
        vec!["demo-sites/candlenut-cay.toml#beacon"],
        vec![
            "--place=-34,-70.5,900",
            "--time-zone",
            "America/Santiago",
            "--facing",
            "arch",
        ],
    ];
    let mut cases = Vec::new();
    for place in places {
        for light in ["raking", "dark", "blend", "any"] {
            for target in ["core", "gal:30,0"] {
                cases.push(Case {
                    place: place.clone(),
                    light,
                    target,
                    dates: ["2027-05-01", "2027-07-31"],
                });
            }
        }
    }
    // A total eclipse of the Moon (NASA's canon: 2029 June 26, greatest at 03:22
    // UTC), with the core high in the sky.
    for target in ["core", "gal:330,0"] {
        cases.push(Case {
            place: vec!["--place=-34,-70.5,900", "--time-zone", "America/Santiago"],
            light: "any",
            target,
            dates: ["2029-06-24", "2029-06-27"],
        });
    }
    cases
}

/// Every difference between what a format tells and the rows of the CSV.
fn differences(what: &str, case: &Case, rows: &[Row], told: &[Told]) -> Vec<String> {
    let place = format!("{what} {:?}", case.rules());
    if rows.len() != told.len() {
        return vec![format!(
            "{place}: {} windows, {} in the CSV",
            told.len(),
            rows.len()
        )];
    }
    let pairs = rows.iter().zip(told);
    pairs
        .flat_map(|(row, told)| row.differences(told))
        .map(|difference| format!("{place}: {difference}"))
        .collect()
}

/// Where the target is another, nothing is told of the core.
fn core_told(what: &str, case: &Case, text: &str) -> Vec<String> {
    let words = || text.split(|c: char| !c.is_alphanumeric() && c != '_');
    if case.is_core() || !words().any(|word| word.eq_ignore_ascii_case("core")) {
        return Vec::new();
    }
    let line = text
        .lines()
        .find(|line| line.to_lowercase().contains("core"));
    vec![format!("{what} {:?}: core told: {line:?}", case.rules())]
}

/// Fails with every difference, so that one run tells all.
fn none(differences: Vec<String>) {
    assert!(
        differences.is_empty(),
        "{} differences:\n{}",
        differences.len(),
        differences.join("\n")
    );
}

fn in_all(check: impl Fn(&Case) -> Vec<String> + Sync) {
    none(cases().par_iter().flat_map_iter(&check).collect());
}

#[test]
fn the_cases_hold_every_kind_of_window() {
    let all: Vec<Row> = cases()
        .par_iter()
        .flat_map_iter(|case| rows(&case.scan("csv")))
        .collect();
    let some = |name: &str| all.iter().filter(|row| !row.text(name).is_empty()).count();
    let count = all.len();
    for name in ["light_angle_deg", "moonlit_start_utc", "eclipse", "doubts"] {
        assert!((1..count).contains(&some(name)), "{name}: {}", some(name));
    }
    assert!(count > 80, "{count} windows");
}

#[test]
fn json_and_ndjson_tell_what_the_csv_tells() {
    in_all(|case| {
        let rows = rows(&case.scan("csv"));
        let document: Value = serde_json::from_str(&case.scan("json")).expect("JSON");
        let windows = document["sites"][0]["windows"].as_array().expect("windows");
        let lines: Vec<Value> = case
            .scan("ndjson")
            .lines()
            .map(|line| serde_json::from_str(line).expect("a JSON line"))
            .collect();
        let mut wrong = Vec::new();
        for (what, windows) in [("json", windows), ("ndjson", &lines)] {
            assert_eq!(windows.len(), rows.len(), "{what} {:?}", case.rules());
            for (row, window) in rows.iter().zip(windows) {
                wrong.extend(
                    row.unlike_json(window)
                        .map(|name| format!("{what}: {name}")),
                );
            }
        }
        wrong
    });
}

#[test]
fn tables_narrow_and_wide_tell_what_the_csv_tells() {
    in_all(|case| {
        let rows = rows(&case.scan("csv"));
        let mut wrong = Vec::new();
        for columns in [80, 100, 170] {
            let text = case.scan_wide("table", columns);
            let what = format!("table {columns} wide");
            let told = table::read(&text, case);
            wrong.extend(differences(&what, case, &rows, &told));
            wrong.extend(table::wrong_notes(&text, &rows));
            wrong.extend(core_told(&what, case, &text));
        }
        wrong
    });
}

#[test]
fn markdown_tells_what_the_csv_tells() {
    in_all(|case| {
        let text = case.scan("markdown");
        let told = markdown::read(&text, case);
        let mut wrong = differences("markdown", case, &rows(&case.scan("csv")), &told);
        wrong.extend(core_told("markdown", case, &text));
        wrong
    });
}

#[test]
fn the_calendar_tells_what_the_csv_tells() {
    in_all(|case| {
        let text = case.scan("ical");
        let told = calendar::read(&text, case);
        let mut wrong = differences("ical", case, &rows(&case.scan("csv")), &told);
        wrong.extend(core_told("ical", case, &text.replace("\r\n ", "")));
        wrong
    });
}

#[test]
fn the_map_tells_what_the_csv_tells() {
    in_all(|case| {
        let map: Value = serde_json::from_str(&case.scan("geojson")).expect("JSON");
        differences("geojson", case, &rows(&case.scan("csv")), &map::read(&map))
    });
}

#[test]
fn a_comparison_tells_what_the_csv_tells() {
    in_all(compare::check);
}

#[test]
fn the_sky_of_an_instant_tells_what_the_csv_tells() {
    in_all(sky::check);
}

#[test]
fn a_night_tells_what_the_csv_tells() {
    in_all(night::check);
}

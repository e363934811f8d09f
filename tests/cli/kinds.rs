//! Several kinds of light and several briefs in one run.

use super::{code, json, rakelight, scan, stderr, stdout, windows};
use serde_json::Value;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

const MESA: &str = "demo-sites/tinaja-mesa.toml";
const SPRING: [&str; 4] = ["--from", "2027-04-01", "--to", "2027-06-30"];

/// The rows of a scan in NDJSON.
fn rows(more: &[&str]) -> Vec<Value> {
    let mut args = vec!["scan", MESA, "--format", "ndjson"];
    args.extend(SPRING);
    args.extend(more);
    stdout(&rakelight(&args))
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} of {row}"))
}

/// What stays the same whatever else is asked for: kind and start.
fn name(row: &Value) -> (String, String) {
    (row["light"].to_string(), row["start_utc"].to_string())
}

/// All kinds together are the kinds one by one, with scores times what each is
/// worth.
#[test]
fn together_the_kinds_are_those_found_alone() {
    let together = rows(&["--light", "dark,blend,raking"]);
    let mut alone: BTreeMap<_, (f64, f64)> = BTreeMap::new();
    for (kind, worth) in [("raking", 1.0), ("blend", 0.8), ("dark", 0.6)] {
        for row in rows(&["--light", kind]) {
            assert_eq!(number(&row, "score_preference"), 1.0);
            alone.insert(name(&row), (number(&row, "score"), worth));
        }
    }
    assert_eq!(together.len(), alone.len());
    for row in &together {
        let (score, worth) = alone[&name(row)];
        assert_eq!(number(row, "score_preference"), worth);
        let apart = (number(row, "score") - worth * score).abs();
        // Both scores are rounded to a tenth.
        assert!(apart < 0.11, "{row}: {score}");
    }
    let scores: Vec<f64> = together.iter().map(|row| number(row, "score")).collect();
    assert!(scores.is_sorted_by(|a, b| a >= b), "{scores:?}");
    let kinds: BTreeSet<&str> = together
        .iter()
        .filter_map(|r| r["light"].as_str())
        .collect();
    assert_eq!(kinds.len(), 3, "each kind has nights there");
}

#[test]
fn preferences_decide_between_kinds_and_change_nothing_for_one() {
    let first = |more: &[&str]| rows(more)[0]["light"].to_string();
    assert_eq!(first(&["--light", "raking,dark"]), "\"raking\"");
    assert_eq!(
        first(&["--light", "raking,dark", "--prefer", "dark=1"]),
        "\"dark\""
    );
    let plain = rows(&["--light", "dark"]);
    assert_eq!(plain, rows(&["--light", "dark", "--prefer", "dark=0.1"]));
}

#[test]
fn a_lowest_score_leaves_out_what_is_below_and_says_so() {
    let all = rows(&["--light", "raking,dark"]);
    let good = rows(&["--light", "raking,dark", "--min-score", "70"]);
    let expected: Vec<&Value> = all.iter().filter(|r| number(r, "score") >= 70.0).collect();
    assert!(!good.is_empty() && good.len() < all.len());
    assert_eq!(good.iter().collect::<Vec<_>>(), expected);
    let mut args = vec!["scan", MESA, "--min-score", "99"];
    args.extend(SPRING);
    let none = rakelight(&args);
    let told = stderr(&none);
    assert_eq!(code(&none), 1, "{told}");
    // What is advised finds the best night.
    let least = told.split("--min-score ").nth(1).expect("a remedy");
    let least = least.split(')').next().expect("its number");
    assert_eq!(rows(&["--min-score", least]).len(), 1, "{told}");
}

/// The season marks a night by the first kind that has a window, or says that
/// its score is too low.
#[test]
fn a_season_knows_the_lowest_score() {
    let season = |more: &[&str]| {
        let mut args = vec!["scan", MESA, "--season"];
        args.extend(SPRING);
        args.extend(more);
        stdout(&rakelight(&args))
    };
    let low = season(&["--light", "raking", "--min-score", "80"]);
    assert!(low.contains("q score too low"), "{low}");
    assert!(!season(&["--light", "raking"]).contains("score too low"));
}

#[test]
fn each_brief_is_asked_by_itself_and_named_in_each_row() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("written");
        path.to_string_lossy().into_owned()
    };
    let high = write(
        "high core.toml",
        "light = \"dark\"\ntarget_altitude = \"20..\"\n",
    );
    let side = write(
        "side.toml",
        "light = [\"raking\", \"dark\"]\nmin_minutes = 60\n",
    );
    let both = rows(&["--brief", &high, "--brief", &side]);
    let of =
        |brief: &str| -> Vec<&Value> { both.iter().filter(|row| row["brief"] == brief).collect() };
    assert_eq!(of("high core").len() + of("side").len(), both.len());
    for (name, path) in [("high core", &high), ("side", &side)] {
        let alone = rows(&["--brief", path]);
        let starts =
            |rows: &[&Value]| -> BTreeSet<_> { rows.iter().map(|row| self::name(row)).collect() };
        assert_eq!(starts(&of(name)), starts(&alone.iter().collect::<Vec<_>>()));
        assert!(!alone.is_empty());
    }
    // Dark nights of both briefs count the same beside raking ones.
    for row in both.iter().filter(|row| row["light"] == "dark") {
        assert_eq!(number(row, "score_preference"), 0.6, "{row}");
    }
    let table = stdout(&rakelight(&scan(&[
        MESA, "--brief", &high, "--brief", &side, "--top", "3",
    ])));
    assert!(table.contains("brief") && table.contains("kind"), "{table}");
}

/// A base brief says only what neither options nor brief nor site say.
#[test]
fn a_base_brief_fills_gaps_and_overrides_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let base = folder.path().join("base.toml");
    fs::write(&base, "moon_altitude = \"5..6\"\nmin_minutes = 75\n").expect("written");
    let base = base.to_string_lossy().into_owned();
    let told = |more: &[&str]| {
        let mut args = vec!["scan", MESA, "--explain"];
        args.extend(more);
        let text = stdout(&rakelight(&args));
        let line = |option: &str| {
            let found = text.lines().find(|line| line.starts_with(option));
            let found = found.unwrap_or_else(|| panic!("{option} in {text}"));
            found
                .split_whitespace()
                .skip(1)
                .collect::<Vec<_>>()
                .join(" ")
        };
        (line("--moon-altitude"), line("--min-minutes"))
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    // The site itself has a rule about the Moon's altitude.
    assert_eq!(
        told(&["--base-brief", &base]),
        pair("site 4..25", "base brief 75")
    );
    assert_eq!(
        told(&["--base-brief", &base, "--min-minutes", "30"]),
        pair("site 4..25", "option 30")
    );
    assert_eq!(
        told(&["--brief", &base]),
        pair("brief file 5..6", "brief file 75")
    );
}

/// A plan of one night is that of the kind with the best window.
#[test]
fn a_night_is_planned_for_its_best_kind() {
    let planned = |on: &str| {
        let args = [
            "night",
            MESA,
            "--on",
            on,
            "--light",
            "raking,dark",
            "--format",
            "json",
        ];
        let output = rakelight(&args);
        let night: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        (
            night["query"]["rules"]["light"]["value"].clone(),
            stderr(&output),
        )
    };
    let (light, told) = planned("2027-05-29");
    assert_eq!(light, "raking", "{told}");
    let (light, told) = planned("2027-06-04");
    assert_eq!(light, "dark", "{told}");
    assert!(told.contains("planned as a dark night"), "{told}");
}

/// Kinds and briefs have entries and features of their own.
#[test]
fn every_entry_and_feature_of_a_run_has_an_id_of_its_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut briefs = Vec::new();
    for (name, light) in [("a.toml", "raking,blend,dark"), ("b.toml", "dark")] {
        let path = folder.path().join(name);
        fs::write(&path, format!("light = \"{light}\"\n")).expect("written");
        briefs.push("--brief".to_owned());
        briefs.push(path.to_string_lossy().into_owned());
    }
    let output = |format: &str| {
        let mut args = vec!["scan", MESA, "--format", format];
        args.extend(SPRING);
        args.extend(briefs.iter().map(String::as_str));
        stdout(&rakelight(&args))
    };
    let rows = output("ndjson").lines().count();
    let uids = output("ical");
    let uids: Vec<&str> = uids
        .lines()
        .filter(|line| line.starts_with("UID:"))
        .collect();
    assert_eq!(uids.iter().collect::<BTreeSet<_>>().len(), uids.len());
    assert_eq!(uids.len(), rows);
    let map: Value = serde_json::from_str(&output("geojson")).expect("GeoJSON");
    let features = map["features"].as_array().expect("features");
    let ids: BTreeSet<String> = features.iter().map(|f| f["id"].to_string()).collect();
    assert_eq!(ids.len(), features.len());
}

/// JSON tells the rules of each kind.
#[test]
fn json_has_the_rules_of_each_kind() {
    let document = json(&scan(&[MESA, "--light", "raking,dark", "--format", "json"]));
    let site = &document["sites"][0];
    assert_eq!(site["rules"], site["rules_of_each"][0]["rules"]);
    assert_eq!(site["rules_of_each"][1]["light"], "dark");
    assert_eq!(site["rules_of_each"][1]["preference"], 0.6);
    assert!(
        windows(&document)
            .iter()
            .all(|window| window["time_zone"] == "America/Denver")
    );
}

/// A season of several briefs says which of them a night keeps.
#[test]
fn a_season_names_the_brief_of_each_night() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("dark.toml");
    fs::write(&path, "light = \"dark\"\n").expect("written");
    let path = path.to_string_lossy().into_owned();
    let mut args = vec![
        "scan", MESA, "--season", "--format", "ndjson", "--brief", &path,
    ];
    args.extend(SPRING);
    let text = stdout(&rakelight(&args));
    let rows = text
        .lines()
        .map(|line| serde_json::from_str::<Value>(line).expect("a JSON line"));
    let (found, none): (Vec<Value>, Vec<Value>) = rows.partition(|row| !row["score"].is_null());
    assert!(found.iter().all(|row| row["brief"] == "dark"), "{found:?}");
    assert!(!found.is_empty() && none.iter().all(|row| row["brief"].is_null()));
}

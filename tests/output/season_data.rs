//! A season as records: against the scans of each kind of light, the rules of
//! a night, and the season as text; the same nights in every format.
#![cfg(feature = "cli")]

use crate::program;

use chrono::NaiveDate;
use program::{Folder, Run};
use rakelight::rule::RULES;
use serde_json::Value;
use std::collections::{BTreeMap, HashMap};

const SITES: [&str; 2] = [
    "demo-sites/tinaja-mesa.toml",
    "demo-sites/saltbush-tank.toml",
];
/// The kinds that a season shows without `--light`, in their order.
const KINDS: [&str; 3] = ["raking", "blend", "dark"];

type Row = HashMap<String, String>;

fn read(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names = reader.headers().expect("a header").clone();
    let row = |record: csv::StringRecord| {
        let cells = names.iter().zip(&record);
        cells
            .map(|(name, cell)| (name.to_owned(), cell.to_owned()))
            .collect()
    };
    let records = reader.records();
    records.map(|record| row(record.expect("a row"))).collect()
}

fn run(more: &[&str]) -> String {
    Run::here().of(&[&["scan"], more].concat()).good()
}

fn season(more: &[&str]) -> Vec<Row> {
    read(&run(&[&["--season", "--format", "csv"], more].concat()))
}

fn seconds(row: &Row, column: &str) -> i64 {
    let text = &row[column];
    let time: chrono::DateTime<chrono::Utc> = text.parse().expect(column);
    time.timestamp()
}

/// Each night has the best window that a scan of the same range finds, of the
/// first kind that has one there.
#[test]
fn each_night_has_the_best_window_of_the_scans() {
    let range = ["--from", "2027-05-10", "--to", "2027-08-20"];
    for site in SITES {
        let nights = season(&[&[site], &range[..]].concat());
        assert_eq!(nights.len(), 103);
        let mut scanned: BTreeMap<String, Vec<(&str, Row)>> = BTreeMap::new();
        for kind in KINDS {
            let scan = [&[site, "--light", kind, "--format", "csv"], &range[..]].concat();
            for row in read(&run(&scan)) {
                let of_night = scanned.entry(row["night"].clone()).or_default();
                // Best first; a kind after the first that has any is not shown.
                if of_night.first().is_none_or(|(first, _)| *first == kind) {
                    of_night.push((kind, row));
                }
            }
        }
        let mut shown: BTreeMap<&str, usize> = BTreeMap::new();
        for night in &nights {
            let found = scanned.get(&night["night"]).map_or(&[][..], Vec::as_slice);
            assert_eq!(night["windows"], found.len().to_string(), "{night:?}");
            let Some((kind, best)) = found.first() else {
                assert_eq!(night["light"], "");
                assert_ne!(night["failing_rule"], "", "{night:?}");
                continue;
            };
            *shown.entry(kind).or_default() += 1;
            assert_eq!(night["light"], *kind);
            assert_eq!(night["failing_rule"], "");
            assert_eq!(night["score"], best["score"], "{night:?}");
            // The sky of a season is fitted over whole lunar months.
            for column in ["start_utc", "end_utc", "best_utc"] {
                let apart = seconds(night, column) - seconds(best, column);
                assert!(apart.abs() <= 1, "{column} {apart} s: {night:?}");
            }
            for column in ["utc_offset", "site", "view"] {
                assert_eq!(night[column], best[column], "{column}");
            }
            for column in ["start", "end", "best"] {
                let local: chrono::NaiveDateTime = night[&format!("{column}_local")]
                    .parse_local()
                    .expect("a local time");
                let utc = seconds(night, &format!("{column}_utc"));
                let ahead = local.and_utc().timestamp() - utc;
                let offset = format!("{:+03}:{:02}", ahead / 3600, ahead.abs() / 60 % 60);
                assert_eq!(offset, night["utc_offset"], "{night:?}");
            }
        }
        assert!(shown["raking"] > 0 && shown["dark"] > 0, "{shown:?}");
        assert!(scanned.len() < nights.len(), "a night without a window");
    }
}

/// Of several kinds that are asked for the best is shown, as a scan for them
/// ranks it; `--prefer` turns the order of some nights round.
#[test]
fn several_kinds_are_compared_by_what_each_is_worth() {
    let range = ["--from", "2027-05-10", "--to", "2027-08-20"];
    let mut shown = Vec::new();
    for prefer in [&[][..], &["--prefer", "dark=1.2"]] {
        let asked = [&[SITES[0], "--light", "raking,dark"], &range[..], prefer].concat();
        let scan = read(&run(&[&asked[..], &["--format", "csv"]].concat()));
        let nights = season(&asked);
        for night in &nights {
            let mut of_night = scan.iter().filter(|row| row["night"] == night["night"]);
            // The scan is in the order of rank.
            let Some(best) = of_night.next() else {
                assert_eq!(night["light"], "", "{night:?}");
                continue;
            };
            for column in ["light", "score"] {
                assert_eq!(night[column], best[column], "{night:?}");
            }
            let apart = seconds(night, "start_utc") - seconds(best, "start_utc");
            assert!(apart.abs() <= 1, "{night:?}");
        }
        let lights = nights.iter().map(|night| night["light"].clone());
        shown.push(lights.collect::<Vec<_>>());
    }
    let count = |of: &[String], light: &str| of.iter().filter(|of| *of == light).count();
    assert!(count(&shown[0], "raking") > count(&shown[1], "raking"));
    assert!(count(&shown[1], "dark") > count(&shown[0], "dark"));
}

trait Local {
    fn parse_local(&self) -> chrono::ParseResult<chrono::NaiveDateTime>;
}

impl Local for String {
    fn parse_local(&self) -> chrono::ParseResult<chrono::NaiveDateTime> {
        chrono::NaiveDateTime::parse_from_str(self, "%Y-%m-%d %H:%M:%S")
    }
}

/// The rule that a record names is the one at which the periods of `night
/// --rules`, put together in the order of the rules, leave nothing.
#[test]
fn the_failing_rule_is_the_first_that_leaves_no_time_in_the_night() {
    let site = SITES[0];
    let rules = ["--light", "raking", "--moon-altitude", "4..12"];
    let range = ["--from", "2027-06-01", "--nights", "40"];
    let mut named: BTreeMap<String, usize> = BTreeMap::new();
    let nights = season(&[&[site], &rules[..], &range].concat());
    assert_eq!(nights.len(), 40);
    for night in nights {
        let date = night["night"].as_str();
        let arguments = ["night", site, "--on", date, "--rules", "--format", "json"];
        let told = Run::here().of(&[&arguments[..], &rules].concat()).good();
        let told: Value = serde_json::from_str(&told).expect("JSON");
        let reasons = &told["reasons"];
        let time = |period: &Value, key: &str| {
            let text = period[key].as_str().expect("a time");
            let time: chrono::DateTime<chrono::Utc> = text.parse().expect("a time");
            time.timestamp()
        };
        let mut left = vec![(i64::MIN, i64::MAX)];
        let mut failing = None;
        let mut rules: Vec<&Value> = reasons["rules"].as_array().expect("rules").iter().collect();
        rules.sort_by_key(|rule| RULES.iter().find(|of| rule["rule"] == of.key));
        for rule in rules {
            let held = rule["held"].as_array().expect("periods");
            let held = held
                .iter()
                .map(|p| (time(p, "start_utc"), time(p, "end_utc")));
            let held: Vec<(i64, i64)> = held.collect();
            left = left
                .iter()
                .flat_map(|(a, b)| held.iter().map(move |(c, d)| (*a.max(c), *b.min(d))))
                .filter(|(start, end)| start < end)
                .collect();
            if left.is_empty() {
                failing = rule["rule"].as_str();
                break;
            }
        }
        let least = reasons["min_minutes"].as_f64().expect("minutes") * 60.0;
        let long = left
            .iter()
            .any(|(start, end)| (end - start) as f64 >= least);
        let failing = failing.or((!long).then_some("min_minutes"));
        assert_eq!(night["failing_rule"], failing.unwrap_or_default(), "{date}");
        assert_eq!(night["light"].is_empty(), failing.is_some(), "{date}");
        *named.entry(night["failing_rule"].clone()).or_default() += 1;
    }
    assert!(named.len() >= 4, "{named:?}");
}

/// The Moon of a night is the one that `sky` shows in the middle of it.
#[test]
fn moon_and_lunar_month_are_those_of_sky_and_phases() {
    let site = SITES[0];
    let range = ["--from", "2027-05-01", "--to", "2027-07-31"];
    let quarters = Run::here()
        .of(&[
            "phases",
            "--from",
            "2027-04-01",
            "--to",
            "2027-08-31",
            "--format",
            "json",
        ])
        .good();
    let quarters: Value = serde_json::from_str(&quarters).expect("JSON");
    let quarters = quarters["phases"].as_array().expect("phases");
    let news: Vec<&str> = quarters
        .iter()
        .filter(|quarter| quarter["kind"] == "new")
        .filter_map(|quarter| quarter["time_utc"].as_str())
        .collect();
    assert!(news.len() >= 4, "{quarters:?}");
    for night in season(&[&[site], &range[..]].concat()).iter().step_by(7) {
        // Solar midnight at 113.42 W, within the equation of time.
        let date: NaiveDate = night["night"].parse().expect("a date");
        let middle = date.succ_opt().expect("a day").and_hms_opt(7, 33, 41);
        let middle = middle.expect("a time").and_utc();
        let text = middle.format("%Y-%m-%dT%H:%M:%SZ").to_string();
        let sky = ["sky", site, "--time", &text, "--format", "json"];
        let sky: Value = serde_json::from_str(&Run::here().of(&sky).good()).expect("JSON");
        let fraction = sky["moon"]["moon_fraction"].as_f64();
        let fraction = fraction.unwrap_or_else(|| panic!("no fraction in {sky}"));
        let ours: f64 = night["moon_fraction"].parse().expect("a fraction");
        assert!(
            (ours - fraction).abs() < 0.0011,
            "{ours} {fraction}: {night:?}"
        );
        let new = news.iter().rev().find(|new| **new <= text.as_str());
        let new = new.expect("a new Moon before it");
        let (told, published) = (seconds(night, "new_moon_utc"), *new);
        let published: chrono::DateTime<chrono::Utc> = published.parse().expect("a time");
        assert!((told - published.timestamp()).abs() <= 1, "{night:?}");
        let age: f64 = night["moon_age_days"].parse().expect("days");
        let days = (middle.timestamp() - told) as f64 / 86_400.0;
        assert!((age - days).abs() < 0.006, "{age} {days}");
    }
}

/// The text of a season shows for each night what its record says: the kind's
/// sign and the tens of the score, or the letter of the rule.
#[test]
fn text_and_records_agree() {
    for site in SITES {
        for range in [
            ["--from", "2027-03-05", "--to", "2027-09-20"],
            // After the last new Moon that is known.
            ["--from", "2099-11-20", "--to", "2099-12-31"],
        ] {
            let page = run_any(&[&[site, "--season"], &range[..]].concat());
            let records = read(&run_any(
                &[&[site, "--season", "--format", "csv"], &range[..]].concat(),
            ));
            let mut told = String::new();
            for row in page
                .lines()
                .skip(2)
                .take_while(|line| !line.starts_with("Marks"))
                .filter(|line| !line.starts_with(' '))
            {
                let cells: Vec<char> = row.chars().skip(12).collect();
                for cell in cells.chunks(2) {
                    let cell: String = cell.iter().collect();
                    if !cell.trim().is_empty() {
                        told += &format!("{} ", cell.trim());
                    }
                }
            }
            let mut expected = String::new();
            for record in &records {
                let sign = match record["light"].as_str() {
                    "raking" => "#",
                    "blend" => "%",
                    "dark" => ":",
                    _ => "",
                };
                let tens = match record["score"].parse::<f64>() {
                    // A score of 84.97 is written 85.0, whose tens are one more.
                    Ok(score) => format!("{}", (score / 10.0).round().min(9.0)),
                    Err(_) => record["failing_letter"].clone(),
                };
                expected += &format!("{sign}{tens} ");
                if !record["failing_letter"].is_empty() {
                    let line = format!("  {} {}", record["failing_letter"], record["failing_text"]);
                    assert!(page.lines().any(|told| told == line), "{line}\n{page}");
                }
            }
            assert_eq!(told, expected, "{page}");
        }
    }
}

/// What a run writes, whether or not a night was found.
fn run_any(more: &[&str]) -> String {
    let ended = Run::here().of(&[&["scan"], more].concat());
    assert!(ended.code < 2, "{}", ended.err);
    ended.out
}

#[test]
fn every_format_has_the_same_nights_and_a_file_ending_chooses_it() {
    let folder = Folder::new();
    let table = format!("{}/tests/data/season_map/region.csv", program::HERE);
    let range = ["--from", "2027-05-20", "--nights", "20"];
    let arguments = |more: &[&'static str]| -> Vec<String> {
        let all = [&["--season", "--quiet"], &range[..], more].concat();
        let all = all.into_iter().map(str::to_owned);
        all.chain([table.clone()]).collect()
    };
    let out = |more: &[&'static str]| {
        let arguments = arguments(more);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        run(&arguments)
    };
    let text = out(&["--format", "csv"]);
    let rows = read(&text);
    assert_eq!(rows.len(), 5 * 20);
    assert_eq!(rows[0]["guide"], "Mara");
    // Sites in the order of the input, nights in the order of time.
    for (index, row) in rows.iter().enumerate() {
        assert_eq!(row["site"], rows[index / 20 * 20]["site"]);
        let date: NaiveDate = row["night"].parse().expect("a date");
        let first: NaiveDate = "2027-05-20".parse().expect("a date");
        assert_eq!((date - first).num_days() as usize, index % 20);
        let weekday = date.format("%a").to_string().to_lowercase();
        assert_eq!(row["weekday"], weekday);
    }
    let lines: Vec<Value> = out(&["--format", "ndjson"])
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    let document: Value = serde_json::from_str(&out(&["--format", "json"])).expect("JSON");
    let sites = document["sites"].as_array().expect("sites");
    assert_eq!(sites.len(), 5);
    let nights: Vec<&Value> = sites
        .iter()
        .flat_map(|site| site["season"].as_array().expect("nights"))
        .collect();
    assert_eq!(nights.len(), rows.len());
    for ((row, line), night) in rows.iter().zip(&lines).zip(nights) {
        let names = night.as_object().expect("an object").keys();
        for name in names {
            match (line[name].as_f64(), night[name].as_f64()) {
                (None, None) => assert_eq!(line[name], night[name], "{name}"),
                numbers => assert_eq!(numbers.0, numbers.1, "{name}"),
            }
            let text = match &night[name] {
                Value::Null => String::new(),
                Value::String(text) => text.clone(),
                Value::Number(number) => {
                    let csv: f64 = row[name].parse().expect("a number");
                    assert_eq!(Some(csv), number.as_f64(), "{name}");
                    continue;
                }
                other => other.to_string(),
            };
            assert_eq!(row[name], text, "{name}");
        }
    }
    for ending in ["csv", "json", "jsonl", "geojson"] {
        let file = folder.path(&format!("season.{ending}"));
        let file = file.display().to_string();
        let format = if ending == "jsonl" { "ndjson" } else { ending };
        let arguments = arguments(&[]);
        let mut arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        arguments.extend(["-o", &file]);
        run(&arguments);
        let written = std::fs::read_to_string(&file).expect("a file");
        let asked = match format {
            "csv" => out(&["--format", "csv"]),
            "json" => out(&["--format", "json"]),
            "ndjson" => out(&["--format", "ndjson"]),
            _ => out(&["--format", "geojson"]),
        };
        assert_eq!(written, asked, "{ending}");
    }
    // Another country's spreadsheet reads the same numbers.
    let semicolons = out(&["--format", "csv", "--csv-style", "semicolon"]);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(b';')
        .from_reader(semicolons.as_bytes());
    let names = reader.headers().expect("a header").clone();
    let at = names.iter().position(|name| name == "moon_fraction");
    for (record, row) in reader.records().zip(&rows) {
        let record = record.expect("a row");
        let told = record.get(at.expect("a column")).expect("a cell");
        assert_eq!(told.replace(',', "."), row["moon_fraction"]);
        assert!(told.contains(','));
    }
}

/// A night that a zone's calendar left out has no record.
#[test]
fn a_date_that_was_left_out_has_no_record() {
    let place = ["--place=-13.8,-171.8", "--time-zone=Pacific/Apia"];
    let range = ["--from", "2011-12-28", "--to", "2012-01-01"];
    let rows = read(&run_any(
        &[&["--season", "--format", "csv"], &place[..], &range].concat(),
    ));
    let nights: Vec<&str> = rows.iter().map(|row| row["night"].as_str()).collect();
    assert_eq!(
        nights,
        ["2011-12-28", "2011-12-29", "2011-12-31", "2012-01-01"]
    );
}

/// As many evenings as were asked for, from the first on.
#[test]
fn a_count_of_evenings_is_a_range() {
    let counted = ["--from", "2027-05-28", "--nights", "7", "--format", "csv"];
    let ranged = [
        "--from",
        "2027-05-28",
        "--to",
        "2027-06-03",
        "--format",
        "csv",
    ];
    for more in [&[][..], &["--season"]] {
        let of = |range: &[&str]| run(&[&[SITES[0]], range, more].concat());
        assert_eq!(of(&counted), of(&ranged));
    }
}

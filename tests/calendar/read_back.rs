//! The calendar read by another library, against the CSV of the same scan.
#![cfg(feature = "cli")]

use crate::program;

use chrono::{DateTime, NaiveDateTime, Utc};
use ical::{IcalParser, parser::ical::component::IcalEvent};
use program::{Folder, Run};
use proptest::prelude::*;
use std::collections::HashSet;

fn run(arguments: &[&str]) -> String {
    Run::here().of(arguments).good()
}

fn value(event: &IcalEvent, name: &str) -> String {
    let property = event.properties.iter().find(|p| p.name == name);
    property
        .and_then(|property| property.value.clone())
        .unwrap_or_else(|| panic!("no {name}"))
}

fn utc(text: &str) -> DateTime<Utc> {
    // A form with Z is UTC (RFC 5545, section 3.3.5, form 2).
    NaiveDateTime::parse_from_str(text, "%Y%m%dT%H%M%SZ")
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .and_utc()
}

fn same_as_csv(sites: &[&str], more: &[&str]) {
    let scan = |format: &str| {
        let mut arguments = vec!["scan"];
        arguments.extend(sites);
        arguments.extend(["--format", format]);
        arguments.extend(more);
        run(&arguments)
    };
    let text = scan("ical");
    assert_eq!(text, scan("ical"), "a second run gives the same bytes");
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "RFC 5545, section 3.1: {line}");
        assert!(!line.contains(['\r', '\n']));
    }
    let calendars: Vec<_> = IcalParser::new(text.as_bytes())
        .collect::<Result<_, _>>()
        .expect("a calendar");
    assert_eq!(calendars.len(), 1);
    let events = &calendars[0].events;

    let table = scan("csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let heads = reader.headers().expect("heads").clone();
    let column = |name: &str| {
        heads
            .iter()
            .position(|head| head == name)
            .expect("a column")
    };
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(events.len(), rows.len());
    assert!(!rows.is_empty());
    let mut uids = HashSet::new();
    for (event, row) in events.iter().zip(&rows) {
        // A blend has two periods; the entry is from the first to the last.
        let times = |names: [&str; 2]| -> Vec<DateTime<Utc>> {
            let texts = names.map(|name| &row[column(name)]);
            let given = texts.into_iter().filter(|text| !text.is_empty());
            given.map(|text| text.parse().expect("RFC 3339")).collect()
        };
        let start = times(["start_utc", "moonlit_start_utc"]);
        let end = times(["end_utc", "moonlit_end_utc"]);
        let told = |name: &str| Some(utc(&value(event, name)));
        assert_eq!(told("DTSTART"), start.into_iter().min(), "{row:?}");
        assert_eq!(told("DTEND"), end.into_iter().max(), "{row:?}");
        for name in ["DTSTAMP", "LAST-MODIFIED"] {
            assert_eq!(value(event, name), "20270115T080000Z");
        }
        assert_eq!(value(event, "SEQUENCE"), "0");
        assert_eq!(value(event, "LOCATION"), row[column("site")]);
        assert!(uids.insert(value(event, "UID")), "a UID twice");
        // The local time is repeated, rounded to the minute, with its offset.
        let description = value(event, "DESCRIPTION");
        let best = NaiveDateTime::parse_from_str(&row[column("best_local")], "%Y-%m-%d %H:%M:%S")
            .expect("local time");
        let (_, told) = description.split_once("Best: ").expect("the best instant");
        let (clock, rest) = told.split_at(16);
        let clock = NaiveDateTime::parse_from_str(clock, "%Y-%m-%d %H:%M").expect("local time");
        // To the nearest minute, the CSV's to the nearest second.
        assert!((clock - best).num_seconds().abs() <= 30, "{clock} {best}");
        let offset = &row[column("utc_offset")];
        assert!(
            rest.starts_with(&format!(" {offset}")),
            "{offset} in {told}"
        );
        assert!(description.contains("Local rules"), "{description}");
    }
}

#[test]
fn times_are_those_of_the_csv() {
    same_as_csv(
        &[
            "demo-sites/saltbush-tank.toml",
            "demo-sites/tinaja-mesa.toml",
            "demo-sites/storvarden-cairn.toml",
        ],
        &["--from", "2027-03-01", "--to", "2027-10-31"],
    );
}

#[test]
fn times_are_those_of_the_csv_around_changes_of_clocks() {
    let sites = [
        "demo-sites/saltbush-tank.toml",
        "demo-sites/gannet-steps.toml",
    ];
    let any = [
        "--light",
        "any",
        "--target-offset",
        "-180..180",
        "--clock",
        "12:00..11:59",
    ];
    for span in [
        ["--from", "2027-04-02", "--to", "2027-04-05"],
        ["--from", "2027-10-01", "--to", "2027-10-04"],
    ] {
        same_as_csv(&sites, &[&any[..], &span[..]].concat());
    }
}

#[test]
fn blends_and_rankings_are_in_it_too() {
    same_as_csv(
        &["demo-sites/saltbush-tank.toml"],
        &[
            "--from",
            "2027-06-01",
            "--to",
            "2027-08-31",
            "--light",
            "blend",
        ],
    );
}

/// What an escaped text stands for (RFC 5545, section 3.3.11).
fn unescaped(value: &str) -> String {
    let mut characters = value.chars();
    let mut text = String::new();
    while let Some(character) = characters.next() {
        text.push(match character {
            '\\' => match characters.next().expect("no escape stays open") {
                'n' | 'N' => '\n',
                other => {
                    assert!("\\;,".contains(other), "\\{other} is no escape");
                    other
                }
            },
            ';' | ',' => panic!("a bare {character} in {value}"),
            plain => plain,
        });
    }
    text
}

/// Words of signs that a calendar escapes, folds between, or must leave alone.
fn words(most: usize) -> impl Strategy<Value = String> {
    let sign = prop::sample::select(vec![
        '\\', ';', ',', ':', '"', '=', '-', 'n', 'N', 'x', ' ', 'é', '老', '🌌',
    ]);
    prop::collection::vec(sign, 1..most).prop_map(|signs| {
        // Words alone, as notes are kept; no sign that a name may not begin with.
        let signs: String = signs.into_iter().collect();
        let words: Vec<&str> = signs.split_whitespace().collect();
        format!("a{}", words.join(" "))
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn any_name_and_notes_are_in_the_event_as_they_were_given(
        name in words(79), notes in words(400),
    ) {
        let folder = Folder::new();
        // A string of JSON without control characters is one of TOML too.
        let quoted = |text: &str| serde_json::to_string(text).expect("a string");
        let site = format!(
            "name = {}\nlatitude_deg = -30.5\nlongitude_deg = 20.25\nelevation_m = 900\n\
             time_zone = \"Africa/Johannesburg\"\nnotes = {}\n",
            quoted(&name),
            quoted(&notes)
        );
        let path = &folder.file("site.toml", site);
        let text = run(&[
            "scan", path, "--from", "2027-06-21", "--to", "2027-06-21", "--light", "any",
            "--format", "ical",
        ]);
        prop_assert!(text.split("\r\n").all(|line| line.len() <= 75));
        // The reader drops spaces in front of a fold, against RFC 5545, section
        // 3.1, so it gets each line in one piece.
        let unfolded = text.replace("\r\n ", "");
        let calendars: Vec<_> = IcalParser::new(unfolded.as_bytes())
            .collect::<Result<_, _>>()
            .expect("a calendar");
        let event = calendars[0].events.first().expect("a window");
        prop_assert_eq!(unescaped(&value(event, "LOCATION")), name.clone());
        let summary = unescaped(&value(event, "SUMMARY"));
        prop_assert!(summary.starts_with(&format!("{name}: ")), "{summary}");
        let description = unescaped(&value(event, "DESCRIPTION"));
        let line = format!("Notes: {notes}");
        prop_assert!(description.lines().any(|told| told == line), "{description}");
    }
}

/// Every event has a UID of its own, whatever the sites are called and however
/// often one comes (RFC 5545, section 3.8.4.7), and the same one on every run.
#[test]
fn uids_are_unique_for_any_name_and_any_row() {
    let folder = Folder::new();
    let rows = "name,latitude_deg,longitude_deg,time_zone,subject.bearing_deg\n\
                北門,-31.4,139.2,Australia/Adelaide,0\n\
                南門,-31.4,139.2,Australia/Adelaide,0\n\
                北門,-31.4,139.2,Australia/Adelaide,180\n\
                北門,-31.4,139.2,Australia/Adelaide,0\n\
                a b,-31.4,139.2,Australia/Adelaide,0\n\
                a-b,-31.4,139.2,Australia/Adelaide,0\n";
    let path = &folder.file("gates.csv", rows);
    for more in [&[][..], &["--together"]] {
        let mut arguments = vec!["scan", path, "--format", "ical"];
        arguments.extend([
            "--from",
            "2027-06-01",
            "--to",
            "2027-06-08",
            "--light",
            "any",
        ]);
        arguments.extend(["--target-offset", "-180..180"]);
        arguments.extend(more);
        let text = run(&arguments);
        assert_eq!(text, run(&arguments), "a second run gives the same bytes");
        let calendar = IcalParser::new(text.as_bytes()).next();
        let events = calendar.expect("a calendar").expect("a calendar").events;
        let uids: HashSet<String> = events.iter().map(|event| value(event, "UID")).collect();
        assert!(events.len() >= 6 * 8, "{} events", events.len());
        assert_eq!(uids.len(), events.len());
    }
}

//! The calendar read by another library, against the CSV of the same scan.
#![cfg(feature = "cli")]

use chrono::{DateTime, NaiveDateTime, Utc};
use ical::{IcalParser, parser::ical::component::IcalEvent};
use std::{collections::HashSet, process::Command};

fn run(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_rakelight"))
        .args(arguments)
        .env("SOURCE_DATE_EPOCH", "1800000000")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program runs");
    assert!(output.status.success());
    String::from_utf8(output.stdout).expect("UTF-8")
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
        for (name, utc_column) in [("DTSTART", "start_utc"), ("DTEND", "end_utc")] {
            let told: DateTime<Utc> = row[column(utc_column)].parse().expect("RFC 3339");
            assert_eq!(utc(&value(event, name)), told, "{row:?}");
        }
        assert_eq!(value(event, "DTSTAMP"), "20270115T080000Z");
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
        "--core-offset",
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

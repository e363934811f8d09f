//! Local times of a calendar, through the clocks written in it, against the UTC
//! of the CSV of the same scan.
#![cfg(feature = "cli")]

use crate::calendar;
use crate::program;

use ::ical::parser::ical::component::{IcalEvent, IcalTimeZone};
use calendar::{of, value};
use chrono::{DateTime, Datelike, NaiveDateTime, TimeDelta, Utc};
use program::{Folder, Run};
use std::collections::{BTreeSet, HashMap};

/// Zones with changes at other times and by other amounts than most: clocks
/// behind their standard time, by half an hour or two hours, by the Moon; and
/// some that never change.
const ROWS: &str = "name,latitude_deg,longitude_deg,time_zone\n\
    Lee,46.9,9.1,Europe/Zurich\n\
    Strand,53.4,-9.9,Europe/Dublin\n\
    Reef,-31.5,159.1,Australia/Lord_Howe\n\
    Terrace,27.8,85.3,Asia/Kathmandu\n\
    Dune,31.1,-6.0,Africa/Casablanca\n\
    Koppie,-28.2,28.9,Africa/Johannesburg\n\
    Cape,47.6,-52.7,America/St_Johns\n\
    Shingle,-43.9,-176.5,Pacific/Chatham\n\
    Nunatak,-72.0,2.5,Antarctica/Troll\n\
    Alerce,-41.5,-72.6,America/Santiago\n\
    Olive,31.5,34.4,Asia/Gaza\n\
    Fjord,60.9,-46.0,America/Nuuk\n";

/// Every night and hour, so that times fall near the changes of the clocks.
#[rustfmt::skip]
const ALL: [&str; 17] = [
    "--from", "2027-01-01", "--to", "2028-02-29", "--light", "any", "--quiet",
    "--target-offset", "-180..180", "--clock", "12:00..11:59",
    "--target-altitude", "-90..90", "--sun-altitude", "..-3", "--contrast", "0..",
];

/// When the clocks of a zone change and to what: UTC, seconds ahead.
fn changes(zone: &IcalTimeZone) -> Vec<(NaiveDateTime, i64)> {
    let mut changes: Vec<(NaiveDateTime, i64)> = zone
        .transitions
        .iter()
        .map(|transition| {
            let told = |name| of(&transition.properties, name).expect("a property");
            let before = offset(&told("TZOFFSETFROM"));
            let start = local(&told("DTSTART"));
            (
                start - TimeDelta::seconds(before),
                offset(&told("TZOFFSETTO")),
            )
        })
        .collect();
    changes.sort();
    changes
}

fn offset(text: &str) -> i64 {
    let (sign, digits) = text.split_at(1);
    let number = |range: std::ops::Range<usize>| -> i64 { digits[range].parse().expect("digits") };
    let size = 3600 * number(0..2) + 60 * number(2..4);
    if sign == "-" { -size } else { size }
}

fn local(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y%m%dT%H%M%S").expect("a local time")
}

/// The moments that a local time can be, by the clocks written in the calendar.
fn moments(local: NaiveDateTime, changes: &[(NaiveDateTime, i64)]) -> Vec<DateTime<Utc>> {
    let periods = changes
        .iter()
        .enumerate()
        .filter_map(|(index, (from, ahead))| {
            let utc = local - TimeDelta::seconds(*ahead);
            let ends = changes.get(index + 1).map(|(next, _)| *next);
            (*from <= utc && ends.is_none_or(|end| utc < end)).then(|| utc.and_utc())
        });
    periods.collect()
}

fn zone_of(entry: &IcalEvent, name: &str) -> Option<String> {
    let property = entry
        .properties
        .iter()
        .find(|property| property.name == name);
    let parameters = property.expect("a time").params.as_ref()?;
    let (_, values) = parameters.iter().find(|(name, _)| name == "TZID")?;
    values.first().cloned()
}

#[test]
fn local_times_are_the_csvs_by_the_clocks_in_the_file() {
    let folder = Folder::new();
    let table = folder.file("world.csv", ROWS);
    let scan = |format: &str, more: &[&str]| {
        let args = [&["scan", &table, "--format", format], &ALL[..], more].concat();
        Run::at(&folder).of(&args).good()
    };
    let text = scan("ical", &["--local-times"]);
    let read = calendar::read(&text);
    let zones: HashMap<String, Vec<(NaiveDateTime, i64)>> = read
        .timezones
        .iter()
        .map(|zone| (of(&zone.properties, "TZID").expect("a name"), changes(zone)))
        .collect();
    assert_eq!(zones.len(), 12);
    assert_eq!(read.timezones.len(), 12, "each zone once");

    let csv = scan("csv", &[]);
    let mut table = csv::Reader::from_reader(csv.as_bytes());
    let heads = table.headers().expect("heads").clone();
    let column = |name: &str| {
        heads
            .iter()
            .position(|head| head == name)
            .expect("a column")
    };
    let rows: Vec<csv::StringRecord> = table.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), read.events.len());
    assert!(rows.len() > 12 * 300, "{} rows", rows.len());
    let mut in_utc = BTreeSet::new();
    let mut offsets = BTreeSet::new();
    for (entry, row) in read.events.iter().zip(&rows) {
        for (name, utc_column) in [("DTSTART", "start_utc"), ("DTEND", "end_utc")] {
            let told: DateTime<Utc> = row[column(utc_column)].parse().expect("RFC 3339");
            let text = value(entry, name);
            let Some(zone) = zone_of(entry, name) else {
                let utc = NaiveDateTime::parse_from_str(&text, "%Y%m%dT%H%M%SZ").expect("UTC");
                assert_eq!(utc.and_utc(), told);
                in_utc.insert((row[column("site")].to_owned(), told.year()));
                continue;
            };
            let mut rows = ROWS.lines().map(|row| row.split(',').collect::<Vec<_>>());
            let of_site = rows.find(|parts| parts[0] == &row[column("site")]);
            assert_eq!(Some(zone.as_str()), of_site.map(|parts| parts[3]));
            assert_eq!(
                moments(local(&text), &zones[&zone]),
                [told],
                "{zone} {text}"
            );
            offsets.insert((zone, (local(&text) - told.naive_utc()).num_minutes()));
        }
    }
    // Two clocks in ten of the zones, one in two.
    assert_eq!(offsets.len(), 22, "{offsets:?}");
    // Only times that the clocks show twice are in UTC, and there are some.
    assert!(!in_utc.is_empty() && in_utc.len() <= 10, "{in_utc:?}");
}

/// Daylight time is ahead of standard time in every zone, as importers expect.
#[test]
fn daylight_time_is_the_one_ahead() {
    let folder = Folder::new();
    let table = folder.file("world.csv", ROWS);
    let asked = ["scan", &table, "--format", "ical", "--local-times"];
    let text = Run::at(&folder).of(&[&asked[..], &ALL].concat()).good();
    let mut with_both = 0;
    for zone in &calendar::read(&text).timezones {
        let told = |wanted: &str| -> BTreeSet<i64> {
            let of_kind = zone.transitions.iter().filter(|transition| {
                format!("{:?}", transition.transition).eq_ignore_ascii_case(wanted)
            });
            of_kind
                .map(|transition| {
                    let to = of(&transition.properties, "TZOFFSETTO");
                    offset(&to.expect("an offset"))
                })
                .collect()
        };
        let (standard, daylight) = (told("STANDARD"), told("DAYLIGHT"));
        assert!(standard.len() <= 1 && daylight.len() <= 1, "{zone:?}");
        if let (Some(standard), Some(daylight)) = (standard.first(), daylight.first()) {
            assert!(daylight > standard, "{zone:?}");
            with_both += 1;
        }
    }
    assert_eq!(with_both, 10);
}

//! A season in characters: dates above the nights, at every width.

use crate::program::Run;
use chrono::{Datelike, NaiveDate, Weekday};
use std::collections::BTreeMap;

const MESA: &str = "demo-sites/tinaja-mesa.toml";
const RANGE: [&str; 4] = ["--from", "2027-01-20", "--to", "2027-11-10"];

fn season(columns: usize) -> String {
    let args = [&["scan", MESA, "--season"], &RANGE[..]].concat();
    Run::here().wide(columns).of(&args).good()
}

/// The lines of a page up to its key.
fn rows(page: &str) -> Vec<&str> {
    let rows = page.lines().skip(2);
    rows.take_while(|line| !line.starts_with("Marks")).collect()
}

/// Kind and score of each night, by the CSV.
fn records() -> BTreeMap<NaiveDate, (String, f64)> {
    let args = [&["scan", MESA, "--season", "--format", "csv"], &RANGE[..]].concat();
    let text = Run::here().of(&args).good();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader.headers().expect("a header").clone();
    let column = |name: &str| headers.iter().position(|of| of == name).expect("a column");
    let (night, light, score) = (column("night"), column("light"), column("score"));
    let records = reader.records().map(|record| record.expect("a record"));
    records
        .map(|record| {
            let date = record[night].parse().expect("a date");
            let score = record[score].parse().unwrap_or(0.0);
            (date, (record[light].to_owned(), score))
        })
        .collect()
}

fn at(line: &str, column: usize, length: usize) -> String {
    line.chars().skip(column).take(length).collect()
}

/// Each row begins with the date of its first night; the ruler above it names
/// each Saturday and each month where they are; each sign is of its kind.
#[test]
fn every_night_stands_under_its_date() {
    let records = records();
    for columns in [45, 60, 72, 73, 80, 100, 160] {
        let page = season(columns);
        let n = if columns < 73 { 1 } else { 2 };
        let mut told = 0;
        let lines = rows(&page);
        for (index, row) in lines.iter().enumerate() {
            assert!(row.chars().count() <= columns, "{columns}: {row}");
            if row.starts_with(' ') || index == 0 {
                continue;
            }
            let ruler = lines[index - 1];
            let first = at(row, 0, 12);
            let first = NaiveDate::parse_from_str(first.trim(), "%d %b %Y").expect("a date");
            let cells = at(row, 12, 30 * n);
            let blank = cells.len() - cells.trim_start().len();
            for (slot, date) in (blank / n..30).zip(first.iter_days()) {
                let cell = at(row, 12 + n * slot, n);
                if cell.trim().is_empty() {
                    break;
                }
                told += 1;
                let (kind, score) = &records[&date];
                let sign = cell.chars().next();
                match kind.as_str() {
                    "raking" => assert_eq!(sign, Some('#'), "{date}"),
                    "blend" => assert_eq!(sign, Some('%'), "{date}"),
                    "dark" => assert_eq!(sign, Some(':'), "{date}"),
                    _ => assert!(sign.is_some_and(char::is_alphabetic), "{date}"),
                }
                let tens = format!("{}", (score / 10.0).round().min(9.0));
                if n == 2 && !kind.is_empty() {
                    assert!(cell.ends_with(&tens), "{date} {cell}");
                }
                if n == 1 && columns >= 60 && !kind.is_empty() {
                    assert_eq!(at(lines[index + 1], 12 + slot, 1), tens, "{date}");
                }
                // A month's name may cover what is next to its first night.
                let month = date.format("%b").to_string();
                if date.day() == 1 {
                    assert_eq!(at(ruler, 12 + n * slot, 3), month, "{columns} {ruler}");
                } else if date.weekday() == Weekday::Sat && date.day() > 3 {
                    let number = at(ruler, 12 + n * (slot + 1) - 2, 2);
                    let day = date.day().to_string();
                    assert!(number.ends_with(&day), "{columns} {date}: {ruler}");
                }
            }
        }
        assert_eq!(told, records.len(), "{columns}");
    }
}

/// The best night of each row is that of the first kind which the row has.
#[test]
fn the_best_night_is_written_out_where_there_is_room() {
    let records = records();
    let page = season(100);
    let lines = rows(&page);
    let rows: Vec<&&str> = lines.iter().filter(|row| !row.starts_with(' ')).collect();
    let starts =
        |row: &str| NaiveDate::parse_from_str(at(row, 0, 12).trim(), "%d %b %Y").expect("a date");
    let mut best = 0;
    for (index, row) in rows.iter().enumerate() {
        let next = rows.get(index + 1).map(|row| starts(row));
        let nights = records.range(starts(row)..next.unwrap_or(NaiveDate::MAX));
        let rank = |kind: &str| {
            ["raking", "blend", "dark"]
                .iter()
                .position(|of| *of == kind)
        };
        let found = nights.filter_map(|(date, (kind, score))| Some((rank(kind)?, score, date)));
        let found = found.min_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(a.1)));
        let text: String = row.chars().skip(73).collect();
        let Some((rank, score, date)) = found else {
            assert_eq!(text, "");
            continue;
        };
        best += 1;
        assert!(
            text.starts_with(&date.format("%a %-d %b ").to_string()),
            "{row}"
        );
        let (_, told) = text.rsplit_once(' ').expect("a score");
        let sign = ['#', '%', ':'][rank];
        let told = told
            .strip_prefix(sign)
            .expect("a sign")
            .trim_end_matches('~');
        let told: f64 = told.parse().expect("a score");
        // The CSV's tenth is rounded too.
        assert!((told - score).abs() < 0.56, "{row} {score}");
    }
    assert!(best > 5);
    assert!(season(60).contains(" #"));
}

/// A pipe has no styles, and a terminal's styles stand around the same signs.
#[test]
fn raking_nights_are_bold_where_styles_are_shown() {
    let args = [&["scan", MESA, "--season"], &RANGE[..]].concat();
    let run = Run::here().wide(80).env("CLICOLOR_FORCE", "1");
    let styled = run.of(&args).good();
    assert!(!season(80).contains('\u{1b}'));
    assert!(styled.contains("\u{1b}[1m#"), "{styled}");
    assert!(!styled.contains("\u{1b}[1m:"), "{styled}");
}

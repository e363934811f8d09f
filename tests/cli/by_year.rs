//! `scan --by year`: nights, hours and the best night of each calendar year.

use super::{TANK, code, program::Folder, program::Run, rakelight, stderr, stdout};
use std::collections::{BTreeMap, BTreeSet};

const MESA: &str = "demo-sites/tinaja-mesa.toml";

type Row = BTreeMap<String, String>;

fn rows(text: &str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

fn scan(more: &[&str]) -> String {
    let output = rakelight(&[&["scan", "--quiet"], more].concat());
    assert_eq!(code(&output), 0, "{more:?}: {}", stderr(&output));
    stdout(&output)
}

/// The years of a block of the table, with their words.
fn years(text: &str) -> Vec<(i32, Vec<&str>)> {
    text.lines()
        .filter_map(|line| {
            let mut words = line.split_whitespace();
            let year = words.next().filter(|word| word.len() == 4)?;
            Some((year.parse().ok()?, words.collect()))
        })
        .collect()
}

#[test]
fn csv_by_year_is_what_the_windows_add_up_to() {
    let range = ["--from", "2033-06-20", "--to", "2036-03-01"];
    let sites = [TANK, MESA];
    let csv = |more: &[&str]| {
        rows(&scan(
            &[&sites[..], &range, &["--format", "csv"], more].concat(),
        ))
    };
    let windows = csv(&[]);
    let years = csv(&["--by", "year"]);
    let told: Vec<_> = years
        .iter()
        .map(|row| (&*row["site"], &*row["year"]))
        .collect();
    let all = ["2033", "2034", "2035", "2036"];
    let expected: Vec<_> = ["Saltbush Tank", "Tinaja Mesa"]
        .iter()
        .flat_map(|site| all.map(|year| (*site, year)))
        .collect();
    assert_eq!(told, expected, "in the order of the input and of time");
    for row in &years {
        let of_year: Vec<&Row> = windows
            .iter()
            .filter(|w| w["site"] == row["site"] && w["night"].starts_with(&row["year"]))
            .collect();
        let nights: BTreeSet<&str> = of_year.iter().map(|w| &*w["night"]).collect();
        assert_eq!(row["nights"], nights.len().to_string());
        let minutes = of_year.iter().map(|w| w["minutes"].parse::<f64>());
        let minutes: f64 = minutes.map(|length| length.expect("minutes")).sum();
        let hours: f64 = row["hours"].parse().expect("hours");
        // Both are rounded to a tenth.
        let rounding = 0.051 + of_year.len() as f64 * 0.05 / 60.0;
        assert!((hours - minutes / 60.0).abs() < rounding, "{row:?}");
        let rank = |w: &&&Row| w["rank"].parse::<usize>().expect("a rank");
        let columns = windows[0].keys().filter(|column| *column != "site");
        match of_year.iter().min_by_key(rank) {
            Some(best) => {
                columns.for_each(|column| assert_eq!(row[column], best[column], "{column}"));
            }
            None => {
                assert_eq!((&*row["nights"], &*row["hours"]), ("0", "0.0"));
                columns.for_each(|column| assert_eq!(row[column], "", "{column}"));
            }
        }
    }
    let empty = years.iter().filter(|row| row["nights"] == "0").count();
    assert!(0 < empty && empty < years.len(), "some years are empty");
}

#[test]
fn the_table_has_a_block_a_site_and_says_the_same_as_csv() {
    let args = [
        TANK,
        MESA,
        "--by",
        "year",
        "--from",
        "2033-01-01",
        "--to",
        "2036-12-31",
    ];
    let table = scan(&args);
    let csv = rows(&scan(&[&args[..], &["--format", "csv"]].concat()));
    for line in table.lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert!(!line.ends_with(' '), "{line}");
    }
    let (tank, mesa) = table.split_once("\n\nTinaja Mesa\n").expect("two blocks");
    assert!(tank.contains("\nSaltbush Tank\n"), "{table}");
    let told: Vec<_> = years(tank).into_iter().chain(years(mesa)).collect();
    assert_eq!(told.len(), csv.len());
    for ((year, words), row) in told.iter().zip(&csv) {
        assert_eq!(year.to_string(), row["year"]);
        assert_eq!(words[0].trim_start_matches('*'), row["nights"]);
        assert_eq!(words[1], row["hours"]);
        match words[2..] {
            [_, evening, score] => {
                assert_eq!(evening, row["night"]);
                let exact: f64 = row["score"].parse().expect("a score");
                let marked = ["moon_near_horizon", "target_low"];
                let doubted = marked.iter().any(|doubt| row["doubts"].contains(doubt));
                assert_eq!(score.ends_with('~'), doubted, "{row:?}");
                let score: f64 = score.trim_end_matches('~').parse().expect("a score");
                assert!((score - exact).abs() <= 0.551, "{score} of {exact}");
            }
            _ => assert_eq!(words[2..], ["-", "-"], "{row:?}"),
        }
    }
    // The star stands once a block, at the most nights.
    for block in [tank, mesa] {
        let nights = |words: &[&str]| words[0].trim_start_matches('*').parse::<u32>();
        let years = years(block);
        let starred: Vec<_> = years.iter().filter(|y| y.1[0].starts_with('*')).collect();
        let most = years.iter().map(|y| nights(&y.1).expect("nights")).max();
        assert_eq!(starred.len(), 1, "{block}");
        assert_eq!(nights(&starred[0].1).ok(), most);
    }
    assert!(!table.contains("in part"), "{table}");
    assert!(table.contains("18.6 years: docs/model.md"), "{table}");
}

#[test]
fn years_in_part_are_told() {
    let told = |from, to, format| {
        let text = scan(&[
            MESA, "--by", "year", "--from", from, "--to", to, "--format", format,
        ]);
        let line = text.lines().find(|line| line.contains("in part"));
        line.map(str::to_owned)
    };
    for format in ["table", "markdown"] {
        let both = "Counted only in part: 2027 (from 2027-03-02) and 2029 (to 2029-06-30).";
        let one = "Counted only in part: 2027 (2027-05-01 to 2027-07-31).";
        let last = "Counted only in part: 2028 (to 2028-12-30).";
        for (from, to, line) in [
            ("2027-03-02", "2029-06-30", Some(both)),
            ("2027-05-01", "2027-07-31", Some(one)),
            ("2027-01-01", "2028-12-30", Some(last)),
            ("2027-01-01", "2028-12-31", None),
        ] {
            assert_eq!(
                told(from, to, format).as_deref(),
                line,
                "{from} {to} {format}"
            );
        }
    }
}

#[test]
fn without_dates_it_is_this_year_and_the_next_nine() {
    // The clock of these runs stands at 2027-01-15.
    let told = |more: &[&str]| -> Vec<i32> {
        let text = scan(&[&[MESA, "--by", "year"], more].concat());
        years(&text).into_iter().map(|(year, _)| year).collect()
    };
    let to = |first: i32, last: i32| (first..=last).collect::<Vec<_>>();
    assert_eq!(told(&[]), to(2027, 2036));
    assert_eq!(told(&["--from", "2041-04-03"]), to(2041, 2050));
    assert_eq!(
        told(&["--to", "2029-02-01", "--light", "any"]),
        to(2027, 2029)
    );
    assert_eq!(told(&["--to", "2019-08-01"]), to(2019, 2019));
    assert_eq!(told(&["--from", "2095-01-01"]), to(2095, 2099));
    // The same bytes, typed.
    let typed = ["--from", "2027-01-01", "--to", "2036-12-31"];
    let open = scan(&[MESA, "--by", "year"]);
    assert_eq!(open, scan(&[&[MESA, "--by", "year"], &typed[..]].concat()));
    assert!(!open.contains("in part"), "{open}");
}

#[test]
fn all_two_hundred_years_are_counted() {
    let text = scan(&[
        MESA,
        "--by",
        "year",
        "--from",
        "1900-01-01",
        "--to",
        "2099-12-31",
    ]);
    let years = years(&text);
    let told: Vec<i32> = years.iter().map(|(year, _)| *year).collect();
    assert_eq!(told, (1900..=2099).collect::<Vec<_>>());
}

#[test]
fn markdown_is_one_table_with_the_most_nights_in_bold() {
    let folder = Folder::new();
    let odd = folder.file(
        "odd.toml",
        "name = \"A|B *c*\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n",
    );
    let text = scan(&[
        &odd,
        MESA,
        "--by",
        "year",
        "--from",
        "2027-01-01",
        "--to",
        "2028-12-31",
        "--light",
        "any",
        "--format",
        "markdown",
    ]);
    let rows: Vec<&str> = text.lines().filter(|line| line.starts_with('|')).collect();
    assert_eq!(rows.len(), 2 + 2 * 2, "{text}");
    assert_eq!(
        rows[0],
        "| site | year | nights | hours | best evening | score |"
    );
    assert!(rows[2].starts_with("| A\\|B \\*c\\* | 2027 | "), "{text}");
    let bold = rows.iter().filter(|row| row.contains("**"));
    assert_eq!(bold.count(), 2, "{text}");
    assert!(text.contains("\nMost nights in bold.\n"), "{text}");
}

#[test]
fn nothing_found_is_told_and_ends_with_1() {
    let args = [
        "scan",
        TANK,
        "--by",
        "year",
        "--target-altitude",
        "89..",
        "--from",
        "2027-01-01",
        "--to",
        "2028-12-31",
    ];
    for format in ["table", "csv", "markdown"] {
        let run =
            |more: &[&str]| Run::here().of(&[&args[..], &["--format", format], more].concat());
        let (loud, quiet) = (run(&[]), run(&["--quiet"]));
        assert_eq!((loud.code, quiet.code), (1, 1), "{format}");
        let said = "No window at any site in these evenings; without --by year the scan says why.";
        assert_eq!(loud.err.trim_end(), said);
        assert_eq!(quiet.err, "");
        assert_eq!(loud.out, quiet.out);
        assert!(
            loud.out.contains("2028"),
            "{format}: an empty year has its row"
        );
        assert!(
            !loud.out.contains('*'),
            "{format}: of equals none is marked"
        );
    }
}

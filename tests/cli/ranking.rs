//! How many windows are shown, of how many, and in which order.

use super::{TANK, json, rakelight, scan, stdout, windows};
use serde_json::Value;

#[test]
fn top_per_month_sort_and_across() {
    let ranks = |more: &[&str]| -> Vec<u64> {
        let mut args = vec!["demo-sites/tinaja-mesa.toml", "--format", "json"];
        args.extend(more);
        windows(&json(&scan(&args)))
            .iter()
            .map(|window| window["rank"].as_u64().expect("a rank"))
            .collect()
    };
    assert_eq!(ranks(&["--top", "4"]), [1, 2, 3, 4]);
    let mut by_date = ranks(&["--top", "4", "--sort", "date"]);
    assert_ne!(by_date, [1, 2, 3, 4]);
    by_date.sort_unstable();
    assert_eq!(by_date, [1, 2, 3, 4]);
    let months = json(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--format",
        "json",
        "--per-month",
        "1",
    ]));
    let mut seen: Vec<&str> = windows(&months)
        .iter()
        .map(|window| &window["night"].as_str().expect("a date")[..7])
        .collect();
    seen.sort_unstable();
    let all = seen.len();
    seen.dedup();
    assert_eq!(seen.len(), all, "one a month");
    let across = stdout(&rakelight(&scan(&[
        TANK,
        "demo-sites/tinaja-mesa.toml",
        "--together",
        "--format",
        "ndjson",
        "--top",
        "6",
    ])));
    let across: Vec<Value> = across
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect();
    let ranks: Vec<u64> = across.iter().filter_map(|w| w["rank"].as_u64()).collect();
    assert_eq!(ranks, [1, 2, 3, 4, 5, 6]);
    let scores: Vec<f64> = across.iter().filter_map(|w| w["score"].as_f64()).collect();
    assert!(scores.is_sorted_by(|a, b| a >= b));
}

#[test]
fn a_ranking_says_how_many_of_how_many_are_shown() {
    let across = |more: &[&str]| {
        let sites = ["demo-sites/tinaja-mesa.toml", TANK, "--together"];
        // Washed out or not: many windows, of which some are shown.
        let many = ["--contrast", "0.."];
        stdout(&rakelight(&scan(&[&sites[..], &many, more].concat())))
    };
    let rows = |text: &str| {
        let ranked = |line: &&str| line.trim_start().starts_with(|c: char| c.is_ascii_digit());
        text.lines().skip(1).filter(ranked).count()
    };
    let all = across(&["--all"]);
    let found = rows(&all);
    assert!(found > 30, "{found}");
    let head = format!("{found} windows at 2 sites in 365 evenings");
    assert_eq!(all.lines().next(), Some(head.as_str()));
    for (more, shown) in [(&["--top", "7"][..], 7), (&[], 20)] {
        let some = across(more);
        assert_eq!(rows(&some), shown);
        let told = format!("{head}, {shown} shown");
        assert_eq!(some.lines().next(), Some(told.as_str()), "{more:?}");
        let notes = across(&[more, &["--format", "markdown"]].concat());
        assert_eq!(notes.lines().next(), Some(format!("{told}.").as_str()));
    }
    let site = rakelight(&scan(&[TANK, "--top", "3", "--format", "markdown"]));
    let third = stdout(&site).lines().nth(2).map(str::to_owned);
    assert!(third.is_some_and(|line| line.ends_with("365 evenings, 3 shown.")));
}

#[test]
fn a_range_nobody_typed_is_told() {
    let told = |more: &[&str]| {
        let output = rakelight(&[&["scan", "--top", "1"], more].concat());
        stdout(&output)
            .lines()
            .nth(1)
            .unwrap_or_default()
            .to_string()
    };
    // The clock of the test stands at 15 January 2027.
    assert!(told(&[]).contains("in 366 evenings, 2027-01-15 to 2028-01-15"));
    assert!(told(&["--to", "2027-06-30"]).contains(", 2027-01-15 to 2027-06-30"));
    let both = told(&["--from", "2027-06-01", "--to", "2027-06-30"]);
    assert!(both.ends_with("in 30 evenings, 1 shown"), "{both}");
}

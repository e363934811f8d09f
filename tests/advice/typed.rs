//! What `scan` says when asked why, what if and what else, typed and read
//! back.

use crate::program;

use program::{Folder, Run};
use serde_json::Value;
use std::{fs, process::Output};

const SITE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites/saltbush-tank.toml");
const YEAR: [&str; 4] = ["--from", "2027-01-01", "--to", "2027-12-31"];

fn run(words: &[&str]) -> Output {
    Run::here().env("NO_COLOR", "1").output(words)
}

fn scan(words: &[&str]) -> Output {
    run(&[&["scan", SITE], &YEAR[..], words].concat())
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

fn json(words: &[&str]) -> Value {
    let output = scan(&[words, &["--format", "json"]].concat());
    let document: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    document["sites"][0].clone()
}

fn nights(site: &Value) -> Vec<String> {
    let windows = site["windows"].as_array().expect("windows");
    let mut nights: Vec<String> = windows
        .iter()
        .map(|window| window["night"].as_str().expect("a night").to_string())
        .collect();
    nights.sort();
    nights.dedup();
    nights
}

#[test]
fn near_misses_work_when_typed() {
    let site = json(&["--near-misses", "6"]);
    let misses = site["near_misses"].as_array().expect("near misses");
    assert_eq!(misses.len(), 6);
    let before = nights(&site);
    for miss in misses {
        let night = miss["night"].as_str().expect("a night").to_string();
        assert!(!before.contains(&night));
        let option = miss["loosenings"][0]["option"].as_str().expect("an option");
        let words: Vec<&str> = option.split(' ').collect();
        let found = json(&words);
        assert!(nights(&found).contains(&night), "{option}");
        // The score it would have is the score it then has.
        let windows = found["windows"].as_array().expect("windows");
        let best = windows
            .iter()
            .filter(|window| window["night"] == miss["night"])
            .filter_map(|window| window["score"].as_f64())
            .fold(0.0, f64::max);
        assert_eq!(miss["window"]["score"].as_f64(), Some(best));
    }
}

#[test]
fn lines_stay_windows_only() {
    for asked in [
        &["--near-misses", "6"][..],
        &["--advise"],
        &["--spare", "9"],
    ] {
        let output = scan(&[&["--format", "csv"], asked].concat());
        assert_eq!(output.status.code(), Some(2), "{asked:?}");
        assert!(output.stdout.is_empty(), "{asked:?}");
    }
}

#[test]
fn nothing_found_is_explained_with_what_to_type() {
    let output = scan(&["--target-altitude", "10..40", "--moon-altitude", "3..5"]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stderr);
    // What comes after the range stands on a line of its own.
    let why = said.lines().next().expect("a message");
    let (_, rest) = why.split_once("alone; ").expect("a rule that fails alone");
    let (option, night) = rest.split_once(" would include ").expect("an option");
    let mut words = vec!["--target-altitude", "10..40"];
    words.extend(option.split(' '));
    let (_, night) = night
        .trim_end()
        .trim_end_matches('.')
        .split_once(' ')
        .expect("a night");
    assert_eq!(nights(&json(&words)), [night]);
    assert!(scan(&[&words[..], &["--quiet"]].concat()).stderr.is_empty());
}

#[test]
fn what_can_never_be_is_said_with_its_limit() {
    let output = run(&[
        &["scan", "--place", "62,10", "--time-zone", "UTC"],
        &YEAR[..],
    ]
    .concat());
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stderr);
    assert!(said.contains("never stands higher than -0.4°"), "{said}");
    assert!(said.contains("90° - |62.0° + 29.0°|"), "{said}");
    assert!(
        said.contains("no other value helps") && !said.contains("--"),
        "{said}"
    );
}

#[test]
fn varied_values_are_counted_as_if_typed() {
    let site = json(&[
        "--vary",
        "moon-fraction=..0.3,..0.7",
        "--vary",
        "facing=100,subject",
    ]);
    let variants = site["vary"].as_array().expect("variants");
    assert_eq!(variants.len(), 4);
    for variant in variants {
        let value = |key: &str| variant["values"][key].as_str().expect("a value");
        let (fraction, facing) = (value("moon_fraction"), value("facing"));
        let typed = json(&["--moon-fraction", fraction, "--facing", facing]);
        let count = nights(&typed).len() as u64;
        assert_eq!(
            variant["nights"].as_u64(),
            Some(count),
            "{fraction} {facing}"
        );
        assert_eq!(variant["best_score"], typed["windows"][0]["score"]);
    }
    // Two rules make a table of pairs, more than five values a list: the same
    // figures both times.
    let facings = ["100", "subject", "90", "80", "70", "60"];
    let cell = |fraction: &str, facing: &str| {
        let typed = json(&["--moon-fraction", fraction, "--facing", facing]);
        let best = typed["windows"][0]["score"].as_f64();
        (nights(&typed).len(), best)
    };
    // The score in JSON has a decimal, so half a point more or less.
    let is = |shown: &str, score: f64| {
        let shown: f64 = shown.trim_matches(['(', ')']).parse().expect("a score");
        (shown - score).abs() <= 0.55
    };
    let table = |facings: &[&str]| {
        let facings = format!("facing={}", facings.join(","));
        let words = ["--vary", "moon-fraction=..0.3,0.99..", "--vary", &facings];
        text(&scan(&words).stdout)
    };
    let (pairs, list) = (table(&facings[..2]), table(&facings));
    assert!(
        pairs.contains("--moon-fraction down, --facing across"),
        "{pairs}"
    );
    for fraction in ["..0.3", "0.99.."] {
        let row = pairs
            .lines()
            .find(|line| line.starts_with(fraction))
            .expect("a row");
        let mut row = row.split_whitespace().skip(1);
        for facing in &facings[..2] {
            let (count, best) = cell(fraction, facing);
            match best {
                Some(score) => {
                    assert_eq!(row.next(), Some(count.to_string().as_str()), "{pairs}");
                    assert!(is(row.next().expect("a score"), score), "{pairs}");
                }
                None => assert_eq!(row.next(), Some("none"), "{pairs}"),
            }
        }
        assert_eq!(row.next(), None, "{pairs}");
        for facing in facings {
            let (count, best) = cell(fraction, facing);
            let row = list
                .lines()
                .map(|line| line.split_whitespace().collect::<Vec<_>>())
                .find(|row| row.starts_with(&[fraction, facing]))
                .expect("a row");
            assert_eq!(row[2], count.to_string(), "{list}");
            match best {
                Some(score) => assert!(is(row[4], score), "{list}"),
                None => assert_eq!(row[4], "-", "{list}"),
            }
        }
    }
    for (wrong, why) in [
        ("moon_fractoin=..0.3", "did you mean moon_fraction?"),
        ("moon_fraction=0.3", "write 0.3.. or ..0.3"),
        ("moon_fraction", "RULE=A,B"),
    ] {
        let output = scan(&["--vary", wrong]);
        assert_eq!(output.status.code(), Some(2));
        assert!(
            text(&output.stderr).contains(why),
            "{}",
            text(&output.stderr)
        );
    }
}

#[test]
fn compared_nights_stand_side_by_side() {
    let dates = "2027-08-05,2027-07-09,2027-06-11";
    let output = run(&["scan", SITE, "--compare", dates]);
    assert_eq!(output.status.code(), Some(0));
    let said = text(&output.stdout);
    let heading = said.lines().nth(1).expect("a heading");
    assert!(heading.contains("Thu 2027-08-05  Fri 2027-07-09"), "{said}");
    let score = said.lines().find(|line| line.starts_with("score"));
    assert_eq!(score.map(|line| line.matches('*').count()), Some(1));
    assert!(
        said.contains("Fri 2027-06-11: no window, but --moon-fraction"),
        "{said}"
    );
    assert!(
        said.contains("Fri 2027-07-09 leads Thu 2027-08-05"),
        "{said}"
    );
    assert!(said.lines().take(20).all(|line| line.chars().count() <= 80));
}

#[test]
fn the_best_turn_finds_as_many_nights_when_typed() {
    let place = [
        "--place",
        "-34,-70.5,900",
        "--time-zone",
        "America/Santiago",
    ];
    let output = run(&[&["scan", "--by", "bearing"], &place[..], &YEAR[..]].concat());
    let said = text(&output.stdout);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, rest) = said.split_once(": --facing ").expect("an option");
    let (rest, _) = rest.split_once(". ").expect("the end of the sentence");
    let (bearing, count) = rest
        .split_once(" --target-offset -60..60 finds ")
        .expect("a count");
    let words = [
        "--facing",
        bearing,
        "--target-offset",
        "-60..60",
        "--format",
        "json",
    ];
    let typed = run(&[&["scan"], &place[..], &YEAR[..], &words[..]].concat());
    let document: Value = serde_json::from_slice(&typed.stdout).expect("JSON");
    let found = nights(&document["sites"][0]).len();
    assert_eq!(count, format!("{found} nights"));
}

#[test]
fn spare_nights_follow_within_the_days_asked() {
    let site = json(&["--spare", "3"]);
    let all = nights(&site);
    let date = |text: &str| text.parse::<chrono::NaiveDate>().expect("a date");
    for night in site["spare_nights"].as_array().expect("spare nights") {
        let first = date(night["night"].as_str().expect("a night"));
        let spares: Vec<&str> = night["spares"]
            .as_array()
            .expect("spares")
            .iter()
            .filter_map(|spare| spare["night"].as_str())
            .collect();
        let expected: Vec<&String> = all
            .iter()
            .filter(|next| (1..=3).contains(&(date(next) - first).num_days()))
            .collect();
        assert_eq!(spares, expected);
    }
}

#[test]
fn a_blend_says_that_it_is_not_reasoned_about() {
    let output = scan(&["--light", "blend", "--min-minutes", "900"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("not worked out for --light blend"));
}

#[test]
fn a_blend_that_the_site_itself_asks_for_says_so_too() {
    let folder = Folder::new();
    let site = fs::read_to_string("demo-sites/saltbush-tank.toml").expect("a site");
    let (site, _) = site.split_once("[skyline]").expect("a skyline");
    let blend = format!("{site}\n[brief]\nlight = \"blend\"\n");
    let file = folder.file("blend.toml", blend);
    let ask = |more: &[&str]| {
        let ended = run(&[&["scan", &file], &YEAR[..], more].concat());
        (
            ended.status.code(),
            text(&ended.stderr),
            text(&ended.stdout),
        )
    };
    let unanswered = |option: &str| {
        format!(
            "Saltbush Tank: --{option} has no answer for a blend, which the site's own brief \
             asks for; ask with --light any and --light dark by themselves\n"
        )
    };
    for format in ["table", "json"] {
        for (more, option) in [
            (&["--near-misses", "3"][..], "near-misses"),
            (&["--advise"], "advise"),
        ] {
            let (code, err, out) = ask(&[&["--format", format], more].concat());
            assert_eq!(
                (code, err),
                (Some(0), unanswered(option)),
                "{format} {more:?}"
            );
            assert!(out.contains("2027-"), "nights are found: {out}");
        }
    }
    // An option wins over the site, and then there is an answer.
    let (code, err, out) = ask(&["--near-misses", "3", "--light", "raking"]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    assert!(out.contains("Near misses"), "{out}");
    // What was not asked for is not missed.
    assert_eq!(ask(&[]).1, "");
    // Where nothing is found that is told, once.
    let (code, err, _) = ask(&["--near-misses", "3", "--min-minutes", "900"]);
    assert_eq!(code, Some(1));
    let told = err.matches("not worked out for --light blend");
    assert_eq!(told.count(), 1, "{err}");
    let after = "No window in the 366 nights after these evenings either.";
    assert!(err.trim_end().ends_with(after), "{err}");
    assert_eq!(err.lines().count(), 2, "{err}");
    // One night by itself: asked for, or without a window.
    let night = |more: &[&str]| {
        let ended = run(&[&["night", &file], more].concat());
        assert_eq!(ended.status.code(), Some(0));
        text(&ended.stderr)
    };
    let told = "Saltbush Tank: what stands in the way is not worked out for --light blend; try \
                --light any and --light dark by themselves\n";
    for format in ["table", "json"] {
        assert_eq!(
            night(&["--on", "2027-05-29", "--rules", "--format", format]),
            told
        );
    }
    assert_eq!(night(&["--on", "2027-06-18"]), told, "a night of full Moon");
    assert_eq!(night(&["--on", "2027-06-18", "--quiet"]), "");
    assert_eq!(night(&["--on", "2027-06-18", "--light", "raking"]), "");
}

/// Each rule alone can be met on no night (on Saturdays only, the first): then
/// it is the one that the season names.
#[test]
fn a_season_names_the_rule_that_leaves_no_time() {
    for (option, rule, letter, words) in [
        ("--weekdays", "sat", 'w', "not one of the weekdays"),
        ("--sun-altitude", "..-89", 's', "the Sun is not low enough"),
        (
            "--moon-fraction",
            "0.9999..1",
            'f',
            "the Moon is lit too much or too little",
        ),
        (
            "--target-altitude",
            "89.9..90",
            'c',
            "the core is too low or too high",
        ),
        (
            "--moon-altitude",
            "89..90",
            'm',
            "the Moon is too low or too high",
        ),
        (
            "--target-azimuth",
            "10..10.5",
            'd',
            "the core stands in another direction",
        ),
        (
            "--arch-altitude",
            "0..0.5",
            'a',
            "the arch stands elsewhere",
        ),
        (
            "--tilt",
            "89.99..90",
            't',
            "the Milky Way's tilt does not suit",
        ),
        ("--min-minutes", "900", 'b', "too short"),
    ] {
        let june = ["--from", "2027-06-01", "--to", "2027-06-30"];
        let words_typed = ["scan", SITE, "--season", "--light", "any", option, rule];
        // A full Moon washes out the core, which is not what is looked at here.
        let no_contrast = ["--contrast", "0.."];
        let page = text(&run(&[&words_typed[..], &june, &no_contrast].concat()).stdout);
        // After the heading a row a lunation, its date in the first 12 columns;
        // above it the dates.
        let marks: String = page
            .lines()
            .skip(2)
            .take_while(|line| !line.starts_with("Marks"))
            .filter(|line| !line.starts_with(' '))
            .filter_map(|line| line.get(12..))
            .collect();
        let named = marks.matches(letter).count();
        // The Saturdays of June 2027: the 5th, 12th, 19th and 26th.
        assert_eq!(named, if letter == 'w' { 26 } else { 30 }, "{page}");
        assert_eq!(marks.matches('+').count(), 30 - named, "{page}");
        assert!(page.contains(&format!("\n  {letter} {words}\n")), "{page}");
        assert!(page.contains("first rule of any night that"), "{page}");
    }
}

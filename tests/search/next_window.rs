//! What a scan says of the time after a range in which it finds nothing.
#![cfg(feature = "cli")]

use crate::program;

use program::{Ended, Run};
use serde_json::Value;

const SITE: &str = "demo-sites/tinaja-mesa.toml";

fn scan(more: &[&str]) -> Ended {
    Run::here().of(&[&["scan", SITE], more].concat())
}

fn block(more: &[&str]) -> Value {
    let ended = scan(&[&["--format", "json"], more].concat());
    let document: Value = serde_json::from_str(&ended.out).expect("JSON");
    document["sites"][0].clone()
}

/// It is the first night that a scan from the day after finds, with its best
/// window.
#[test]
fn the_next_window_is_the_first_that_a_later_scan_finds() {
    for light in ["raking", "dark", "blend"] {
        // Around full Moon, and in the winter that has no core at all.
        for (from, nights, after) in [
            ("2027-06-16", "5", "2027-06-21"),
            ("2027-11-25", "40", "2028-01-04"),
        ] {
            let light = format!("--light={light}");
            let empty = ["--from", from, "--nights", nights, &light];
            let told = block(&empty);
            assert_eq!(told["windows"], Value::Array(Vec::new()), "{empty:?}");
            let next = &told["next_window"];
            let later = block(&["--from", after, &light]);
            assert!(later.get("next_window").is_none(), "there are windows");
            let windows = later["windows"].as_array().expect("windows");
            let first = windows.iter().map(|window| &window["night"]);
            let first = first.min_by_key(|night| night.as_str()).expect("a night");
            // The best of that night stands first.
            let best = windows.iter().find(|window| window["night"] == *first);
            let best = best.expect("its window");
            for (name, value) in next.as_object().expect("a window") {
                match name.as_str() {
                    "rank" => assert!(value.is_null()),
                    "score" | "night" | "start_local" | "end_local" | "light" => {
                        assert_eq!(*value, best[name], "{name}");
                    }
                    _ => {}
                }
            }
            let ended = scan(&empty);
            assert_eq!(ended.code, 1);
            let line = ended.err.lines().last().expect("a message");
            let night: chrono::NaiveDate =
                first.as_str().and_then(|n| n.parse().ok()).expect("a date");
            let start = best["start_local"].as_str().expect("a time");
            let said = format!(
                "Tinaja Mesa: The next window is on {}: ",
                night.format("%a %Y-%m-%d")
            );
            assert!(line.starts_with(&said), "{line}");
            let local = chrono::NaiveDateTime::parse_from_str(start, "%Y-%m-%d %H:%M:%S");
            let local = local.expect("a time") + chrono::TimeDelta::seconds(30);
            assert!(line[said.len()..].starts_with(&local.format("%H:%M-").to_string()));
            let score = best["score"].as_f64().expect("a score").round();
            assert!(line.contains(&format!("score {score:.0}")), "{line}");
            assert_eq!(scan(&[&empty[..], &["--quiet"]].concat()).err, "");
        }
    }
}

#[test]
fn a_year_without_a_window_is_said_too() {
    let never = [
        "--from",
        "2027-05-20",
        "--nights",
        "3",
        "--target-azimuth",
        "10..10.5",
    ];
    assert!(block(&never)["next_window"].is_null());
    assert!(block(&never).get("next_window").is_some());
    let said = "Tinaja Mesa: No window in the 366 nights after these evenings either.";
    assert_eq!(scan(&never).err.lines().last(), Some(said));
    // Where the place leaves no window in any year, the reason says so already.
    let place = [&never[..4], &["--target-altitude", "80.."]].concat();
    assert!(block(&place)["next_window"].is_null());
    assert!(!scan(&place).err.contains("after these evenings"));
    // After the last night that is known there is nothing to look at.
    let last = ["--from", "2099-12-28", "--to", "2099-12-31"];
    assert!(block(&last)["next_window"].is_null());
    assert!(!scan(&last).err.contains("after these evenings"));
}

/// Ten sites are told of one by one, in the order of the input; a map of many
/// is not drowned in messages.
#[test]
fn of_many_sites_the_first_ten_are_told() {
    let folder = program::Folder::new();
    let mut table = "name,latitude_deg,longitude_deg,time_zone\n".to_owned();
    for number in 1..=14 {
        table += &format!("Point {number},-31.{number:02},139,Australia/Adelaide\n");
    }
    let table = folder.file("points.csv", table);
    let full_moon = ["--from", "2027-06-18", "--nights", "2", "--format", "csv"];
    let arguments = [
        &["scan", table.as_str(), "--light", "raking"],
        &full_moon[..],
    ]
    .concat();
    let ended = Run::here().of(&arguments);
    let next = ended
        .err
        .lines()
        .filter(|line| line.contains("next window"));
    let names: Vec<&str> = next.filter_map(|line| line.split(':').next()).collect();
    let expected: Vec<String> = (1..=10).map(|number| format!("Point {number}")).collect();
    assert_eq!(names, expected);
    assert!(
        ended.err.contains("No window at 4 more sites."),
        "{}",
        ended.err
    );
    // In JSON they are the same ones, however many threads work.
    let json = |jobs: &str| {
        let full_moon = ["--from", "2027-06-18", "--nights", "2", "--format", "json"];
        let asked = ["scan", table.as_str(), "--light", "raking", "--jobs", jobs];
        Run::here().of(&[&asked[..], &full_moon].concat()).out
    };
    let document: Value = serde_json::from_str(&json("1")).expect("JSON");
    let sites = document["sites"].as_array().expect("sites");
    let has: Vec<bool> = sites
        .iter()
        .map(|site| site["next_window"].is_object())
        .collect();
    assert_eq!(has, [[true; 10].as_slice(), &[false; 4]].concat());
    assert_eq!(json("2"), json("1"));
}

//! The far north and the antimeridian.

use super::{code, json, rakelight, stdout, windows};
use serde_json::Value;

#[test]
fn the_far_north_in_june_and_december() {
    let north = |from: &str, to: &str| {
        rakelight(&[
            "scan",
            "--place",
            "69.6,20.6",
            "--time-zone",
            "Europe/Oslo",
            "--from",
            from,
            "--to",
            to,
            "--light",
            "any",
            "--target",
            "gal:80,0",
            // It is about darkness: a bright Moon may be up.
            "--contrast",
            "0..",
            "--format",
            "csv",
        ])
    };
    assert_eq!(
        code(&north("2027-06-10", "2027-06-20")),
        1,
        "no darkness in June"
    );
    let december = north("2027-12-10", "2027-12-20");
    assert_eq!(code(&december), 0);
    assert!(stdout(&december).lines().count() > 10);
}

#[test]
fn the_antimeridian_both_ways() {
    let at = |place: &str| {
        json(&[
            "scan",
            "--place",
            place,
            "--from",
            "2027-05-01",
            "--to",
            "2027-05-31",
            "--light",
            "any",
            // When the Moon washes the core out has no part in it.
            "--contrast",
            "0..",
            "--format",
            "json",
        ])
    };
    let (east, west) = (at("-31,179.9"), at("-31,-179.9"));
    let starts = |document: &Value| -> Vec<i64> {
        windows(document)
            .iter()
            .map(|window| {
                let text = window["start_utc"].as_str().expect("a time");
                let time: chrono::DateTime<chrono::Utc> = text.parse().expect("a time");
                time.timestamp()
            })
            .collect()
    };
    let (mut east, mut west) = (starts(&east), starts(&west));
    east.sort_unstable();
    west.sort_unstable();
    // 179.9 W is 180.1 E: 0.2 degrees on, where everything comes 48 s sooner.
    let shared = east
        .iter()
        .filter(|e| west.iter().any(|w| (w - *e + 48).abs() < 10))
        .count();
    assert!(
        shared >= east.len().min(west.len()) - 1,
        "{shared} of {}",
        east.len()
    );
    assert!(shared > 20);
}

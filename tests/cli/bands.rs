//! Bands and places as typed, minus signs and north among them.

use super::{TANK, code, json, rakelight, scan, stderr, windows};

#[test]
fn bands_and_places_with_a_minus_sign_work_as_typed() {
    let turned = json(&scan(&[
        TANK,
        "--target-offset",
        "-60..60",
        "--format",
        "json",
    ]));
    for window in windows(&turned) {
        let offset = window["target_offset_deg"].as_f64().expect("a number");
        assert!((-60.0..=60.0).contains(&offset));
    }
    let south = json(&scan(&["--place", "-34,-70", "--format", "json"]));
    assert_eq!(south["sites"][0]["site"]["latitude_deg"], -34.0);
    let swallowed = rakelight(&scan(&[TANK, "--target-offset", "--top", "3"]));
    assert_eq!(code(&swallowed), 2);
    assert!(stderr(&swallowed).contains("expected a band"));
}

#[test]
fn azimuth_runs_through_north() {
    // From 34 S the core passes north of the zenith at times: 300..60.
    let through = json(&scan(&[
        "--place",
        "-34,-70",
        "--light",
        "any",
        "--target-azimuth",
        "300..60",
        "--format",
        "json",
    ]));
    assert!(!windows(&through).is_empty());
    for window in windows(&through) {
        let azimuth = window["target_azimuth_deg"].as_f64().expect("a number");
        assert!(azimuth >= 299.99 || azimuth <= 60.01, "{azimuth}");
    }
}

//! Clocks that change, hours that come twice or never, evenings and mornings.

use super::{code, json, rakelight, stderr, stdout, windows};

#[test]
fn a_clock_change_inside_the_night() {
    // Lord Howe Island goes back by half an hour on 2027-04-04 at 02:00 (IANA
    // zone data): the night of the 3rd has two offsets.
    let document = json(&[
        "scan",
        "--place",
        "-31.56,159.07",
        "--time-zone",
        "Australia/Lord_Howe",
        "--from",
        "2027-04-03",
        "--to",
        "2027-04-03",
        "--light",
        "any",
        "--format",
        "json",
    ]);
    let window = &windows(&document)[0];
    assert_eq!(window["night"], "2027-04-03");
    for edge in ["start", "end"] {
        let local = window[format!("{edge}_local")].as_str().expect("a time");
        let utc = window[format!("{edge}_utc")].as_str().expect("a time");
        let local =
            chrono::NaiveDateTime::parse_from_str(local, "%Y-%m-%d %H:%M:%S").expect("local");
        let utc: chrono::DateTime<chrono::Utc> = utc.parse().expect("UTC");
        let offset = (local - utc.naive_utc()).num_minutes();
        let expected = if utc.to_rfc3339().as_str() < "2027-04-03T15:00:00+00:00" {
            660
        } else {
            630
        };
        assert_eq!(offset, expected, "{edge}");
    }
    // Wall-clock hours on both sides of the change.
    let clocked = json(&[
        "scan",
        "--place",
        "-31.56,159.07",
        "--time-zone",
        "Australia/Lord_Howe",
        "--from",
        "2027-04-03",
        "--to",
        "2027-04-03",
        "--light",
        "any",
        "--clock",
        "01:00..03:00",
        "--format",
        "json",
    ]);
    let minutes: f64 = windows(&clocked)
        .iter()
        .filter_map(|window| window["minutes"].as_f64())
        .sum();
    // Two hours on the clock are two and a half on that night.
    assert!((minutes - 150.0).abs() < 0.2, "{minutes}");
}

#[test]
fn a_local_time_that_does_not_exist_offers_the_choices() {
    let sky = |time: &str| rakelight(&["sky", "demo-sites/gratalm-hut.toml", "--time", time]);
    let skipped = sky("2027-03-28T02:30");
    assert_eq!(code(&skipped), 2);
    let text = stderr(&skipped);
    assert!(text.contains("+01:00") && text.contains("+02:00"), "{text}");
    let twice = sky("2027-10-31T02:30");
    assert_eq!(code(&twice), 2);
    let text = stderr(&twice);
    assert!(text.contains("+01:00") && text.contains("+02:00"), "{text}");
    assert_eq!(code(&sky("2027-10-31T02:30+01:00")), 0);
}

#[test]
fn a_window_past_midnight_is_said_to_be_the_next_morning_s() {
    let said = "A night is named by its evening";
    let near = [
        "--from",
        "2027-03-28",
        "--to",
        "2027-04-05",
        "--near-misses",
        "1",
    ];
    let near = rakelight(&[&["scan", "demo-sites/saltbush-tank.toml"], &near[..]].concat());
    assert!(stdout(&near).contains("Fri 2027-04-02  05:32-05:52"));
    assert!(stdout(&near).contains(said), "{}", stdout(&near));
    let both = rakelight(&["scan", "--compare", "2027-05-29,2027-06-27"]);
    assert!(stdout(&both).contains(said), "{}", stdout(&both));
    let evening = "2027-07-09,2027-08-06";
    let evening = rakelight(&[
        "scan",
        "demo-sites/saltbush-tank.toml",
        "--compare",
        evening,
    ]);
    assert!(!stdout(&evening).contains(said));
}

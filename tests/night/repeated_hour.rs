//! The hour that the clocks show twice in autumn, wherever local times are
//! printed for people.

use crate::program;

use program::{Folder, Run};

fn out(args: &[&str]) -> String {
    let ended = Run::at(&Folder::new()).of(args);
    assert!(ended.code <= 1, "{args:?}: {}", ended.err);
    ended.out
}

/// Daylight saving time of South Australia ends on the first Sunday of April at
/// 03:00 local time (Daylight Saving Act 1971, SA), 16:30 UTC the day before:
/// the hour from 02:00 comes with +10:30 and again with +09:30.
const NIGHT: [&str; 4] = [
    "--place=-31.4,139.2",
    "--time-zone=Australia/Adelaide",
    "--from=2027-04-03",
    "--to=2027-04-03",
];

fn scan(more: &[&str]) -> String {
    out(&[&["scan"], &NIGHT[..], more].concat())
}

/// The same, in the words of a machine, tells which is which.
#[test]
fn each_of_two_windows_with_one_clock_time_tells_its_offset() {
    let window = ["--light=dark", "--clock=02:00..02:59"];
    let csv = scan(&[&window[..], &["--format=csv"]].concat());
    for utc in ["2027-04-03T15:30:00Z", "2027-04-03T16:30:00Z"] {
        assert!(csv.contains(utc), "{csv}");
    }
    for format in ["--format=table", "--format=markdown"] {
        let text = scan(&[&window[..], &[format]].concat());
        for window in ["02:00-02:59 +10:30", "02:00-02:59 +09:30"] {
            assert_eq!(text.matches(window).count(), 1, "{window}: {text}");
        }
    }
}

#[test]
fn the_table_with_offsets_fits_a_terminal_of_80_columns() {
    for clock in ["--clock=02:00..02:59", "--clock=02:00..04:00"] {
        for light in ["--light=dark", "--light=any"] {
            let text = scan(&[clock, light]);
            for line in text.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
        }
    }
}

#[test]
fn a_window_across_the_change_tells_both_offsets() {
    let args = ["--light=dark", "--clock=02:00..02:20"];
    let reasons = out(&[
        &["night", "--on=2027-04-03", "--rules"],
        &NIGHT[..2],
        &args[..],
    ]
    .concat());
    for offset in ["+10:30", "+09:30"] {
        assert!(
            reasons.contains(&format!("02:00-02:20 {offset}")),
            "{reasons}"
        );
    }
    let long = scan(&["--light=dark", "--clock=02:00..04:00"]);
    assert!(long.contains("02:00 +10:30 to 03:32 +09:30"), "{long}");
}

#[test]
fn what_comes_once_is_told_as_ever() {
    for (clock, window) in [
        ("--clock=03:00..03:20", "03:00-03:20 "),
        ("--clock=00:10..01:40", "00:10-01:40 "),
    ] {
        let text = scan(&["--light=dark", clock]);
        assert!(text.contains(window), "{text}");
        assert!(
            !text.contains("+10:30") && !text.contains("+09:30"),
            "{text}"
        );
    }
}

#[test]
fn labels_of_a_picture_tell_it_too() {
    let args = [
        &["chart", "night", "--on=2027-04-03"],
        &NIGHT[..2],
        &["--light=dark", "--clock=02:00..04:00"],
    ];
    let svg = out(&args.concat());
    // On the axis and in the answer.
    for label in [
        "02:00 +10:30",
        "02:00 +09:30",
        "Window 02:00 +10:30 to 03:32 +09:30 (Sunday), best 02:00 +10:30",
    ] {
        assert!(svg.contains(&format!(">{label}<")), "no label {label}");
    }
}

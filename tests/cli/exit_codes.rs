//! What a run ends with: 0, 1 or 2, and everything that is wrong in one run.

use super::{TANK, code, rakelight, scan, stderr, stdout};
use crate::program::Folder;

#[test]
fn exit_codes() {
    assert_eq!(code(&rakelight(&scan(&[TANK]))), 0);
    // The core never stands at 89 degrees over 37 N.
    let none = rakelight(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--target-altitude",
        "89..",
    ]));
    assert_eq!(code(&none), 1);
    assert!(stderr(&none).contains("Tinaja Mesa"), "{}", stderr(&none));
    assert_eq!(code(&rakelight(&scan(&["no-such-site.toml"]))), 2);
    assert_eq!(code(&rakelight(&["scan", "--no-such-option"])), 2);
    assert_eq!(code(&rakelight(&["scan", "--from", "2027-02-30"])), 2);
    assert_eq!(code(&rakelight(&["phases", "--from", "2027-01-01"])), 0);
    assert_eq!(code(&rakelight(&["--version"])), 0);
    for help in [["scan", "-h"], ["scan", "--help"]] {
        let text = stdout(&rakelight(&help));
        assert!(
            text.contains("0 nights were found"),
            "{help:?} tells the codes"
        );
    }
}

#[test]
fn a_site_left_out_under_keep_going_is_reported_and_exits_2() {
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let stopped = rakelight(&scan(&[&bad, TANK, "--format", "csv"]));
    assert_eq!(code(&stopped), 2);
    assert!(stopped.stdout.is_empty(), "nothing is written");
    let went_on = rakelight(&scan(&[&bad, TANK, "--format", "csv", "--keep-going"]));
    assert_eq!(code(&went_on), 2);
    assert!(stdout(&went_on).contains("Saltbush Tank"));
    assert!(stderr(&went_on).contains("bad.toml:1:16: latitude_deg: found 95"));
}

#[test]
fn every_error_of_every_file_in_one_run() {
    let folder = Folder::new();
    let one = folder.file(
        "one.toml",
        "latitude_deg = 95\nlongitude_deg = 10\nelevaton_m = 3\n",
    );
    let two = folder.file("two.toml", "latitude_deg = 5\nlongitude_deg = 'x'\n");
    let output = rakelight(&["sites", "check", &one, &two]);
    assert_eq!(code(&output), 2);
    let text = stderr(&output);
    for part in [
        "one.toml:1:16",
        "one.toml:3:1",
        "elevation_m",
        "two.toml:2:17",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
}

#[test]
fn an_answer_without_its_windows_is_refused() {
    for more in [["--near-misses", "3"], ["--spare", "3"]] {
        let vary = ["scan", "--vary", "moon_fraction=..0.3,..0.5"];
        let output = rakelight(&[&vary[..], &more].concat());
        assert_eq!(code(&output), 2);
        assert!(stderr(&output).contains("one after the other"));
    }
}

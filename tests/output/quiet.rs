//! `--quiet`: nothing on standard error but errors, wherever it is taken.

use crate::program;

use program::{Folder, Run};

/// Whatever there is to be said: no zone is named.
const SITE: &str = "latitude_deg = 0.5\nlongitude_deg = 0.5\n[subject]\nbearing_deg = 128\ndistance_m = 400\nheight_m = 30\n";

/// Each command that has `--quiet`, the site left out.
const COMMANDS: &[&str] = &[
    "scan --from 2027-05-01 --to 2027-05-20",
    "scan --from 2027-05-01 --to 2027-05-20 --by month",
    "scan --from 2027-05-01 --to 2027-05-20 --by year",
    "scan --from 2027-05-01 --to 2027-05-20 --season",
    "scan --from 2027-05-01 --to 2027-05-20 --near-misses 2",
    "scan --from 2027-05-01 --to 2027-05-20 --explain",
    "night --on 2027-05-10",
    "handout --on 2027-05-10",
    "tripod --time 2027-05-10T23:00Z",
    "sky --time 2027-05-10T23:00Z",
    "exposure --time 2027-05-10T23:00Z",
    "chart night --on 2027-05-10",
    "chart frame --time 2027-05-10T23:00Z",
    "chart season --from 2027-05-01 --to 2027-05-20",
    "chart skyline --on 2027-05-10",
    "chart year --from 2027-05-01 --to 2027-05-20",
    "chart cluster --on 2027-05-10",
];

/// How the notes begin that explain columns to people who do not know them yet.
const KEYS: [&str; 9] = [
    "Light ",
    "Dark, moonlit:",
    "Altitude:",
    "EV100:",
    "Nights:",
    "Off centre:",
    "Sector:",
    "Off by:",
    "Lost to it:",
];

/// The lines of `loud` that `quiet` has not, those that follow each other as
/// one text; the others are the same and in the same order.
fn lines_left_out(loud: &str, quiet: &str) -> Vec<String> {
    let mut kept = quiet.lines().peekable();
    let mut more: Vec<String> = Vec::new();
    let mut goes_on = false;
    for line in loud.lines() {
        if kept.next_if_eq(&line).is_some() {
            goes_on = false;
        } else if goes_on {
            more.last_mut().expect("a text").push_str(line);
        } else {
            more.push(line.to_owned());
            goes_on = true;
        }
    }
    assert_eq!(kept.next(), None, "a line that only --quiet prints");
    more
}

#[test]
fn nothing_is_said_where_quiet_is_asked_for() {
    let folder = Folder::new();
    folder.file("here.toml", SITE);
    for typed in COMMANDS {
        for site in [None, Some("here.toml")] {
            let args: Vec<&str> = typed.split(' ').chain(site).collect();
            let loud = Run::at(&folder).of(&args);
            let quiet = Run::at(&folder).of(&[&args[..], &["--quiet"]].concat());
            assert_eq!(quiet.code, loud.code, "{args:?}: {}", quiet.err);
            // An error is said all the same.
            if loud.code != 2 {
                let says_less = typed.contains("--explain");
                let silent = site.is_some() && says_less;
                assert_eq!(loud.err.is_empty(), silent, "{args:?}: {}", loud.err);
                assert_eq!(quiet.err, "", "{args:?}");
            }
            let more = lines_left_out(&loud.out, &quiet.out);
            let begin_as_keys = more.iter().all(|note| {
                let words = note.trim_start();
                KEYS.iter().any(|key| words.starts_with(key))
            });
            assert!(begin_as_keys, "{args:?}: {more:?}");
        }
    }
}

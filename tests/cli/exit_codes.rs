//! What a run ends with, 0 to 4, and everything that is wrong in one run.

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
fn a_site_left_out_under_keep_going_is_reported_and_exits_3() {
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let stopped = rakelight(&scan(&[&bad, TANK, "--format", "csv"]));
    assert_eq!(code(&stopped), 2);
    assert!(stopped.stdout.is_empty(), "nothing is written");
    let went_on = rakelight(&scan(&[&bad, TANK, "--format", "csv", "--keep-going"]));
    assert_eq!(code(&went_on), 3);
    assert!(stdout(&went_on).contains("Saltbush Tank"));
    let told = stderr(&went_on);
    assert!(told.contains("bad.toml:1:16: latitude_deg: found 95"));
    assert!(told.ends_with("1 of 2 sites left out.\n"), "{told}");
    // Those that are read have no night: whether the others have is not known.
    let none = ["--keep-going", "--target-altitude", "89.."];
    let none = rakelight(&[&scan(&[&bad, "demo-sites/tinaja-mesa.toml"])[..], &none].concat());
    assert_eq!(code(&none), 3);
    // Every site is read: as without the option.
    assert_eq!(code(&rakelight(&scan(&[TANK, "--keep-going"]))), 0);
}

#[test]
fn a_run_that_reads_no_site_exits_4_and_leaves_the_file() {
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let old = folder.file("nights.csv", "the old one\n");
    let new = folder.path("new.json").display().to_string();
    let run = |more: &[&str]| {
        let args = scan(&[&bad, "no-such-site.toml", "--keep-going"]);
        rakelight(&[&args[..], more].concat())
    };
    let ended = run(&["-o", &old]);
    assert_eq!(code(&ended), 4);
    let told = stderr(&ended);
    assert!(told.contains("no-such-site.toml: found no such"), "{told}");
    assert!(
        told.contains("None of the 2 sites could be read.\n"),
        "{told}"
    );
    assert!(told.ends_with("nights.csv is as it was before\n"), "{told}");
    assert_eq!(std::fs::read_to_string(&old).expect("it"), "the old one\n");
    let ended = run(&["-o", &new]);
    assert_eq!(code(&ended), 4);
    assert!(stderr(&ended).ends_with("new.json was not made\n"));
    assert_eq!(
        folder.names(),
        ["bad.toml", "nights.csv"],
        "nothing is left"
    );
    // Nobody who asks for quiet gets more than the errors.
    let quiet = stderr(&run(&["-o", &old, "--quiet"]));
    assert_eq!(quiet.lines().count(), 2, "{quiet}");
    // Without the option it is wrong input.
    assert_eq!(code(&rakelight(&scan(&[&bad]))), 2);
}

#[test]
fn a_list_of_sites_without_some_of_its_files_exits_3() {
    let folder = Folder::new();
    folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let list = || rakelight(&["sites", "list", &folder.text()]);
    let none = list();
    assert_eq!(code(&none), 2);
    assert_eq!(stdout(&none), "");
    folder.file("good.toml", "latitude_deg = 5\nlongitude_deg = 10\n");
    let some = list();
    assert_eq!(code(&some), 3);
    assert!(stdout(&some).contains("good"));
    assert!(stderr(&some).contains("bad.toml:1:16"));
}

/// Numbers up to 125 are a program's own: a shell takes the others.
#[test]
fn the_codes_are_told_alike_everywhere() {
    let help = stdout(&rakelight(&["scan", "--help"]));
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    let manual = stdout(&rakelight(&["man"]));
    let page = include_str!("../../docs/formats.md");
    for number in 0..=4 {
        assert!(page.contains(&format!("\n| {number} | ")), "{number}");
        assert!(manual.contains(&format!("\\fB{number}\\fR")), "{number}");
    }
    for part in ["0 nights", "; 1 the", "; 2 wrong", "; 3 there", "; 4 every"] {
        assert!(help.contains(part), "{part} in {help}");
    }
    assert!(!page.contains("\n| 5 | "));
}

/// A table in a file called `nights.xlsx` helps nobody, whichever command it is.
#[test]
fn an_ending_that_tells_no_format_is_refused() {
    let folder = Folder::new();
    let night = ["night", TANK, "--on", "2027-05-29", "--quiet"];
    let chart = ["chart", "night", TANK, "--on", "2027-05-29"];
    let handout = ["handout", TANK, "--on", "2027-05-29"];
    let at = ["--time", "2027-05-29T12:00Z", "--quiet"];
    let sky = [&["sky", TANK][..], &at].concat();
    let exposure = [&["exposure", TANK][..], &at].concat();
    let tripod = [&["tripod", "demo-sites/tinaja-mesa.toml"][..], &at].concat();
    let phases = ["phases", "--from", "2027-05-01", "--to", "2027-05-31"];
    let season = scan(&[TANK, "--quiet"]);
    let commands: [&[&str]; 8] = [
        &season, &night, &chart, &handout, &sky, &exposure, &tripod, &phases,
    ];
    for command in commands {
        for name in ["out.xyz", "out.csv.tmp", "nights.2027"] {
            let file = folder.path(name).display().to_string();
            let ended = rakelight(&[command, &["-o", &file]].concat());
            assert_eq!(code(&ended), 2, "{command:?} {name}");
            let told = stderr(&ended);
            let ending = name.rsplit('.').next().expect("an ending");
            let found = format!("--output: found a name that ends in .{ending}, expected one");
            assert!(told.contains(&found), "{command:?} {told}");
            assert_eq!(stdout(&ended), "");
        }
        assert_eq!(folder.names(), [""; 0], "{command:?} makes no file");
        // Neither of these says what it wants.
        for name in ["/dev/null", "-"] {
            let ended = rakelight(&[command, &["-o", name]].concat());
            assert_eq!(code(&ended), 0, "{command:?} {name} {}", stderr(&ended));
        }
        let file = folder.path("plain").display().to_string();
        let ended = rakelight(&[command, &["-o", &file]].concat());
        assert_eq!(code(&ended), 0, "{command:?} {}", stderr(&ended));
        std::fs::remove_file(file).expect("a file");
    }
    // Who says the format may call the file anything.
    for (more, name) in [(&["--format", "csv"][..], "out.xyz"), (&[], "out.TXT")] {
        let file = folder.path(name).display().to_string();
        let ended = rakelight(&[&season[..], more, &["-o", &file]].concat());
        assert_eq!(code(&ended), 0, "{}", stderr(&ended));
    }
    // A command's own formats are named, no others.
    let file = folder.path("moons.gpx").display().to_string();
    let told = stderr(&rakelight(&[&phases[..], &["-o", &file]].concat()));
    assert!(
        told.contains("expected one that ends in .txt or .json"),
        "{told}"
    );
}

#[test]
fn standard_input_is_read_once() {
    for args in [
        &["scan", "-", "-"][..],
        &["scan", "-", "--", "-#tank"],
        &["scan", "--", "-#a", "-#b"],
    ] {
        let ended = rakelight(args);
        assert_eq!(code(&ended), 2);
        assert_eq!(
            stderr(&ended),
            "rakelight: found standard input (-) twice, expected it once: it can be read only \
             once; put its tables one after the other, or save one as a file\n"
        );
    }
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

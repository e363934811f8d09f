//! Sites by name: `RAKELIGHT_SITES`, `sites list`, and what is said where
//! nothing is found.

use crate::program;

use program::{Folder, PROGRAM, Run};
use std::fs;

const TANK: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n";

fn named(name: &str) -> String {
    format!("name = \"{name}\"\n{TANK}")
}

#[test]
fn a_name_finds_its_file_in_the_folders_in_their_order() {
    let (here, one, two) = (Folder::new(), Folder::new(), Folder::new());
    two.file("tank.toml", named("Second"));
    two.file(
        "only.csv",
        "name,latitude_deg,longitude_deg,time_zone\nFrom a table,1,2,UTC\n",
    );
    let folders = format!("{}::{}", one.text(), two.text());
    let run = || Run::at(&here).env("RAKELIGHT_SITES", &folders);
    let check = |site: &str| run().of(&["sites", "check", site]).good();
    assert!(check("tank").starts_with("Second: good"));
    assert!(check("only").starts_with("From a table: good"));
    // The same name in an earlier folder, then as .toml besides .csv, then here.
    one.file(
        "tank.csv",
        "name,latitude_deg,longitude_deg,time_zone\nTable,1,2,UTC\n",
    );
    assert!(check("tank").starts_with("Table: good"));
    one.file("tank.toml", named("First"));
    assert!(check("tank").starts_with("First: good"));
    assert!(check("tank.toml").starts_with("First: good"));
    here.file("tank.toml", named("Here"));
    assert!(check("tank").starts_with("Here: good"));
    assert!(check("tank.toml").starts_with("Here: good"));
    // What says where it is is looked for there alone.
    fs::create_dir(here.path("below")).expect("a folder");
    for there in ["./only", "./only.csv", "../only", "below/only"] {
        assert_eq!(run().of(&["sites", "check", there]).code, 2, "{there}");
    }
    // A folder of that name stands in nobody's way.
    fs::create_dir(here.path("only")).expect("a folder");
    assert!(check("only").starts_with("From a table: good"));
}

#[test]
fn every_command_that_takes_a_site_takes_its_name() {
    let here = Folder::new();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites");
    let commands: [&[&str]; 10] = [
        &[
            "scan",
            "saltbush-tank",
            "--from",
            "2027-01-01",
            "--to",
            "2027-12-31",
        ],
        &["night", "saltbush-tank", "--on", "2027-05-29"],
        &["handout", "saltbush-tank", "--on", "2027-05-29"],
        &["tripod", "saltbush-tank", "--time", "2027-06-05T21:30"],
        &["sky", "saltbush-tank", "--time", "2027-05-30T21:00"],
        &["exposure", "saltbush-tank", "--time", "2027-05-30T21:00"],
        &["chart", "night", "saltbush-tank", "--on", "2027-05-29"],
        &[
            "chart",
            "frame",
            "saltbush-tank",
            "--time",
            "2027-05-30T21:00",
        ],
        &[
            "chart",
            "season",
            "saltbush-tank",
            "--from",
            "2027-01-01",
            "--to",
            "2027-05-31",
        ],
        &["sites", "check", "saltbush-tank"],
    ];
    for args in commands {
        let out = Run::at(&here).env("RAKELIGHT_SITES", demo).of(args).good();
        assert!(out.contains("Saltbush Tank"), "{args:?}");
        let without = Run::at(&here).of(args);
        assert_eq!(without.code, 2, "{args:?}");
        assert!(without.err.contains("RAKELIGHT_SITES"), "{}", without.err);
    }
}

#[test]
fn what_was_looked_for_where_and_what_is_called_alike() {
    let (here, there) = (Folder::new(), Folder::new());
    there.file("saltbush-tank.toml", TANK);
    there.file("saltbush-well.toml", TANK);
    there.file("far-hut.toml", TANK);
    let run = |site: &str| {
        Run::at(&here)
            .env("RAKELIGHT_SITES", there.text())
            .of(&["scan", site])
    };
    let slip = run("saltbsh-tank");
    assert_eq!(slip.code, 2);
    assert!(slip.out.is_empty());
    let place = there.text();
    assert!(
        slip.err.contains(&format!(
            "saltbsh-tank: found no such site, expected saltbsh-tank.toml, .csv, .gpx, .kml or \
             .geojson in the current folder or {place}; did you mean saltbush-tank in {place}?"
        )),
        "{}",
        slip.err
    );
    // A part of the name; one beside, then the others; nearest first.
    here.file("tonk.toml", TANK);
    let part = run("tank").err;
    assert!(
        part.contains(&format!(
            "did you mean tonk.toml or saltbush-tank in {place}?"
        )),
        "{part}"
    );
    let both = run("saltbush").err;
    assert!(
        both.contains(&format!(
            "did you mean saltbush-tank in {place} or saltbush-well in {place}?"
        )),
        "{both}"
    );
    let strange = run("zzzzzz").err;
    assert!(
        strange.contains("`rakelight sites list` tells"),
        "{strange}"
    );
    // A path tells of its own folder.
    let path = there.path("saltbsh-tank.toml").display().to_string();
    let told = run(&path).err;
    let meant = there.path("saltbush-tank.toml").display().to_string();
    assert!(told.contains(&format!("did you mean {meant}?")), "{told}");
    let gone = run("no/such/zzzzzz.toml").err;
    assert!(
        gone.contains("in no/such (no such folder); check the path"),
        "{gone}"
    );
    // Nothing that a terminal obeys comes through.
    assert!(!run("a\u{1b}[31mb").err.contains('\u{1b}'));
    let long = run(&"x".repeat(5000));
    assert_eq!(long.code, 2);
}

#[test]
fn a_folder_that_is_not_there_is_said_to_be_none() {
    let here = Folder::new();
    let gone = here.path("gone").display().to_string();
    let run =
        |folders: &str, args: &[&str]| Run::at(&here).env("RAKELIGHT_SITES", folders).of(args);
    let told = run(&gone, &["scan", "tank"]).err;
    assert!(told.contains(&format!("{gone} (no such folder)")), "{told}");
    let quoted = run("~/sites", &["scan", "tank"]).err;
    assert!(quoted.contains("write $HOME instead"), "{quoted}");
    let listed = run(&gone, &["sites", "list"]);
    assert_eq!(listed.code, 2);
    assert!(
        listed.err.contains("found no such folder"),
        "{}",
        listed.err
    );
    let unset = Run::at(&here).of(&["sites", "list"]);
    assert_eq!(unset.code, 2);
    assert!(
        unset.err.contains("export RAKELIGHT_SITES="),
        "{}",
        unset.err
    );
}

#[test]
fn the_list_has_name_place_and_file_and_bad_files_do_not_stop_it() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites");
    let here = Folder::new();
    let all = Run::at(&here)
        .env("RAKELIGHT_SITES", demo)
        .of(&["sites", "list"])
        .good();
    // Ten sites, three with three views; their skylines are no sites.
    assert_eq!(all.lines().count(), 17, "{all}");
    for part in [
        "Candlenut Cay, open lagoon",
        "Størvarden Cairn",
        "-31.4000",
        "139.2000",
        "saltbush-tank.toml",
    ] {
        assert!(all.contains(part), "{part} in {all}");
    }
    here.file("a-bad.toml", "latitude_deg = 95\nlongitude_deg = 1\n");
    here.file("b-good.toml", named("Good Place"));
    here.file(
        "c-some.csv",
        "name,latitude_deg,longitude_deg\nOne,1,2\nTwo,95,2\nThree,3,4\n",
    );
    here.file("d-skyline.csv", "azimuth_deg,altitude_deg\n0,1\n180,4\n");
    here.file("notes.txt", "no site");
    let some = Run::at(&here).of(&["sites", "list", "."]);
    assert_eq!(some.code, 3);
    for name in ["Good Place", "One", "Three"] {
        assert!(some.out.contains(name), "{name} in {}", some.out);
    }
    assert_eq!(some.out.lines().count(), 4, "{}", some.out);
    assert_eq!(some.err.lines().count(), 2, "{}", some.err);
    assert!(some.err.contains("a-bad.toml:1:16"), "{}", some.err);
    assert!(some.err.contains("c-some.csv:3"), "{}", some.err);
    // A file that is no table of sites at all is told in two lines: it lacks a
    // name, a latitude and a longitude; a time zone need not be given.
    here.file("e-notes.csv", "one,two,three,four\n1,2,3,4\n");
    let more = Run::at(&here).of(&["sites", "list", "."]).err;
    assert_eq!(more.lines().count(), 4, "{more}");
    assert!(
        more.contains("e-notes.csv: found 2 more, expected none"),
        "{more}"
    );
    let none = Folder::new();
    let empty = Run::at(&none).of(&["sites", "list", "."]);
    assert_eq!((empty.code, empty.out.as_str()), (0, ""));
    assert!(empty.err.contains("no site file there"));
}

/// A run that must come to its end.
#[cfg(unix)]
fn within_a_while(run: Run, args: &[&str]) -> program::Ended {
    let (done, wait) = std::sync::mpsc::channel();
    let args: Vec<String> = args.iter().map(|arg| (*arg).to_owned()).collect();
    std::thread::spawn(move || {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let _ = done.send(run.of(&args));
    });
    let ended = wait.recv_timeout(std::time::Duration::from_secs(60));
    ended.expect("it waits for a pipe that nobody writes to")
}

#[test]
#[cfg(unix)]
fn only_plain_files_are_read() {
    let here = Folder::new();
    here.file("good.toml", named("Good Place"));
    std::os::unix::fs::symlink("good.toml", here.path("link.toml")).expect("a link");
    for pipe in ["pipe.csv", "pipe.toml"] {
        let made = std::process::Command::new("mkfifo")
            .arg(here.path(pipe))
            .status();
        assert!(made.expect("mkfifo runs").success());
    }
    let listed = within_a_while(Run::at(&here), &["sites", "list", "."]);
    assert_eq!(listed.code, 3);
    assert_eq!(
        listed.out.matches("Good Place").count(),
        2,
        "{}",
        listed.out
    );
    for told in [
        "pipe.csv: found something that is not a regular file, expected a table of sites",
        "pipe.toml: found something that is not a regular file, expected a site file",
    ] {
        assert!(listed.err.contains(told), "{}", listed.err);
    }
    let elsewhere = Folder::new();
    let by_name = Run::at(&elsewhere).env("RAKELIGHT_SITES", here.text());
    let found = within_a_while(by_name, &["scan", "pipe"]);
    assert!(found.err.contains("not a regular file"), "{}", found.err);
}

#[test]
fn a_folder_too_large_to_look_through_is_said_to_be() {
    let here = Folder::new();
    for number in 0..20_000 {
        here.file(&format!("{number}.txt"), "");
    }
    let list = || Run::at(&here).of(&["sites", "list", "."]);
    assert_eq!(list().code, 0, "{}", list().err);
    here.file("one-more.txt", "");
    let ended = list();
    assert_eq!(ended.code, 2);
    let told = "found more than 20000, expected a folder of at most 20000 entries; the others are \
                not looked at: put them into folders of their own";
    assert!(ended.err.contains(told), "{}", ended.err);
}

#[test]
fn a_new_site_is_a_file_and_no_folder() {
    let here = Folder::new();
    fs::create_dir(here.path("there")).expect("a folder");
    for name in ["a/", "a/.", "there/", "there/..", ".", ".."] {
        let ended = Run::at(&here).of(&["sites", "new", name]);
        assert_eq!(ended.code, 2, "{name}");
        let told = "found a directory, expected a place to write to; give a file in it";
        assert!(ended.err.contains(told), "{name}: {}", ended.err);
    }
    let entries = fs::read_dir(here.path("")).expect("a folder");
    assert_eq!(entries.count(), 1, "nothing is made");
}

#[test]
#[cfg(unix)]
fn the_numbers_of_the_system_stay_inside() {
    let here = Folder::new();
    std::os::unix::fs::symlink("loop.toml", here.path("loop.toml")).expect("a link");
    let long = "x".repeat(300);
    let runs: [&[&str]; 8] = [
        &["sites", "new", &long],
        &["sites", "check", &format!("{long}.toml")],
        &["scan", &long],
        &["sites", "list", &long],
        &["sites", "check", "loop.toml"],
        &["man", &long],
        &["scan", "--brief", &long],
        &[
            "sites",
            "skyline",
            "--place=0.5,0.5",
            &format!("N00E000.{long}"),
        ],
    ];
    for args in runs {
        let ended = Run::at(&here).of(args);
        assert_eq!(ended.code, 2, "{args:?}");
        assert!(!ended.err.contains("os error"), "{}", ended.err);
        assert!(ended.err.contains("found "), "{}", ended.err);
    }
}

#[test]
fn no_name_steers_a_terminal() {
    const BELL: &str = "a\u{1b}[31m\u{7}\u{9b}b\nc";
    let here = Folder::new();
    here.file(&format!("{BELL}.toml"), named("Good Place"));
    here.file(&format!("N00E000.{BELL}"), "");
    here.file(&format!("{BELL}.txt"), "");
    fs::create_dir_all(here.path("man/rakelight.1")).expect("folders");
    fs::rename(here.path("man"), here.path(BELL)).expect("a folder");
    let there = format!("{BELL}.toml");
    let runs: [&[&str]; 14] = [
        &["sites", "new", BELL],
        &["sites", "new", "new\u{1b}[31m"],
        &["sites", "list", "."],
        &["sites", "check", &there],
        &["sites", "skyline", "--place=0.5,0.5", BELL],
        &[
            "sites",
            "skyline",
            "--place=0.5,0.5",
            &format!("N00E000.{BELL}"),
        ],
        &["man", BELL],
        &["man", &format!("{BELL}.txt")],
        &["scan", &format!("--{BELL}")],
        &["scan", "--light", BELL],
        &["scan", "--from", BELL],
        &["scan", &format!("--light={BELL}")],
        &["night", "--no-such", BELL],
        &[BELL],
    ];
    for args in runs {
        let ended = Run::at(&here).of(args);
        let mut shown = format!("{}{}", ended.out, ended.err);
        shown.retain(|character| character != '\n');
        let bad = shown.chars().find(|character| character.is_control());
        assert_eq!(bad, None, "{args:?}: {shown}");
        assert!(!shown.is_empty(), "{args:?}");
        // The line break in the name breaks no line either.
        assert!(!ended.err.contains("b\nc"), "{args:?}: {}", ended.err);
    }
}

#[test]
#[cfg(unix)]
fn what_a_new_site_says_to_type_can_be_typed() {
    for name in [
        "$(touch RAN).toml",
        "a b.toml",
        "st-john's.toml",
        "`x`.toml",
        "-x.toml",
        "~.toml",
    ] {
        let here = Folder::new();
        let said = Run::at(&here).of(&["sites", "new", "--", name]).err;
        let (_, command) = said.trim_end().split_once("rakelight ").expect("a command");
        let line = format!("'{}' {command}", PROGRAM);
        let unset = std::fs::read_to_string(here.path(name)).expect("the new file");
        let filled_in = unset.replace("\nlatitude_deg = 0.0", "\nlatitude_deg = 47.1");
        std::fs::write(here.path(name), filled_in).expect("the file");
        let ran = std::process::Command::new("sh")
            .args(["-c", &line])
            .current_dir(here.path(""))
            .output()
            .expect("a shell runs");
        let told = String::from_utf8_lossy(&ran.stdout).into_owned();
        assert!(told.contains(": good ("), "{line}: {told}{ran:?}");
        assert!(!here.path("RAN").exists(), "{line}");
    }
}

#[test]
#[cfg(unix)]
fn an_interruption_names_its_file_on_one_harmless_line() {
    use std::process::{Command, Stdio};
    let here = Folder::new();
    let mut sites = "name,latitude_deg,longitude_deg,time_zone\n".to_owned();
    for number in 0..200 {
        sites.push_str(&format!("Site {number},{},1,UTC\n", number % 60));
    }
    here.file("sites.csv", &sites);
    let args = "scan sites.csv --from 1990-01-01 --to 2099-12-31 --quiet --format csv -o";
    let mut run = Run::at(&here).command();
    let mut running = run
        .args(args.split(' '))
        .arg("a\u{1b}[31m\u{7}\nb.csv")
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    // Its half of a file is there.
    while fs::read_dir(here.path("")).expect("a folder").count() < 2 {
        assert!(running.try_wait().is_ok_and(|ended| ended.is_none()));
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let sent = Command::new("kill")
        .args(["-TERM", &running.id().to_string()])
        .status();
    assert!(sent.expect("kill runs").success());
    let told = running.wait_with_output().expect("it ends").stderr;
    let told = String::from_utf8_lossy(&told);
    assert_eq!(
        told.trim_end(),
        "rakelight: interrupted; a\\u{1b}[31m\\u{7}\\nb.csv was not made"
    );
}

#[test]
#[cfg(unix)]
fn words_that_are_not_utf8_are_echoed_harmlessly_too() {
    use std::os::unix::ffi::OsStrExt;
    let word = std::ffi::OsStr::from_bytes(b"--\x1b[31m\xff");
    let here = Folder::new();
    let ended = Run::at(&here).command().arg("scan").arg(word).output();
    let told = ended.expect("the program runs").stderr;
    let told = String::from_utf8_lossy(&told);
    assert!(
        told.starts_with("error: unexpected argument '--\\u{1b}[31m"),
        "{told}"
    );
    assert!(!told.contains('\u{1b}'), "{told}");
}

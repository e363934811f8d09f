//! The program between other programs: closed pipes, colour, terminals of any
//! width. A terminal is made by `script`, where that is on the machine.
#![cfg(unix)]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{PROGRAM, Run};
use std::process::{Command, Output, Stdio};

const TANK: &str = "demo-sites/saltbush-tank.toml";
const MESA: &str = "demo-sites/tinaja-mesa.toml";
const SOME: &str = "--from 2027-05-01 --to 2027-06-30";

fn here() -> Run {
    Run::here()
}

/// Every command, and `scan` in every format and question.
fn lines() -> Vec<String> {
    let mut lines: Vec<String> = [
        "-h",
        "--help",
        "help night",
        "--version --verbose",
        "man",
        "sites new -",
        "sites list demo-sites",
        "sites check demo-sites/gannet-steps.toml",
        "phases --from 2027-01-01",
        "phases --from 2027-01-01 --format json",
        "exposure",
        "exposure --format json",
        "exposure --tracked 2min --trails 20deg --time-lapse 2h --land-frames 9",
    ]
    .map(str::to_owned)
    .into();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        lines.push(format!("completions {shell}"));
    }
    for format in [
        "table", "csv", "json", "ndjson", "ical", "geojson", "markdown", "gpx", "kml",
    ] {
        lines.push(format!("scan {MESA} {SOME} --format {format}"));
        lines.push(format!("scan {MESA} {SOME} --together --format {format}"));
    }
    for more in [
        "--season",
        "--explain",
        "--near-misses 2 --advise",
        "--vary moon_fraction=..0.3,..0.5",
        "--vary moon_fraction=..0.3,..0.5 --format json",
        "--by bearing",
        "--by month",
        "--by year",
        "--by month --compare years",
        "--spare 5",
    ] {
        lines.push(format!("scan {MESA} {SOME} {more}"));
    }
    lines.push(format!("scan {MESA} --compare 2027-05-29,2027-05-30"));
    lines.push(format!("scan {MESA} {TANK} --compare 2027-05-29"));
    for by in ["month", "year"] {
        lines.push(format!(
            "scan {MESA} {TANK} {SOME} --by {by} --compare sites"
        ));
    }
    for format in [
        "table", "json", "csv", "markdown", "ical", "geojson", "gpx", "kml",
    ] {
        lines.push(format!("night {MESA} --on 2027-05-29 --format {format}"));
    }
    for format in ["table", "json", "geojson", "gpx", "kml"] {
        lines.push(format!(
            "tripod {TANK} --time 2027-06-05T21:30 --format {format}"
        ));
    }
    for format in ["table", "json"] {
        lines.push(format!(
            "sky {TANK} --time 2027-05-30T21:00 --format {format}"
        ));
        lines.push(format!(
            "exposure {TANK} --time 2027-05-30T21:00 --format {format}"
        ));
    }
    for format in ["table", "csv", "json"] {
        lines.push(format!(
            "trip {TANK} {MESA} {SOME} --nights 2 --format {format}"
        ));
    }
    lines.push(format!("handout {MESA} --on 2027-05-29"));
    lines.push(format!("chart night {MESA} --on 2027-05-29"));
    lines.push(format!("chart frame {TANK} --time 2027-05-30T21:00"));
    lines.push(format!("chart season {TANK} {SOME}"));
    lines.push(format!("chart skyline {MESA} --on 2027-05-29"));
    lines.push(format!("chart year {TANK} {SOME}"));
    lines.push(format!("chart cluster {MESA} --on 2027-05-29"));
    lines
}

#[test]
fn a_closed_pipe_ends_every_command_quietly() {
    for line in lines() {
        let args: Vec<&str> = line.split(' ').collect();
        // Nobody reads from the first byte on.
        let (reader, writer) = std::io::pipe().expect("a pipe");
        drop(reader);
        let output = here()
            .command()
            .args(&args)
            .stdout(Stdio::from(writer))
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs")
            .wait_with_output()
            .expect("it ends");
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{line}: {err}");
        assert_eq!(err, "", "{line}");
    }
}

/// The program in a terminal so many columns wide; `None` where none can be
/// made.
fn in_terminal(columns: u32, line: &str, set: &[(&str, &str)]) -> Option<Output> {
    let typed = format!("stty cols {columns} rows 24; exec '{}' {line}", PROGRAM);
    let mut command = Command::new("script");
    command
        .args(["-qec", &typed, "/dev/null"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("TERM", "xterm")
        .stdin(Stdio::null());
    for name in [
        "CI",
        "NO_COLOR",
        "CLICOLOR",
        "CLICOLOR_FORCE",
        "COLORTERM",
        "COLUMNS",
    ] {
        command.env_remove(name);
    }
    command.envs(set.iter().copied());
    match command.output() {
        Ok(output) if cfg!(target_os = "linux") => Some(output),
        _ => {
            eprintln!("no `script` of the kind that makes a terminal: skipped");
            None
        }
    }
}

#[test]
fn no_width_of_the_terminal_breaks_anything() {
    for line in lines() {
        for columns in [1, 40, 60, 200] {
            let Some(output) = in_terminal(columns, &line, &[]) else {
                return;
            };
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            assert_eq!(output.status.code(), Some(0), "{columns}: {line}\n{text}");
            assert!(!text.contains("panicked"), "{columns}: {line}\n{text}");
        }
    }
}

/// The wide tables hold what there is room for, and no more. An offset of half
/// an hour and a blend's second period make them wider than most.
#[test]
fn no_row_of_a_table_is_wider_than_the_terminal() {
    let plain = [("NO_COLOR", "1")];
    for more in ["", "--light blend", "--near-misses 3", "--advise"] {
        let mut widest = Vec::new();
        for columns in [80, 111, 112, 116, 120, 121, 128, 140] {
            let line = format!("scan {TANK} --from 2027-05-01 --to 2027-08-31 {more}");
            let Some(output) = in_terminal(columns, &line, &plain) else {
                return;
            };
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(text.contains(" 2027-0"), "{line}\n{text}");
            let width = text.lines().map(|line| line.trim_end().chars().count());
            let width = width.max().unwrap_or(0);
            assert!(width <= columns as usize, "{columns}: {width}\n{text}");
            widest.push(width);
        }
        // More room is made use of.
        assert!(widest.last() > widest.first(), "{more}: {widest:?}");
    }
    let demo = "demo-sites/tinaja-mesa.toml";
    let (place, summer) = (format!("scan {TANK}"), "--from 2027-05-01 --to 2027-08-31");
    for line in [
        "phases --from 2027-01-01 --to 2028-12-31".to_owned(),
        format!("sky {TANK} --time 2027-07-09T22:16"),
        format!("tripod {TANK} --time 2027-07-09T22:16"),
        format!("exposure {demo} --time 2027-07-09T22:50 --land-measured -1.4 --tracked 2min"),
        format!("night {TANK} --on 2027-07-09 --rules"),
        format!("{place} --compare 2027-07-09,2027-08-06,2027-08-05,2027-07-10"),
        format!("{place} {summer} --near-misses 3 --advise --spare 4"),
        format!("{place} {summer} --vary moon_fraction=..0.3,..0.5 --vary tilt=..30,30.."),
        format!("{place} {summer} --by bearing"),
        format!("{place} {summer} --by month"),
        format!("{place} {summer} --by year"),
        format!("{place} {summer} --by month --compare years"),
        format!("{place} {demo} {summer} --by month --compare sites"),
        format!("{place} {demo} {summer} --by year --compare sites"),
        format!("{place} {demo} --compare 2027-07-09"),
        format!("{place} {summer} --season"),
        format!("{place} --explain"),
        format!("scan {TANK} {demo} {summer} --together"),
    ] {
        for columns in [60, 80, 100, 120, 160] {
            let Some(output) = in_terminal(columns, &line, &plain) else {
                return;
            };
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(text.lines().count() > 3, "{line}\n{text}");
            for row in text.lines().map(str::trim_end) {
                assert!(row.chars().count() <= columns as usize, "{line}: {row}");
            }
        }
    }
}

#[test]
fn help_takes_the_width_there_is() {
    for (columns, widest) in [(40, 44), (60, 60), (80, 80), (120, 100)] {
        let Some(output) = in_terminal(columns, "scan --help", &[("NO_COLOR", "1")]) else {
            return;
        };
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let found = text
            .lines()
            .map(|line| line.trim_end().chars().count())
            .max();
        assert!(found <= Some(widest), "{columns}: {found:?}");
    }
}

/// What a reader sees of talk: messages wrap between words, all of the words
/// are there, and one message is told from the next. In a pipe each stays on
/// its line.
#[test]
fn talk_takes_the_width_there_is() {
    let missing = "a-folder-of-a-rather-long-name/a-site-of-a-rather-long-name.toml";
    let lines = [
        "scan --from 2027-05-01 --to 2027-05-02 --top 1".to_owned(),
        format!("scan {TANK} --from 2027-06-01 --to 2027-06-03 --min-minutes 600"),
        format!("sky {TANK} --time 2027-13-45"),
        format!("scan {missing} no-such-site"),
        "scan --place -31,139 --from 2027-05-01 --to 2027-06-30 --top 1".to_owned(),
        format!("scan {TANK} --target-altitude 12 --weekdays yesterday"),
        format!("scan {TANK} --near-missses 5"),
        format!("night {TANK} --on 2027-06-18 --light blend --rules"),
        "scan --compare 2027-05-29 --from 2027-01-01 --vary target_altitude=10..".to_owned(),
        "--color auto".to_owned(),
    ];
    let words =
        |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_owned).collect() };
    let mut wrapped = 0;
    for line in lines {
        let args: Vec<&str> = line.split(' ').collect();
        let piped = here().env("NO_COLOR", "1").of(&args);
        for columns in [40, 80, 120] {
            let only_talk = format!("{line} >/dev/null");
            let Some(output) = in_terminal(columns, &only_talk, &[("NO_COLOR", "1")]) else {
                return;
            };
            let text = String::from_utf8_lossy(&output.stdout).replace('\r', "");
            assert_eq!(output.status.code(), Some(piped.code), "{line}: {text}");
            for shown in text.lines() {
                let alone = shown.split_whitespace().count() == 1;
                let fits = shown.chars().count() <= columns as usize;
                assert!(fits || alone, "{columns}: {line}\n{text}");
            }
            assert_eq!(words(&text), words(&piped.err), "{columns}: {line}");
            wrapped += usize::from(text.lines().count() > piped.err.lines().count());
            // What goes on is set in.
            let fresh = |text: &str| text.lines().filter(|l| !l.starts_with(' ')).count();
            assert_eq!(fresh(&text), fresh(&piped.err), "{columns}: {line}\n{text}");
        }
    }
    assert!(wrapped > 15, "{wrapped}");
}

#[test]
fn colour_is_for_terminals_that_want_it() {
    let line = format!("scan {MESA} {SOME}");
    for (set, coloured) in [
        (&[][..], true),
        (&[("NO_COLOR", "1")], false),
        (&[("NO_COLOR", "")], true),
        (&[("TERM", "dumb")], false),
        (&[("CLICOLOR", "0")], false),
    ] {
        for line in [line.as_str(), "scan -h"] {
            let Some(output) = in_terminal(80, line, set) else {
                return;
            };
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            assert_eq!(text.contains('\u{1b}'), coloured, "{set:?} {line}");
        }
    }
}

#[test]
fn colour_in_a_pipe_only_where_it_is_forced() {
    let args = ["scan", MESA, "--from", "2027-05-01", "--to", "2027-06-30"];
    let coloured = |set: &[(&str, &str)], more: &[&str]| {
        let mut run = here();
        for (name, value) in set {
            run = run.env(name, value);
        }
        run.of(&[&args, more].concat()).good().contains('\u{1b}')
    };
    assert!(!coloured(&[], &[]));
    assert!(coloured(&[("CLICOLOR_FORCE", "1")], &[]));
    assert!(!coloured(
        &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")],
        &[]
    ));
    assert!(coloured(&[("NO_COLOR", "1")], &["--color", "always"]));
    assert!(!coloured(&[("CLICOLOR_FORCE", "1")], &["--color", "never"]));
}

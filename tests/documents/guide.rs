//! The documents' commands run, in order and as they stand there, and print
//! what the documents show.
//!
//! A block that shows a run begins with `$ rakelight ...`; what follows is its
//! output. A line `...` in it stands for any number of lines. With
//! `WRITE_DOCS=1` this writes what the program prints into the guide; read the
//! difference before it is kept.
#![cfg(unix)]

use crate::program;

use program::{Folder, HERE, PROGRAM};
use std::{
    fs,
    path::Path,
    process::{Command, Stdio},
};

/// A command of a document and what it shows of its output.
struct Shown {
    command: String,
    output: Option<String>,
}

/// The fenced blocks of a document, language and text.
fn blocks(text: &str) -> Vec<(String, String)> {
    let mut blocks = Vec::new();
    let mut open: Option<(String, String)> = None;
    for line in text.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(language)) => open = Some((language.to_string(), String::new())),
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (Some((_, body)), None) => *body += &format!("{line}\n"),
            (None, None) => {}
        }
    }
    blocks
}

/// The commands of a document in order.
fn shown(text: &str) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    for (language, body) in blocks(text) {
        let mut within = false;
        for line in body.lines() {
            let bare = language == "sh" && !line.trim().is_empty();
            if let Some(command) = line.strip_prefix("$ ") {
                within = true;
                all.push(Shown {
                    command: command.to_string(),
                    output: None,
                });
            } else if bare {
                all.push(Shown {
                    command: line.to_string(),
                    output: None,
                });
            } else if let Some(last) = all.last_mut().filter(|_| within) {
                *last.output.get_or_insert_default() += &format!("{line}\n");
            }
        }
    }
    all
}

/// Whether `real` is `shown`, where a line `...` stands for any lines.
fn same(shown: &str, real: &str) -> bool {
    let parts: Vec<&str> = shown.split("...\n").collect();
    let (Some(first), Some(last)) = (parts.first(), parts.last()) else {
        return false;
    };
    if parts.len() == 1 {
        return shown == real;
    }
    let Some(mut rest) = real.strip_prefix(first) else {
        return false;
    };
    for part in &parts[1..parts.len() - 1] {
        match rest.find(part) {
            Some(at) => rest = &rest[at + part.len()..],
            None => return false,
        }
    }
    rest.ends_with(last)
}

/// What a document shows of `real` where it showed `shown` of another output:
/// as many lines before and after each `...`.
fn shown_of(shown: &str, real: &str) -> String {
    let lines: Vec<&str> = real.lines().collect();
    let Some((before, after)) = shown.split_once("...\n") else {
        return real.to_owned();
    };
    let after = after.rsplit("...\n").next().unwrap_or_default();
    let first = before.lines().count().min(lines.len());
    let last = lines.len().saturating_sub(after.lines().count()).max(first);
    let text = |lines: &[&str]| {
        lines
            .iter()
            .map(|line| format!("{line}\n"))
            .collect::<String>()
    };
    text(&lines[..first]) + "...\n" + &text(&lines[last..])
}

/// A folder with the demo sites, as a reader's is.
fn home() -> Folder {
    let folder = Folder::new();
    fs::create_dir(folder.path("demo-sites")).expect("a folder");
    for entry in fs::read_dir(Path::new(HERE).join("demo-sites")).expect("demo sites") {
        let entry = entry.expect("a file");
        let to = folder.path("demo-sites").join(entry.file_name());
        fs::copy(entry.path(), to).expect("a copy");
    }
    // What the tour of a reader's own files copies from the repository.
    let mut copied: Vec<String> = vec![
        "tests/reference/elevation/skyline-utm32.tif".to_owned(),
        "tests/data/photos/whole.jpg".to_owned(),
    ];
    for folder in ["examples/ridge-walk", "examples/teaching-year"] {
        for entry in fs::read_dir(Path::new(HERE).join(folder)).expect("examples") {
            let name = entry.expect("a file").file_name();
            copied.push(format!("{folder}/{}", name.to_str().expect("a name")));
        }
    }
    for file in copied {
        let to = folder.path(&file);
        fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
        fs::copy(Path::new(HERE).join(&file), to).expect("a copy");
    }
    // As a new copy of the repository has it; the reader's home has nothing.
    fs::create_dir_all(folder.path("docs/pictures")).expect("a folder");
    folder
}

/// Runs a line of shell with the program on its path, the exports before it.
fn sh(folder: &Folder, exports: &str, line: &str) -> (i32, String, String) {
    let bin = Path::new(PROGRAM).parent().expect("a folder");
    let path = std::env::var("PATH").unwrap_or_default();
    let output = Command::new("sh")
        .arg("-c")
        .arg(format!("{exports}{line}"))
        .current_dir(folder.path("."))
        .env("PATH", format!("{}:{path}", bin.display()))
        .env("HOME", folder.path("."))
        .env("PROFILE", folder.path("profile.ps1"))
        .env("COLUMNS", "80")
        .env("SOURCE_DATE_EPOCH", "1800000000")
        .env_remove("RAKELIGHT_SITES")
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    (
        output.status.code().expect("no signal ended it"),
        String::from_utf8(output.stdout).expect("UTF-8"),
        String::from_utf8(output.stderr).expect("UTF-8"),
    )
}

/// Does what the reader of a document is told to do with a new site file.
fn fill_in(folder: &Folder, file: &str) {
    let unset = fs::read_to_string(folder.path(file)).expect("the new file");
    let filled_in = unset
        .replace("\nlatitude_deg = 0.0", "\nlatitude_deg = -31.4")
        .replace("\nlongitude_deg = 0.0", "\nlongitude_deg = 139.2");
    fs::write(folder.path(file), filled_in).expect("the file");
}

/// Runs every command of a document; gives how many ran and how many showed
/// their output.
fn run(name: &str, text: &str) -> (usize, usize) {
    let folder = home();
    let (mut ran, mut compared) = (0, 0);
    let mut exports = String::new();
    for Shown { command, output } in shown(text) {
        let line = command.replace("cargo run --release -- ", "rakelight ");
        if line.starts_with("export ") {
            exports += &format!("{line}\n");
        }
        if line.starts_with("mkdir ") || line.starts_with("cp ") {
            let (code, _, err) = sh(&folder, "", &line);
            assert_eq!(code, 0, "{name}: {command}\n{err}");
        }
        if !line.starts_with("rakelight ") {
            continue;
        }
        let code = line.split_once("# exit code ").map(|(_, code)| code.trim());
        let expected = code.map_or(0, |code| code.parse().expect("an exit code"));
        let (code, out, err) = sh(&folder, &exports, &line);
        assert_eq!(code, expected, "{name}: {command}\n{err}");
        ran += 1;
        if let Some(new) = line.strip_prefix("rakelight sites new ") {
            fill_in(&folder, new.split(' ').next().unwrap_or_default());
        }
        if let Some(output) = output {
            compared += 1;
            // What a terminal shows: data, then talk.
            let real = format!("{out}{err}");
            if std::env::var_os("WRITE_DOCS").is_some() && !same(&output, &real) {
                let file = Path::new(HERE).join(if name == "guide.md" { "docs" } else { "" });
                let file = file.join(name);
                let text = fs::read_to_string(&file).expect("a document");
                let old = format!("$ {command}\n{output}");
                let new = format!("$ {command}\n{}", shown_of(&output, &real));
                fs::write(&file, text.replace(&old, &new)).expect("a document");
                continue;
            }
            assert!(
                same(&output, &real),
                "{name}: {command}\nthe document shows\n{output}\nthe program writes\n{real}"
            );
        }
    }
    (ran, compared)
}

#[test]
fn the_guide_leads_where_it_says() {
    let text = include_str!("../../docs/guide.md");
    let (ran, compared) = run("guide.md", text);
    assert!(ran >= 12 && compared >= 9, "{ran} ran, {compared} compared");
    // No command hides outside a block.
    assert!(!text.contains("`rakelight scan demo"), "put it in a block");
}

#[test]
fn the_commands_of_the_readme_run() {
    let (ran, _) = run("README.md", include_str!("../../README.md"));
    assert!(ran >= 11, "{ran} ran");
}

#[test]
fn the_first_result_of_the_readme_is_the_real_one() {
    let blocks = blocks(include_str!("../../README.md"));
    let command = &blocks.iter().find(|(kind, _)| kind == "sh").expect("one").1;
    let result = &blocks
        .iter()
        .find(|(kind, _)| kind == "text")
        .expect("one")
        .1;
    let line = command.replace("cargo run --release --", "rakelight");
    let (code, out, err) = sh(&home(), "", &line);
    assert_eq!(code, 0, "{err}");
    assert_eq!(&out, result);
}

#[test]
fn the_pictures_are_those_that_their_commands_draw() {
    let folder = home();
    let mut drawn = 0;
    for row in include_str!("../../docs/pictures.md").lines() {
        let Some(command) = row
            .split('`')
            .find(|text| text.starts_with("rakelight chart"))
        else {
            continue;
        };
        let Some((_, file)) = command.split_once("-o ") else {
            continue;
        };
        let (code, _, err) = sh(&folder, "", command);
        assert_eq!(code, 0, "{command}: {err}");
        let new = fs::read_to_string(folder.path(file)).expect("a picture");
        let old = fs::read_to_string(Path::new(HERE).join(file)).expect("a picture");
        assert!(new == old, "{file} is not what `{command}` draws");
        drawn += 1;
    }
    let files = fs::read_dir(Path::new(HERE).join("docs/pictures")).expect("the pictures");
    assert_eq!(drawn, files.count(), "a picture without its command");
}

/// The text between backticks of a document that begins so.
fn quoted<'a>(text: &'a str, start: &str) -> &'a str {
    let found = text.split('`').find(|part| part.starts_with(start));
    found.unwrap_or_else(|| panic!("no `{start}...`"))
}

#[test]
fn the_five_nights_of_the_model_are_those_of_the_scan() {
    let text = include_str!("../../docs/model.md");
    let (_, section) = text.split_once("## Five nights").expect("the section");
    let (code, out, err) = sh(&home(), "", quoted(section, "rakelight scan"));
    assert_eq!(code, 0, "{err}");
    let mut csv = csv::Reader::from_reader(out.as_bytes());
    let header = csv.headers().expect("a header").clone();
    let rows: Vec<csv::StringRecord> = csv.records().map(|row| row.expect("a row")).collect();
    let ranks = [1, 5, 10, 15, 20];
    let mut compared = 0;
    for line in section.lines().filter(|line| line.starts_with("| ")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let Some(name) = cells[0].split('`').nth(1) else {
            continue;
        };
        let column = header.iter().position(|known| known == name).expect(name);
        for (cell, rank) in cells[1..].iter().zip(ranks) {
            let real = rows[rank - 1].get(column).expect("a field");
            let said = cell.trim_matches('*');
            // A side or the waxing may follow the number; of a time the year is left out.
            let number = said.split([' ', ',']).next().unwrap_or_default();
            let same = if name.ends_with("_local") {
                real.ends_with(said)
            } else {
                real == number
            };
            assert!(same, "{name} of rank {rank}: {said} is {real}");
            compared += 1;
        }
    }
    assert_eq!(compared, 5 * 22);
}

#[test]
fn what_the_worked_night_calls_printed_is_printed() {
    let text = include_str!("../../docs/model.md");
    let (_, section) = text.split_once("## A night followed").expect("the section");
    let (code, out, err) = sh(&home(), "", quoted(section, "rakelight sky"));
    assert_eq!(code, 0, "{err}");
    let sky: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let mut compared = 0;
    for part in section.split("(printed `").skip(1) {
        let (name, rest) = part.split_once("` ").expect("a name");
        let said = rest.split(')').next().expect("a value");
        let real = sky["light"][name].as_f64().expect(name);
        assert_eq!(said.parse::<f64>().ok(), Some(real), "{name}");
        compared += 1;
    }
    assert_eq!(compared, 6);
}

#[test]
fn a_wrong_line_is_seen() {
    assert!(same("a\nb\n", "a\nb\n"));
    assert!(!same("a\nb\n", "a\nc\n"));
    assert!(!same("a\n", "a\nb\n"));
    assert!(same("a\n...\nd\n", "a\nb\nc\nd\n"));
    assert!(!same("a\n...\nd\n", "a\nb\nc\n"));
    assert!(!same("a\n...\nx\n...\nd\n", "a\nb\nd\n"));
}

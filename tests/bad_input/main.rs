//! Bad input of every kind, run through the program: each case of
//! `tests/data/bad/` gets its message to the letter, exit code 2, and no file
//! made, changed or lost. How a case is written stands in
//! `tests/data/bad/README.md`.

mod case;
#[path = "../common/program.rs"]
mod program;
mod remedy;

use case::{Case, GOOD, Given, cases, parted, put};
use program::{Folder, Run};
use remedy::Remedy;
use std::{
    collections::BTreeMap,
    fs,
    io::Write,
    path::Path,
    process::{Command, Output, Stdio},
    time::{Duration, Instant},
};

/// Cases that the files hold at least; none may go astray.
const FEWEST_CASES: usize = 400;
/// No bad input takes longer, 100 MB of it included (built for tests, on a
/// machine with other work).
const LONGEST: Duration = Duration::from_secs(60);
/// Address space that a run may take where it can be limited, KiB.
const MEMORY_KIB: usize = 700_000;

/// Names and contents of a folder; large files by their size alone.
fn contents(folder: &Path) -> BTreeMap<String, (u64, Vec<u8>)> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| {
            let entry = entry.expect("an entry");
            let size = entry.metadata().expect("its metadata").len();
            let text = (size < 100_000).then(|| fs::read(entry.path()).ok());
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, (size, text.flatten().unwrap_or_default()))
        })
        .collect()
}

/// The program in a folder, with little memory where that can be had.
fn program(folder: &Folder) -> Command {
    if cfg!(target_os = "linux") {
        let limit = format!("{{ ulimit -v {MEMORY_KIB} || true; }}");
        Run::after(&limit, &folder.path("."))
    } else {
        Run::at(folder)
    }
    .command()
}

/// What came of a case.
struct Outcome {
    output: Output,
    took: Duration,
    folder_changed: bool,
}

/// Runs a case; nothing for one that this user cannot have.
fn outcome(case: &Case) -> Option<Outcome> {
    let folder = Folder::new();
    for (name, text) in GOOD {
        folder.file(name, text);
    }
    let mut input = None;
    for given in &case.files {
        input = put(&folder.path("."), given).or(input);
        let unreadable = given.heading.ends_with(" unreadable");
        let name = given.heading.split(' ').next().unwrap_or_default();
        if unreadable && fs::File::open(folder.path(name)).is_ok() {
            // Nothing is kept from a superuser.
            return None;
        }
    }
    let before = contents(&folder.path("."));
    let mut command = program(&folder);
    command
        .env("NO_COLOR", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut words = parted(&case.typed);
    while let Some((name, value)) = words.first().and_then(|word| word.split_once('=')) {
        command.env(name, value);
        words.remove(0);
    }
    let begun = Instant::now();
    let mut child = command.args(words).spawn().expect("the program runs");
    let mut pipe = child.stdin.take().expect("standard input");
    // Not every program reads what it is given.
    let _ = pipe.write_all(&input.unwrap_or_default());
    drop(pipe);
    let output = child.wait_with_output().expect("the program ends");
    Some(Outcome {
        took: begun.elapsed(),
        folder_changed: contents(&folder.path(".")) != before,
        output,
    })
}

/// Runs a case; what is wrong with the outcome, in the form of the file.
fn run(case: &Case) -> Option<String> {
    let Outcome {
        output,
        took,
        folder_changed,
    } = outcome(case)?;
    let standard_error = String::from_utf8_lossy(&output.stderr);
    let standard_output = String::from_utf8_lossy(&output.stdout);
    let mut wrong = String::new();
    if standard_error != case.standard_error {
        for line in standard_error.lines() {
            wrong += format!("> {line}").trim_end();
            wrong.push('\n');
        }
    }
    if standard_output != case.standard_output {
        wrong += &format!("standard output: {standard_output}\n");
    }
    if output.status.code() != Some(2) {
        wrong += &format!("{}\n", output.status);
    }
    if took > LONGEST {
        wrong += &format!("it took {took:?}\n");
    }
    if folder_changed {
        wrong += "files were made, changed or lost\n";
    }
    (!wrong.is_empty()).then(|| format!("== {}\n$ {}\n{wrong}", case.title, case.typed))
}

/// A table of any length may be wrong in each of its rows: so many are told
/// that somebody can mend, the others are counted, and memory stays the same.
#[test]
fn a_million_bad_rows_are_told_in_a_thousand_lines() {
    let rows = 1_000_000;
    let mut expected = format!("rakelight: {rows} errors in the input\n");
    for row in 0..1000 {
        expected += &format!(
            "t.csv:{}:2: latitude_deg: found 95, expected a number from -90 to 90\n",
            row + 2
        );
    }
    expected += &format!("... and {} more; mend these first\n", rows - 1000);
    let case = Case {
        title: "a million bad rows".to_owned(),
        typed: "sites check t.csv".to_owned(),
        files: vec![Given {
            heading: "t.csv repeat 10000000 \\nA,95,1000".to_owned(),
            lines: vec!["name,latitude_deg,longitude_deg".to_owned()],
        }],
        standard_error: expected,
        ..Case::default()
    };
    assert_eq!(run(&case), None);
}

/// What cannot be written is told, and not that all went well.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let full = fs::File::options().write(true).open("/dev/full");
    let output = Run::here()
        .command()
        .args(["phases", "--from", "2027-01-01", "--to", "2027-12-31"])
        .stdout(full.expect("a full device"))
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "rakelight: the output: found no room left, expected a place to write to; \
         make room, or name another place\n"
    );
}

/// A pipe or a device is written to, never put out of its place; a link stays
/// a link; the file that was there keeps its permissions.
#[cfg(unix)]
#[test]
fn what_stands_where_output_goes_stays_what_it_is() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = Folder::new();
    let path = |name: &str| folder.path(name);
    fs::write(path("real.txt"), "old").expect("a file");
    let mode = |name: &str| {
        fs::metadata(path(name))
            .expect("a file")
            .permissions()
            .mode()
            & 0o777
    };
    let private = fs::Permissions::from_mode(0o600);
    fs::set_permissions(path("real.txt"), private).expect("permissions");
    symlink("real.txt", path("link.txt")).expect("a link");
    symlink("/dev/null", path("nothing")).expect("a link");
    for name in ["link.txt", "nothing"] {
        let month = "phases --from 2027-01-01 --to 2027-02-01 -o";
        let args: Vec<&str> = month.split(' ').chain([name]).collect();
        let output = Run::at(&folder).output(&args);
        assert_eq!(output.status.code(), Some(0), "{name}");
        assert!(path(name).is_symlink(), "{name}");
    }
    let text = fs::read_to_string(path("real.txt")).expect("a file");
    assert!(text.contains("2027"), "{text}");
    assert_eq!(mode("real.txt"), 0o600);
    let about = fs::metadata("/dev/null").expect("a device");
    assert!(!about.is_file(), "/dev/null is a device still");
}

#[test]
fn every_bad_input_gets_its_exact_message() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad");
    let mut titles: BTreeMap<String, usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    let mut count = 0;
    for entry in fs::read_dir(folder).expect("the cases") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|ending| ending != "txt") {
            continue;
        }
        for case in cases(&path) {
            count += 1;
            *titles.entry(case.title.clone()).or_default() += 1;
            assert!(!case.typed.is_empty(), "{}: nothing typed", case.title);
            // House quality: no bare parser, no system's number, no panic.
            for words in [
                "panicked",
                "os error",
                "invalid digit",
                "target type",
                "NaN",
            ] {
                let told = &case.standard_error;
                assert!(!told.contains(words), "{}: {told}", case.title);
            }
            wrong.extend(run(&case));
        }
    }
    let twice: Vec<_> = titles.iter().filter(|(_, times)| **times > 1).collect();
    assert!(twice.is_empty(), "titles used again: {twice:?}");
    assert!(count >= FEWEST_CASES, "only {count} cases");
    assert!(
        wrong.is_empty(),
        "{} of {count} cases:\n\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// What a message advises is typed in the place of what it found, and is taken:
/// this fault is gone, whatever else is wrong. Where no text can be typed, the
/// message says that nothing near is valid, or names an act.
#[test]
fn what_a_message_advises_is_taken() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad");
    let mut wrong = Vec::new();
    let (mut typed, mut acts, mut unwritten) = (0, 0, 0);
    let mut paths: Vec<_> = fs::read_dir(folder)
        .expect("the cases")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    paths.sort();
    for case in paths.iter().flat_map(|path| cases(path)) {
        if let Some(anew) = remedy::tip_followed(&case) {
            typed += 1;
            let outcome = outcome(&anew).expect("no file is unreadable");
            let standard_error = String::from_utf8_lossy(&outcome.output.stderr);
            let error = case.standard_error.lines().next().unwrap_or_default();
            if standard_error.contains(error) {
                wrong.push(format!("{}: {}\n{standard_error}", case.title, anew.typed));
            }
        }
        for told in remedy::told(&case.standard_error) {
            let title = &case.title;
            let texts = match told.what_to_do() {
                Remedy::Typed(texts) => texts,
                Remedy::Nothing => continue,
                Remedy::Act => {
                    acts += 1;
                    continue;
                }
                Remedy::Unknown => {
                    wrong.push(format!("{title}: nobody knows how to {}", told.remedy));
                    continue;
                }
            };
            for text in &texts {
                let Some(anew) = remedy::typed_anew(&case, &told, text) else {
                    unwritten += 1;
                    continue;
                };
                typed += 1;
                let Some(outcome) = outcome(&anew) else {
                    continue;
                };
                let standard_error = String::from_utf8_lossy(&outcome.output.stderr);
                let again = remedy::told(&standard_error);
                let bare = text.0.trim_matches('"');
                let refused = again.iter().find(|other| {
                    let is_same = other.found == told.found || other.found.contains(bare);
                    // The form is mended, though its key may want another kind.
                    let is_mended = told.is_form() && !other.is_form();
                    other.place == told.place && is_same && !is_mended
                });
                let not_typed = standard_error == case.standard_error;
                if refused.is_some() || not_typed {
                    let files: Vec<_> = anew.files.iter().map(|file| &file.lines).collect();
                    wrong.push(format!(
                        "{title}: {text:?}: {}\n{files:?}\n{standard_error}",
                        anew.typed
                    ));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {typed}:\n\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    let counts = format!("{typed} typed, {acts} acts, {unwritten} unwritten");
    // Most messages say what to type: of 100 only 52 may name an act instead.
    assert!(48 * acts <= 52 * typed && unwritten <= 1, "{counts}");
}

//! Help, version and manual pages: short help fits a screen, examples run as
//! they are printed, every page is whole.

use crate::program;

use program::{Folder, Run};
use std::{fs, process::Command};

/// Every command, from the help itself, so that a new one is not forgotten.
fn commands() -> Vec<Vec<String>> {
    fn below(path: &[String], found: &mut Vec<Vec<String>>) {
        found.push(path.to_vec());
        let text = help(path, "-h");
        let Some((_, list)) = text.split_once("\nCommands:\n") else {
            return;
        };
        for line in list.lines().take_while(|line| !line.is_empty()) {
            let name = line.trim_start().split(' ').next().unwrap_or_default();
            // Lines that go on are indented further.
            if line.starts_with("  ") && !line.starts_with("   ") && name != "help" {
                below(&[path, &[name.to_owned()]].concat(), found);
            }
        }
    }
    let mut found = Vec::new();
    below(&[], &mut found);
    assert!(found.len() >= 18, "{found:?}");
    found
}

fn help(path: &[String], flag: &str) -> String {
    let folder = Folder::new();
    let mut args: Vec<&str> = path.iter().map(String::as_str).collect();
    args.push(flag);
    Run::at(&folder).of(&args).good()
}

/// Examples as printed: commands, without what they are for.
fn examples(text: &str) -> Vec<String> {
    let (_, list) = text.split_once("\nExamples:\n").expect("examples");
    list.lines()
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.strip_prefix("    "))
        .map(str::to_owned)
        .collect()
}

/// A scan and the picture of a season ask for their evenings in one way.
#[test]
fn evenings_are_asked_for_in_one_way() {
    let of = |path: &[&str]| {
        let path: Vec<String> = path.iter().map(|&word| word.to_owned()).collect();
        let text = help(&path, "--help");
        let from = text.find("      --from <DATE>").expect("--from");
        let to = text[from..]
            .find("      --to <DATE>")
            .expect("--to after it");
        let rest = &text[from + to + 10..];
        let end = rest.find("\n      --").expect("another option");
        text[from..from + to + 10 + end].trim_end().to_owned()
    };
    let scan = of(&["scan"]);
    assert!(
        scan.contains("today") && scan.contains("365 days"),
        "{scan}"
    );
    assert_eq!(scan, of(&["chart", "season"]));
    assert_eq!(scan, of(&["chart", "year"]));
}

#[test]
fn short_help_fits_one_screen_of_80_columns() {
    for path in commands() {
        let text = help(&path, "-h");
        let lines = match path.first().map(String::as_str) {
            Some("scan") => 50,
            Some("exposure") => 32,
            Some("trip") => 32,
            // The list of commands.
            None => 25,
            Some("tripod") => 28,
            _ => 24,
        };
        let found = text.lines().count();
        assert!(found <= lines, "{path:?}: {found} lines of {lines}\n{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{path:?}: {line}");
        }
    }
}

#[test]
fn an_option_takes_one_line_of_short_help() {
    // What wraps is no longer a terse line.
    for path in commands() {
        for line in help(&path, "-h").lines() {
            let is_wrapped = line.starts_with("           ");
            assert!(!is_wrapped, "{path:?}: {line}");
        }
    }
}

#[test]
fn long_help_has_all_with_examples_and_exit_codes() {
    for path in commands() {
        let (short, long) = (help(&path, "-h"), help(&path, "--help"));
        assert!(long.contains("Exit codes: 0 "), "{path:?}");
        assert!(!examples(&long).is_empty(), "{path:?}");
        for option in options(&short) {
            assert!(options(&long).contains(&option), "{path:?}: {option}");
        }
        for line in long.lines() {
            assert!(line.chars().count() <= 80, "{path:?}: {line}");
        }
    }
    let scan = help(&["scan".to_owned()], "--help");
    let places: Vec<usize> = [
        "\nWhere and when:",
        "\nWhat must be where:",
        "\nHow dark:",
        "\nWhich light:",
        "\nWhat to print:",
        "\nWhy, what if, what else:",
    ]
    .iter()
    .map(|question| scan.find(question).expect("a question"))
    .collect();
    assert!(places.is_sorted(), "options stand under their questions");
}

fn options(text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| line.trim_start().starts_with('-'))
        .filter_map(|line| line.split([' ', ',']).find(|word| word.starts_with("--")))
        .map(str::to_owned)
        .collect()
}

/// A made tile of level ground, 3 arc seconds.
fn tile() -> Vec<u8> {
    vec![0; 1201 * 1201 * 2]
}

#[test]
fn every_example_runs_as_printed() {
    let folder = Folder::new();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites");
    for (from, to) in [("saltbush-tank", "tank"), ("tinaja-mesa", "mesa")] {
        for ending in ["toml", "skyline.csv", "subject-skyline.csv"] {
            let text = fs::read_to_string(format!("{demo}/{from}.{ending}")).expect("a demo site");
            folder.file(&format!("{from}.{ending}"), &text);
            if ending == "toml" {
                folder.file(&format!("{to}.toml"), &text);
            }
        }
    }
    fs::create_dir(folder.path("winter-sites")).expect("a folder");
    let photo = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/photos/whole.jpg");
    fs::copy(photo, folder.path("night.jpg")).expect("a photo");
    fs::create_dir(folder.path("elevation")).expect("a folder");
    for name in ["S32E139.hgt", "elevation/S32E139.hgt"] {
        fs::write(folder.path(name), tile()).expect("a tile");
    }
    folder.file(
        "hills.csv",
        "name,latitude_deg,longitude_deg\nA,-31.4,139.3\nB,-31.6,139.7\n",
    );
    let mut ran = 0;
    for path in commands() {
        for line in examples(&help(&path, "--help")) {
            // What the shell does with the output is its own affair.
            let Some(typed) = line.strip_prefix("rakelight ") else {
                continue;
            };
            let typed = typed.split(['>', '|']).next();
            let args: Vec<&str> = typed.unwrap_or_default().split_whitespace().collect();
            if args.iter().any(|arg| arg.starts_with('~')) {
                continue;
            }
            let _ = fs::remove_file(folder.path("my-tank.toml"));
            if args == ["sites", "new", "tank.toml"] {
                fs::remove_file(folder.path("tank.toml")).expect("it is there");
            }
            let ended = Run::at(&folder).env("RAKELIGHT_SITES", demo).of(&args);
            assert_eq!(ended.code, 0, "{line}: {}", ended.err);
            if args == ["sites", "new", "tank.toml"] {
                let text = fs::read_to_string(folder.path("saltbush-tank.toml")).expect("a site");
                folder.file("tank.toml", &text);
            }
            ran += 1;
        }
    }
    assert!(ran > 30, "{ran}");
}

#[test]
fn the_version_alone_and_in_full() {
    let folder = Folder::new();
    let run = |args: &[&str]| Run::at(&folder).of(args).good();
    let version = concat!("rakelight ", env!("CARGO_PKG_VERSION"), "\n");
    assert_eq!(run(&["--version"]), version);
    assert_eq!(run(&["-V"]), version);
    for args in [["--version", "--verbose"], ["--verbose", "-V"]] {
        let text = run(&args);
        assert!(text.starts_with(version));
        for part in [
            "DE423",
            "Moon and Sun within 0.03\"",
            "1900-01-01 to 2099-12-31",
            // IERS Bulletin C 52: the last leap second made UTC-TAI -37 s from
            // 2017 January 1 on.
            "TAI - UTC = 37 s since 2017-01-01",
            "IANA 20",
            "WMM2025, 2025.0 to 2030.0",
            std::env::consts::ARCH,
        ] {
            assert!(text.contains(part), "{part} in {text}");
        }
    }
    assert_eq!(Run::at(&folder).of(&["--verbose"]).code, 2);
    let without = Run::at(&folder).of(&["--color", "never"]);
    assert_eq!((without.code, without.out.as_str()), (2, ""));
}

#[test]
fn a_page_for_each_command_whole_and_the_same_each_time() {
    let folder = Folder::new();
    let pages = folder.path("deep/man1").display().to_string();
    Run::at(&folder).of(&["man", &pages]).good();
    let mut names: Vec<String> = commands()
        .iter()
        .map(|path| {
            format!(
                "rakelight{}.1",
                path.iter()
                    .map(|name| format!("-{name}"))
                    .collect::<String>()
            )
        })
        .collect();
    names.sort();
    let mut written: Vec<String> = fs::read_dir(&pages)
        .expect("a folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    written.sort();
    assert_eq!(names, written);
    let read =
        |name: &str| fs::read_to_string(folder.path("deep/man1").join(name)).expect("a page");
    for name in &names {
        let page = read(name);
        for part in [
            ".SH NAME",
            ".SH SYNOPSIS",
            ".SH DESCRIPTION",
            ".SH EXAMPLES",
            ".SH \"EXIT STATUS\"",
            ".SH ENVIRONMENT",
            "RAKELIGHT_SITES",
            "NO_COLOR",
            "SOURCE_DATE_EPOCH",
            ".SH FILES",
            ".SH \"SEE ALSO\"",
            // SOURCE_DATE_EPOCH of the run.
            "2027-01-15",
        ] {
            assert!(page.contains(part), "{name}: {part}");
        }
        let known = [
            "TH", "SH", "TP", "PP", "br", "RS", "RE", "nf", "fi", "ie", "el", "sp",
        ];
        for line in page.lines().filter(|line| line.starts_with(['.', '\''])) {
            let request = line[1..].split(' ').next().unwrap_or_default();
            assert!(known.contains(&request), "{name}: {line}");
        }
    }
    // All that --help has, the page has.
    let scan = read("rakelight-scan.1").replace("\\-", "-");
    for option in options(&help(&["scan".to_owned()], "--help")) {
        assert!(scan.contains(&option), "{option}");
    }
    assert!(
        scan.contains("Altitude of the top of the Milky Way"),
        "hidden in -h, not here"
    );
    assert!(scan.contains(".SH \"WHICH LIGHT\""));
    let main = Run::at(&folder).of(&["man"]).good();
    assert_eq!(main, read("rakelight.1"));
    // Written over, all of them or none.
    fs::remove_file(folder.path("deep/man1/rakelight.1")).expect("a page");
    fs::write(folder.path("deep/man1/rakelight-sky.1"), "old").expect("a page");
    fs::create_dir(folder.path("deep/man1/rakelight.1")).expect("a folder");
    let refused = Run::at(&folder).of(&["man", &pages]);
    assert_eq!(refused.code, 2);
    assert!(
        refused.err.contains("name another folder"),
        "{}",
        refused.err
    );
    assert_eq!(read("rakelight-sky.1"), "old");
    let left = fs::read_dir(&pages).expect("a folder").count();
    assert_eq!(left, names.len(), "no partial page stays");
}

#[test]
#[allow(clippy::print_stderr, reason = "says what was not looked at")]
fn a_formatter_that_is_here_has_nothing_to_say() {
    let folder = Folder::new();
    // A page from the future would be remarked on.
    let run = Run::at(&folder).env("SOURCE_DATE_EPOCH", "1700000000");
    run.of(&["man", "."]).good();
    for (formatter, options) in [
        ("mandoc", &["-Tlint", "-Wwarning"][..]),
        ("groff", &["-ww", "-man", "-Tutf8", "-z"]),
    ] {
        for path in fs::read_dir(folder.path("")).expect("a folder") {
            let path = path.expect("an entry").path();
            let run = Command::new(formatter).args(options).arg(&path).output();
            let Ok(output) = run else {
                eprintln!("{formatter} is not here: skipped");
                break;
            };
            let said = [output.stdout, output.stderr].concat();
            let said = String::from_utf8_lossy(&said).into_owned();
            assert_eq!(said, "", "{formatter} {}", path.display());
        }
    }
}

//! What the crate needs and brings along, as cargo itself tells it.

use serde_json::Value;
use std::{collections::BTreeSet, fs, path::Path, process::Command};

/// Licences under which a dependency may come in.
const LICENCES: [&str; 13] = [
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// The exception that only adds to what Apache-2.0 allows.
const EXCEPTION: &str = "Apache-2.0 WITH LLVM-exception";

/// Crates whose manifest names no licence, with the one their licence file
/// holds, read by eye.
const BY_FILE: [(&str, &str); 1] = [("ical", "Apache-2.0")];

fn cargo(args: &[&str]) -> String {
    let run = |more: &[&str]| {
        Command::new(env!("CARGO"))
            .args(args)
            .args(more)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("cargo runs")
    };
    let mut output = run(&["--locked", "--offline"]);
    if !output.status.success() {
        // A machine that has only built the program has not fetched what other
        // systems need, and that is looked at too.
        output = run(&["--locked"]);
    }
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "cargo {args:?}: {told}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// Every package of the lock file.
fn packages() -> Vec<Value> {
    let text = cargo(&["metadata", "--format-version", "1"]);
    let mut metadata: Value = serde_json::from_str(&text).expect("JSON");
    let Value::Array(packages) = metadata["packages"].take() else {
        panic!("no packages");
    };
    assert!(packages.len() > 50, "{} packages", packages.len());
    packages
}

fn ours(packages: &[Value]) -> &Value {
    let ours = packages.iter().find(|p| p["name"] == "rakelight");
    ours.expect("rakelight itself")
}

fn version(text: &str) -> Vec<u32> {
    let mut parts: Vec<u32> = text.split('.').map(|n| n.parse().expect(text)).collect();
    parts.resize(3, 0);
    parts
}

#[test]
fn the_promised_rust_is_what_the_newest_dependency_needs() {
    let packages = packages();
    let promised = ours(&packages)["rust_version"].as_str().expect("a version");
    let (newest, name) = packages
        .iter()
        .filter_map(|p| Some((p["rust_version"].as_str()?, p["name"].as_str()?)))
        .filter(|(_, name)| *name != "rakelight")
        .max_by_key(|(rust, _)| version(rust))
        .expect("some dependency declares one");
    // No less, or it does not build; no more, or it shuts users out.
    assert_eq!(
        version(newest),
        version(promised),
        "{name} needs Rust {newest}, Cargo.toml promises {promised}"
    );
    let readme = include_str!("../../README.md");
    assert!(readme.contains(&format!("Rust {promised} or newer")));
    let developers = include_str!("../../DEVELOPERS.md");
    assert!(developers.contains(&format!("cargo +{promised} test")));
}

/// Crates that the RustSec advisory database marks as unmaintained.
const UNMAINTAINED: [(&str, &str); 2] = [
    ("rustybuzz", "RUSTSEC-2026-0206"),
    ("ttf-parser", "RUSTSEC-2026-0192"),
];

#[test]
fn no_crate_known_as_unmaintained_is_locked() {
    for lock in [
        include_str!("../../Cargo.lock"),
        include_str!("../fuzz/Cargo.lock"),
    ] {
        assert!(lock.contains("\nname = \"rakelight\"\n"), "a lock file");
        for (name, advisory) in UNMAINTAINED {
            let line = format!("\nname = \"{name}\"\n");
            assert!(!lock.contains(&line), "{name}: {advisory}");
        }
    }
}

#[test]
fn nothing_switches_on_the_clock_of_chrono() {
    // The library never reads the clock. A feature that any dependency asks for
    // is on for all.
    let text = cargo(&["metadata", "--format-version", "1"]);
    let metadata: Value = serde_json::from_str(&text).expect("JSON");
    let nodes = metadata["resolve"]["nodes"].as_array().expect("a list");
    let is_chrono = |node: &&Value| {
        node["id"]
            .as_str()
            .is_some_and(|id| id.contains("#chrono@"))
    };
    let features: Vec<&Value> = nodes
        .iter()
        .filter(is_chrono)
        .filter_map(|node| node["features"].as_array())
        .flatten()
        .collect();
    assert!(features.iter().any(|name| *name == "std"), "{features:?}");
    assert!(
        !features
            .iter()
            .any(|name| *name == "clock" || *name == "now"),
        "{features:?}"
    );
}

/// Every Rust file of a folder, its folders included, as one text.
fn code(folder: &Path) -> String {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut text = String::new();
    for path in entries.map(|entry| entry.expect("an entry").path()) {
        if path.is_dir() && !path.ends_with("target") {
            text += &code(&path);
        } else if path.extension().is_some_and(|end| end == "rs") {
            text += &fs::read_to_string(&path).expect("UTF-8");
        }
    }
    text
}

/// What code calls a package, which may be another name than the package's.
fn library_name<'a>(packages: &'a [Value], name: &'a str) -> &'a str {
    let package = packages.iter().find(|package| package["name"] == name);
    let targets = package.and_then(|package| package["targets"].as_array());
    let library = targets.into_iter().flatten().find(|target| {
        let kinds = target["kind"].as_array().into_iter().flatten();
        kinds
            .into_iter()
            .any(|kind| *kind == "lib" || *kind == "proc-macro")
    });
    library
        .and_then(|target| target["name"].as_str())
        .unwrap_or(name)
}

#[test]
fn the_code_uses_each_direct_dependency() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let program = code(&root.join("src"));
    let all = ["tests", "examples"].map(|folder| code(&root.join(folder)));
    let all = program.clone() + &all.concat();
    let packages = packages();
    let declared = ours(&packages)["dependencies"].as_array().expect("a list");
    assert!(declared.len() > 20, "{} dependencies", declared.len());
    let unused: Vec<&str> = declared
        .iter()
        .filter_map(|dependency| {
            let name = dependency["name"].as_str()?;
            let for_tests = dependency["kind"] == "dev";
            let library = library_name(&packages, name);
            let path = format!("{}::", library.replace('-', "_"));
            let text = if for_tests { &all } else { &program };
            let used = text.match_indices(&path).any(|(at, _)| {
                // Neither the end of a longer name nor a module of ours.
                let before = text[..at].chars().next_back();
                !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
            });
            (!used).then_some(name)
        })
        .collect();
    assert!(unused.is_empty(), "declared and not used: {unused:?}");
}

/// Whether `expression` can be met with the list alone: of each `OR` one side,
/// of each `AND` both. A slash is an old way to write `OR`.
fn allowed(expression: &str) -> bool {
    let expression = expression
        .replace('/', " OR ")
        .replace(EXCEPTION, "Apache-2.0");
    let mut words: Vec<String> = expression
        .replace('(', " ( ")
        .replace(')', " ) ")
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    words.reverse();
    either(&mut words) == Some(true) && words.is_empty()
}

/// `None` where the expression is none.
fn either(words: &mut Vec<String>) -> Option<bool> {
    let mut met = both(words)?;
    while words.last().is_some_and(|word| word == "OR") {
        words.pop();
        met |= both(words)?;
    }
    Some(met)
}

fn both(words: &mut Vec<String>) -> Option<bool> {
    let mut met = one(words)?;
    while words.last().is_some_and(|word| word == "AND") {
        words.pop();
        met &= one(words)?;
    }
    Some(met)
}

fn one(words: &mut Vec<String>) -> Option<bool> {
    match words.pop()?.as_str() {
        "(" => {
            let met = either(words)?;
            (words.pop()? == ")").then_some(met)
        }
        name => Some(LICENCES.contains(&name)),
    }
}

#[test]
fn licence_expressions_are_judged_as_written() {
    for good in [
        "MIT",
        "MIT/GPL-3.0-only",
        "(MIT OR GPL-3.0-only) AND Unicode-3.0",
        "Apache-2.0 WITH LLVM-exception OR GPL-2.0-only",
    ] {
        assert!(allowed(good), "{good}");
    }
    for bad in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR ISC) AND GPL-3.0-only",
        "MIT OR",
        "(MIT",
        "MIT ISC",
        "GPL-2.0-only WITH Classpath-exception-2.0",
    ] {
        assert!(!allowed(bad), "{bad}");
    }
}

#[test]
fn every_dependency_comes_from_the_registry_under_a_known_licence() {
    let mut wrong = Vec::new();
    for package in packages().iter().filter(|p| p["name"] != "rakelight") {
        let name = package["name"].as_str().expect("a name");
        let by_file = BY_FILE.iter().find(|(crate_name, _)| *crate_name == name);
        let licence = package["license"]
            .as_str()
            .or(by_file.map(|(_, licence)| *licence));
        if !licence.is_some_and(allowed) {
            wrong.push(format!("{name}: licence {licence:?}"));
        }
        let source = package["source"].as_str();
        if !source.is_some_and(|source| source.starts_with("registry+")) {
            wrong.push(format!("{name}: source {source:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_library_alone_carries_nothing_of_the_command_line() {
    let names = |options: &[&str]| -> BTreeSet<String> {
        let mut args = vec![
            "tree", "-e", "normal", "--prefix", "none", "--target", "all",
        ];
        args.extend(options);
        let words = cargo(&args);
        let first = |line: &str| line.split(' ').next().map(str::to_owned);
        words.lines().filter_map(first).collect()
    };
    let (alone, whole) = (names(&["--no-default-features"]), names(&[]));
    assert!(alone.contains("sofars") && alone.len() > 20, "{alone:?}");
    for name in [
        "anstream",
        "anyhow",
        "clap",
        "clap_complete",
        "clap_mangen",
        "resvg",
        "signal-hook",
        "tempfile",
        "terminal_size",
    ] {
        assert!(whole.contains(name), "{name} is no dependency any more");
        assert!(!alone.contains(name), "the library alone needs {name}");
    }
}

#[test]
fn each_direct_dependency_has_its_row_in_the_document() {
    let packages = packages();
    let declared: BTreeSet<&str> = ours(&packages)["dependencies"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|dependency| dependency["name"].as_str())
        .collect();
    let document = include_str!("../../docs/dependencies.md");
    let rows: BTreeSet<&str> = document
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .collect();
    assert_eq!(rows, declared);
}

#[test]
fn the_package_holds_what_a_user_needs_and_no_reference_data() {
    let listed = cargo(&["package", "--list", "--allow-dirty"]);
    let files: BTreeSet<&str> = listed.lines().collect();
    for file in [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "src/lib.rs",
        "src/main.rs",
        "examples/ten_lines.rs",
        "demo-sites/tinaja-mesa.toml",
    ] {
        assert!(files.contains(file), "{file} is missing");
    }
    let strays = files.iter().filter(|file| file.starts_with("tests/"));
    assert_eq!(strays.count(), 0);
    // What the README links to.
    for link in include_str!("../../README.md").split("](").skip(1) {
        let target = link.split([')', '#']).next().unwrap_or_default();
        if !target.is_empty() && !target.contains(':') {
            assert!(files.contains(target), "the README links to {target}");
        }
    }
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR"));
    let size = |file: &&str| fs::metadata(manifest.join(file)).map_or(0, |data| data.len());
    // The clocks and borders of the time zones, the towns and the table of the
    // sky, which the program reads.
    let is_data = |file: &&&str| file.ends_with(".bin") || file.starts_with("src/scene/zones/");
    let data: u64 = files.iter().filter(is_data).map(size).sum();
    assert!(data < 2_500_000, "{data} bytes of data");
    let bytes: u64 = files.iter().map(size).sum::<u64>() - data;
    // Seven pictures of the documentation are half a megabyte of it.
    assert!(bytes < 5_000_000, "{bytes} bytes");
}

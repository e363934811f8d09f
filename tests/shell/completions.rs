//! Completions, loaded and asked in each shell that is on the machine; a shell
//! that is not is named on standard error. bash is asked as its readline would:
//! `COMP_WORDS` set, the registered function called, `COMPREPLY` looked at.
#![cfg(unix)]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{Folder, Run};
use std::{
    fs,
    process::{Command, Stdio},
};

const SHELLS: [&str; 5] = ["bash", "zsh", "fish", "powershell", "elvish"];
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites");

fn script(folder: &Folder, shell: &str) -> String {
    let text = Run::at(folder).of(&["completions", shell]).good();
    folder.file(&format!("script.{shell}"), &text);
    text
}

/// What a shell prints when it runs `code`; `None` where it is not here.
fn ask(folder: &Folder, shell: &str, options: &[&str], code: &str) -> Option<String> {
    let ran = Command::new(shell)
        .args(options)
        .args(["-c", code])
        .current_dir(folder.path(""))
        .env("RAKELIGHT_SITES", DEMO)
        .env("HOME", folder.text())
        .env("XDG_CONFIG_HOME", folder.text())
        .stdin(Stdio::null())
        .output();
    let Ok(output) = ran else {
        eprintln!("{shell} is not here: skipped");
        return None;
    };
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{shell}: {err}");
    assert_eq!(err, "", "{shell} has nothing to say");
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Lines typed so far, and what is offered: all of the first, none of the
/// second.
const ASKED: [(&str, &[&str], &[&str]); 18] = [
    ("rakelight sc", &["scan"], &["sky"]),
    (
        "rakelight chart ",
        &["night", "frame", "season", "skyline", "year", "cluster"],
        &["scan"],
    ),
    ("rakelight sites li", &["list"], &["check"]),
    ("rakelight scan --light ra", &["raking"], &["dark"]),
    (
        "rakelight scan --light ",
        &["raking", "dark", "blend", "any"],
        &["tinaja-mesa"],
    ),
    (
        "rakelight scan --facing ",
        &["subject", "target", "arch"],
        &[],
    ),
    ("rakelight scan --target ", &["core"], &[]),
    (
        "rakelight scan --light-side ",
        &["left", "right", "either"],
        &[],
    ),
    ("rakelight night --weekdays s", &["sat", "sun"], &["mon"]),
    ("rakelight scan --format g", &["geojson"], &["csv"]),
    (
        "rakelight scan --moon-f",
        &["--moon-fraction"],
        &["--moon-altitude"],
    ),
    ("rakelight scan sal", &["saltbush-tank"], &["tinaja-mesa"]),
    (
        "rakelight chart night --color never tin",
        &["tinaja-mesa"],
        &["saltbush-tank"],
    ),
    (
        "rakelight scan --brief my",
        &["my-rules.toml"],
        &["saltbush-tank"],
    ),
    ("rakelight completions f", &["fish"], &["bash"]),
    (
        "rakelight scan --columns moon_fr",
        &["moon_fraction"],
        &["site"],
    ),
    (
        "rakelight scan --columns site,moon_fr",
        &["site,moon_fraction"],
        &["site,site"],
    ),
    ("rakelight night --columns wh", &["what"], &["rank"]),
];

fn holds(line: &str, offered: &[&str], yes: &[&str], no: &[&str]) {
    for word in yes {
        assert!(offered.contains(word), "[{line}] {word} in {offered:?}");
    }
    for word in no {
        assert!(!offered.contains(word), "[{line}] no {word} in {offered:?}");
    }
}

#[test]
fn bash_completes() {
    let folder = Folder::new();
    script(&folder, "bash");
    folder.file("my-rules.toml", "");
    folder.file("my-site.toml", "");
    folder.file("my-notes.txt", "");
    let asked: Vec<_> = ASKED
        .into_iter()
        .chain([
            // A site is a name or a file; an open value is not a file.
            (
                "rakelight scan my",
                &["my-site.toml"][..],
                &["my-notes.txt"][..],
            ),
            (
                "rakelight scan --target-altitude my",
                &[],
                &["my-site.toml"],
            ),
            (
                "rakelight scan ",
                &["saltbush-tank", "my-site.toml"],
                &["saltbush-tank.skyline"],
            ),
        ])
        .collect();
    let mut code = String::from(
        "source ./script.bash
        asked=$(complete -p rakelight); asked=${asked##*-F }; asked=${asked%% *}
        try() {
            COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); COMP_LINE=\"$*\"; COMPREPLY=()
            \"$asked\" rakelight \"${COMP_WORDS[COMP_CWORD]}\" \"${COMP_WORDS[COMP_CWORD-1]}\" \
                2>/dev/null
            (IFS=' '; echo \"${COMPREPLY[*]}\")
        }\n",
    );
    for (line, _, _) in &asked {
        let words: Vec<String> = line.split(' ').map(|word| format!("'{word}'")).collect();
        code.push_str(&format!("try {}\n", words.join(" ")));
    }
    let Some(said) = ask(&folder, "bash", &["--norc", "--noprofile"], &code) else {
        return;
    };
    assert_eq!(said.lines().count(), asked.len(), "{said}");
    for ((line, yes, no), offered) in asked.iter().zip(said.lines()) {
        let offered: Vec<&str> = offered.split(' ').collect();
        holds(line, &offered, yes, no);
    }
}

#[test]
fn fish_completes() {
    let folder = Folder::new();
    script(&folder, "fish");
    folder.file("my-rules.toml", "");
    let mut code = String::from("source ./script.fish\n");
    for (line, _, _) in ASKED {
        code.push_str(&format!("complete -C '{line}'\necho ---\n"));
    }
    let Some(said) = ask(&folder, "fish", &["--no-config"], &code) else {
        return;
    };
    for ((line, yes, no), offered) in ASKED.iter().zip(said.split("---\n")) {
        let words = offered.lines().filter_map(|line| line.split('\t').next());
        holds(line, &words.collect::<Vec<_>>(), yes, no);
    }
}

#[test]
fn zsh_loads_and_registers() {
    let folder = Folder::new();
    let text = script(&folder, "zsh");
    fs::create_dir(folder.path("functions")).expect("a folder");
    fs::write(folder.path("functions/_rakelight"), &text).expect("a file");
    let code = "fpath=(./functions $fpath); autoload -U compinit; compinit -u -D
        print -- ${_comps[rakelight]}
        source ./script.zsh
        whence -w _rakelight _rakelight_sites _rakelight_site_names
        _rakelight_site_names; print -l -- $reply";
    let Some(said) = ask(&folder, "zsh", &["-f"], code) else {
        return;
    };
    assert!(said.starts_with("_rakelight\n"), "{said}");
    for part in [
        "_rakelight: function",
        "_rakelight_sites: function",
        "saltbush-tank\n",
    ] {
        assert!(said.contains(part), "{part} in {said}");
    }
    assert!(!said.contains("skyline"), "skylines are no sites: {said}");
    assert_eq!(text.matches("'*:sites -- ").count(), 13);
    assert_eq!(text.matches(":_rakelight_sites'").count(), 14);
}

#[test]
fn powershell_parses() {
    let folder = Folder::new();
    script(&folder, "powershell");
    let code = "$errors = $null; $null = [System.Management.Automation.Language.Parser]::ParseFile(\
        (Resolve-Path ./script.powershell), [ref]$null, [ref]$errors); \
        $errors | ForEach-Object { Write-Output $_.Message }";
    if let Some(said) = ask(&folder, "pwsh", &["-NoProfile"], code) {
        assert_eq!(said, "");
    }
}

#[test]
fn every_script_names_every_command_and_option() {
    let folder = Folder::new();
    let help = Run::at(&folder).of(&["scan", "--help"]).good();
    let options: Vec<&str> = help
        .lines()
        .filter_map(|line| {
            line.trim_start()
                .split(' ')
                .find(|word| word.starts_with("--"))
        })
        .filter(|option| help.contains(&format!("      {option}")))
        .collect();
    assert!(options.len() > 35);
    for shell in SHELLS {
        let text = script(&folder, shell);
        for option in &options {
            // fish writes the name alone.
            let bare = option.trim_start_matches('-');
            assert!(text.contains(bare), "{shell}: {option}");
        }
        for word in [
            "scan",
            "season",
            "completions",
            "skyline",
            "Register-ArgumentCompleter",
        ] {
            let only_there = word.starts_with("Register");
            assert_eq!(
                text.contains(word),
                !only_there || shell == "powershell",
                "{shell}: {word}"
            );
        }
        let braces = |c: char| text.matches(c).count();
        if shell == "powershell" || shell == "elvish" {
            assert_eq!(braces('{'), braces('}'), "{shell}");
        }
    }
    let unknown = Run::at(&folder).of(&["completions", "tcsh"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("bash"), "{}", unknown.err);
}

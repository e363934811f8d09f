//! TAB, pressed on a terminal in each shell that is on the machine, where site
//! files have names that a shell would run, split or expand. What comes out is
//! one word, and that word is the name. A terminal is made by `script`.
#![cfg(unix)]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{Folder, PROGRAM, Run};
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

/// Names that are offered, whatever their signs mean to a shell.
const OFFERED: [&str; 43] = [
    "st-john's-rock",
    "Størvarden Cairn",
    "北門",
    "two  blanks",
    " blank in front",
    "blank behind ",
    "$(touch RAN)",
    "x$(touch RAN)y",
    "`touch RAN`",
    "a;touch RAN",
    "a&touch RAN",
    "a|touch RAN",
    "a>RAN",
    "<(touch RAN)",
    "$HOME",
    "${x}",
    "$((1))",
    "$'x'",
    "a'b\"c$d`e\\f",
    "said \"so\"",
    "'",
    "\"",
    "`",
    "$",
    "\\",
    "back\\slash",
    "\\$(touch RAN)",
    "*",
    "star*",
    "q?",
    "[ab]",
    "{a,b}",
    "(x)",
    "!!",
    "a!b",
    "^a^b",
    "#x",
    "=ls",
    "x=y",
    "a:b",
    "@x",
    "%1",
    "+x",
];

/// Names that are not offered: they read as options, or no terminal shows them.
const LEFT_OUT: [&str; 6] = ["-oX", "--output=RAN", "-", "a\tb", "a\nb", "a\u{1b}[31mb"];

/// Names whose first sign is a home folder to a shell; fish offers none of
/// them, since it would leave the sign as it is.
const HOMES: [&str; 3] = ["~", "~root", "~+"];

/// What is typed before TAB, and the one name that it begins.
const BEGUN: [(&str, &str); 8] = [
    ("st-j", "st-john's-rock"),
    ("'st-j", "st-john's-rock"),
    ("\"st-j", "st-john's-rock"),
    ("st-john\\'", "st-john's-rock"),
    ("'a$(", "a$(touch RAN)'"),
    ("\"a\\$(", "a$(touch RAN)\"`\\"),
    ("a\\$\\(", "a$(touch RAN) b"),
    ("'Stør", "Størvarden Cairn"),
];

/// How a shell is started, and how it is told what a test needs: where to go,
/// where sites are, and that `rakelight` writes down its arguments.
const SHELLS: [(&str, &str, &str); 3] = [
    (
        "bash",
        "bash --norc --noprofile -i",
        "bind 'set enable-bracketed-paste off'
        source ./script.bash
        there() { cd \"$BASE/$1/here\"; RAKELIGHT_SITES=$BASE/$1/sites; }
        rakelight() { printf '%s\\0' \"$@\" > \"$BASE/part\"; mv \"$BASE/part\" \"$BASE/typed\"; }
        ",
    ),
    (
        "zsh",
        "zsh -f -i",
        "autoload -U compinit; compinit -u -D
        source ./script.zsh
        there() { cd \"$BASE/$1/here\"; RAKELIGHT_SITES=$BASE/$1/sites; }
        rakelight() { printf '%s\\0' \"$@\" > \"$BASE/part\"; mv \"$BASE/part\" \"$BASE/typed\"; }
        ",
    ),
    (
        "fish",
        "fish --no-config -i",
        "source ./script.fish
        function there; cd $BASE/$argv[1]/here; set -gx RAKELIGHT_SITES $BASE/$argv[1]/sites; end
        function rakelight
            printf '%s\\0' $argv > $BASE/part; mv $BASE/part $BASE/typed
        end
        ",
    ),
];

/// A shell on a terminal.
struct Terminal {
    base: Folder,
    script: Child,
}

impl Terminal {
    /// `None` where the shell or `script` is not here.
    fn of(shell: &str, start: &str, setting_up: &str) -> Option<Self> {
        let is_here = |name: &str| {
            let asked = Command::new(name).arg("--version").output();
            asked.is_ok_and(|output| output.status.success())
        };
        if !is_here(shell) || !is_here("script") {
            eprintln!("{shell} or a terminal for it is not here: skipped");
            return None;
        }
        let base = Folder::new();
        let text = Run::at(&base).of(&["completions", shell]).good();
        base.file(&format!("script.{shell}"), &text);
        base.file("setup", setting_up);
        fs::create_dir(base.path("home")).expect("a folder");
        let home = base.path("home").display().to_string();
        let script = Command::new("script")
            .args(["-qec", &format!("stty cols 200 rows 50; {start}")])
            .arg("/dev/null")
            .current_dir(base.path(""))
            .env("TERM", "xterm")
            .env("LC_ALL", "C.UTF-8")
            .env("SHELL", "/bin/sh")
            .env("INPUTRC", "/dev/null")
            .env("HOME", &home)
            .env("XDG_CONFIG_HOME", &home)
            .env("XDG_DATA_HOME", &home)
            .env("BASE", base.text())
            // The program itself says which addresses there are.
            .env("PATH", with_program())
            .env_remove("RAKELIGHT_SITES")
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("script runs");
        let mut terminal = Self { base, script };
        // The function writes its arguments, so it tells that all is set up.
        let words = terminal.keys(" source ./setup; rakelight ready\n");
        assert_eq!(words, Some(vec!["ready".to_owned()]), "{shell} is set up");
        Some(terminal)
    }

    /// Presses keys that end in a command `rakelight`; its arguments, or `None`
    /// where it does not come to run.
    fn keys(&mut self, keys: &str) -> Option<Vec<String>> {
        const PATIENCE: Duration = Duration::from_secs(20);
        let typed = self.base.path("typed");
        let _ = fs::remove_file(&typed);
        let mut keyboard = self.script.stdin.as_ref().expect("a keyboard");
        keyboard.write_all(keys.as_bytes()).expect("keys");
        let begin = Instant::now();
        while !typed.exists() {
            if begin.elapsed() > PATIENCE {
                return None;
            }
            thread::sleep(Duration::from_millis(5));
        }
        let bytes = fs::read(&typed).expect("arguments");
        let text = String::from_utf8(bytes).expect("UTF-8");
        let words = text.split_terminator('\0').map(str::to_owned);
        Some(words.collect())
    }

    /// Folders of a case of its own, with files there, and the shell in them.
    fn case(&self, number: usize, sites: &[String], here: &[String]) -> PathBuf {
        let lay = |folder: &str, files: &[String]| {
            let folder = self.base.path(&format!("{number}/{folder}"));
            fs::create_dir_all(&folder).expect("a folder");
            for file in files {
                fs::write(folder.join(file), "").expect(file);
            }
            folder
        };
        lay("sites", sites);
        lay("here", here)
    }

    /// What `rakelight scan` is given when TAB is pressed after `begun`.
    fn tab(&mut self, number: usize, begun: &str) -> Option<Vec<String>> {
        let words = self.keys(&format!(" there {number}; rakelight there\n"));
        assert_eq!(words, Some(vec!["there".to_owned()]), "{begun}");
        self.keys(&format!(" rakelight scan {begun}\t\n"))
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.script.kill();
        let _ = self.script.wait();
    }
}

/// The path of the machine, with the program on it.
fn with_program() -> String {
    let folder = Path::new(PROGRAM).parent().expect("a folder");
    let path = std::env::var("PATH").unwrap_or_default();
    format!("{}:{path}", folder.display())
}

fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let name = |entry: fs::DirEntry| entry.file_name().into_string().expect("UTF-8");
    entries
        .map(|entry| name(entry.expect("an entry")))
        .collect()
}

#[test]
fn what_tab_completes_is_one_word_and_that_is_the_name() {
    for (shell, start, setting_up) in SHELLS {
        let Some(mut terminal) = Terminal::of(shell, start, setting_up) else {
            continue;
        };
        // Where the site's file is; what is typed; what is given then.
        let mut cases: Vec<(bool, String, &str, Option<String>)> = Vec::new();
        for name in OFFERED {
            let file = format!("{name}.toml");
            cases.push((true, file.clone(), "", Some(name.to_owned())));
            cases.push((false, file.clone(), "", Some(file)));
        }
        for name in HOMES {
            let offered = (shell != "fish").then(|| name.to_owned());
            cases.push((true, format!("{name}.csv"), "", offered));
        }
        for name in LEFT_OUT {
            cases.push((true, format!("{name}.toml"), "", None));
        }
        for (begun, name) in BEGUN {
            cases.push((true, format!("{name}.csv"), begun, Some(name.to_owned())));
        }
        for (number, (by_name, file, begun, given)) in cases.into_iter().enumerate() {
            let files = [file];
            let here = match by_name {
                true => terminal.case(number, &files, &[]),
                false => terminal.case(number, &[], &files),
            };
            let wanted: Vec<String> = ["scan".to_owned()].into_iter().chain(given).collect();
            let words = terminal.tab(number, begun);
            assert_eq!(words, Some(wanted), "{shell}: [{begun}] {files:?}");
            let left = if by_name { &[][..] } else { &files[..] };
            assert_eq!(names_in(&here), left, "{shell} ran {files:?}");
        }
    }
}

/// Names of views, whatever their signs mean to a shell.
const VIEWS: [&str; 14] = [
    "arch",
    "north wall",
    "it's",
    "said \"so\"",
    "$(touch RAN)",
    "`touch RAN`",
    "a;touch RAN",
    "a|touch RAN",
    "$HOME",
    "*",
    "{a,b}",
    "back\\slash",
    "a#b",
    "北門",
];

/// What is typed before TAB, and the view that it begins.
const VIEW_BEGUN: [(&str, &str); 5] = [
    ("tank#no", "north wall"),
    ("'tank#no", "north wall"),
    ("\"tank#no", "north wall"),
    ("tank#north\\ w", "north wall"),
    ("tank.toml#no", "north wall"),
];

#[test]
fn what_tab_completes_behind_the_sign_is_a_view() {
    let site = |view: &str| {
        let view = serde_json::to_string(view).expect("a text");
        format!("latitude_deg = 1\nlongitude_deg = 2\n[[view]]\nname = {view}\n")
    };
    for (shell, start, setting_up) in SHELLS {
        let Some(mut terminal) = Terminal::of(shell, start, setting_up) else {
            continue;
        };
        let whole = VIEWS.map(|view| ("tank#", view));
        for (number, (begun, view)) in whole.into_iter().chain(VIEW_BEGUN).enumerate() {
            let number = 1000 + number;
            let named = !begun.contains(".toml");
            let file = ["tank.toml".to_owned()];
            let here = match named {
                true => terminal.case(number, &file, &[]),
                false => terminal.case(number, &[], &file),
            };
            let folder = if named { "sites" } else { "here" };
            let path = terminal.base.path(&format!("{number}/{folder}/tank.toml"));
            fs::write(path, site(view)).expect("a site");
            let typed = begun.trim_start_matches(['\'', '"']);
            let (file_name, _) = typed.split_once('#').expect("an address");
            let wanted = vec!["scan".to_owned(), format!("{file_name}#{view}")];
            let words = terminal.tab(number, begun);
            assert_eq!(words, Some(wanted), "{shell}: [{begun}] {view}");
            let left = if named { &[][..] } else { &file[..] };
            assert_eq!(names_in(&here), left, "{shell} ran {view}");
        }
    }
}

#[test]
fn what_tab_completes_behind_a_comma_is_a_column() {
    for (shell, start, setting_up) in SHELLS {
        let Some(mut terminal) = Terminal::of(shell, start, setting_up) else {
            continue;
        };
        for (number, (begun, whole)) in [
            ("moon_fr", "moon_fraction"),
            ("night,moon_fr", "night,moon_fraction"),
            ("night,score,site,vie", "night,score,site,view"),
        ]
        .into_iter()
        .enumerate()
        {
            let number = 2000 + number;
            terminal.case(number, &[], &[]);
            let words = terminal.tab(number, &format!("--columns {begun}"));
            let words = words.unwrap_or_default();
            assert_eq!(words.len(), 3, "{shell}: {words:?}");
            assert_eq!(words[2], whole, "{shell}");
        }
    }
}

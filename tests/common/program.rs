//! The one way in which tests make folders and run the program.
#![allow(dead_code, reason = "each test file uses a part of it")]

use std::{
    ffi::OsStr,
    fs,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

/// The program, as it was built for these tests.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_rakelight");
/// The top of the repository.
pub const HERE: &str = env!("CARGO_MANIFEST_DIR");

/// Seven of the sites in `demo-sites/`, in order of their files.
pub const SEVEN_SITES: [&str; 7] = [
    "gannet-steps",
    "gratalm-hut",
    "quillon-slip",
    "saltbush-tank",
    "storvarden-cairn",
    "tinaja-mesa",
    "witkopje-pan",
];

/// A folder that goes when the test ends.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    /// Writes a file and gives its path.
    pub fn file(&self, name: &str, text: impl AsRef<[u8]>) -> String {
        let path = self.path(name);
        fs::write(&path, text).expect("a file");
        path.display().to_string()
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn text(&self) -> String {
        self.0.path().display().to_string()
    }

    /// The names of what is in it, in their order.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).expect("a folder");
        let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
        let mut names: Vec<String> = entries
            .map(|entry| name(entry.expect("an entry")))
            .collect();
        names.sort();
        names
    }
}

/// A run to be, 80 columns wide, with nothing to read and no width, colour,
/// clock or site of the machine's own.
pub struct Run(Command);

/// How a run ended.
pub struct Ended {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Run {
    /// In a folder.
    pub fn at(folder: &Folder) -> Self {
        Self::in_path(folder.0.path())
    }

    /// At the top of the repository.
    pub fn here() -> Self {
        Self::in_path(Path::new(HERE))
    }

    pub fn in_path(path: &Path) -> Self {
        Self::settled(Command::new(PROGRAM), path)
    }

    /// In a folder, by a shell that first does as `before` says: a limit, a
    /// signal to be ignored. Where that fails, nothing is run.
    pub fn after(before: &str, path: &Path) -> Self {
        let mut command = Command::new("sh");
        command.args(["-c", &format!("{before} && exec \"$0\" \"$@\""), PROGRAM]);
        Self::settled(command, path)
    }

    fn settled(mut command: Command, path: &Path) -> Self {
        command
            .current_dir(path)
            .env("SOURCE_DATE_EPOCH", "1800000000")
            .stdin(Stdio::null());
        for name in [
            "RAKELIGHT_SITES",
            "NO_COLOR",
            "CLICOLOR",
            "CLICOLOR_FORCE",
            "LINES",
        ] {
            command.env_remove(name);
        }
        Self(command).wide(80)
    }

    pub fn env(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.0.env(name, value);
        self
    }

    /// As a terminal so many columns wide.
    pub fn wide(self, columns: usize) -> Self {
        self.env("COLUMNS", columns.to_string())
    }

    /// The program with these arguments.
    pub fn of(self, args: &[&str]) -> Ended {
        let output = self.output(args);
        Ended {
            code: output.status.code().expect("no signal ended it"),
            out: String::from_utf8(output.stdout).expect("UTF-8 on standard output"),
            err: String::from_utf8(output.stderr).expect("UTF-8 on standard error"),
        }
    }

    /// The same with its bytes as they came.
    pub fn output(mut self, args: &[&str]) -> Output {
        self.0.args(args).output().expect("the program runs")
    }

    /// The command itself, for what needs more.
    pub fn command(self) -> Command {
        self.0
    }
}

impl Ended {
    /// Its output, where it did its work.
    pub fn good(self) -> String {
        assert_eq!(self.code, 0, "{}", self.err);
        self.out
    }
}

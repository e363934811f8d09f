//! Running the program as a shell does.
#![allow(dead_code, reason = "each test file uses a part of it")]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

/// A folder that goes when the test ends.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    pub fn file(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).expect("a file");
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn text(&self) -> String {
        self.0.path().display().to_string()
    }
}

/// A run to be: nothing of the machine's environment that the program reads is
/// left in it.
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

    pub fn in_path(path: &Path) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rakelight"));
        command
            .current_dir(path)
            .env("SOURCE_DATE_EPOCH", "1800000000")
            .env("COLUMNS", "80")
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
        Self(command)
    }

    pub fn env(mut self, name: &str, value: impl AsRef<std::ffi::OsStr>) -> Self {
        self.0.env(name, value);
        self
    }

    /// The program with these arguments.
    pub fn of(mut self, args: &[&str]) -> Ended {
        let output = self.0.args(args).output().expect("the program runs");
        Ended {
            code: output.status.code().expect("no signal ended it"),
            out: String::from_utf8(output.stdout).expect("UTF-8 on standard output"),
            err: String::from_utf8(output.stderr).expect("UTF-8 on standard error"),
        }
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

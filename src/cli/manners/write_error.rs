//! Why something cannot be written, in plain words.

use rakelight::{input::Fault, plain_words::system_words, scene::ValueError};
use std::{
    error::Error,
    fmt::{self, Display, Formatter},
    io::{self, ErrorKind},
    path::Path,
};

/// The message of [`write_error`], inside an error of input and output.
#[derive(Debug)]
pub struct WriteError(pub String);

impl Display for WriteError {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Error for WriteError {}

/// The error with the message of [`write_error`]; its kind stays the same.
pub fn named(path: &Path, error: &io::Error) -> io::Error {
    let words = write_error(path, error).to_string();
    io::Error::new(error.kind(), WriteError(words))
}

/// Why the file at `path` cannot be written.
pub fn write_error(path: &Path, error: &io::Error) -> anyhow::Error {
    refused(path, reason(error))
}

/// The same for a reason of our own.
pub fn refused(path: &Path, error: ValueError) -> anyhow::Error {
    anyhow::anyhow!("{}", Fault::of_file(&path.display().to_string(), error))
}

/// What was found, what was expected and how to fix it.
pub fn reason(error: &io::Error) -> ValueError {
    let because = |found: &str, remedy: &str| {
        ValueError::new(found, "a place to write to").with_remedy(remedy)
    };
    match error.kind() {
        ErrorKind::NotFound => because("no such directory", "make it first, or check the path"),
        ErrorKind::NotADirectory => {
            because("a file where the path wants a directory", "check the path")
        }
        ErrorKind::IsADirectory => because("a directory", "give a file in it"),
        ErrorKind::PermissionDenied => because(
            "a place that may not be written to",
            "give another, or change its permissions",
        ),
        ErrorKind::ReadOnlyFilesystem => because("a disk that is read only", "name another place"),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            because("no room left", "make room, or name another place")
        }
        ErrorKind::FileTooLarge => because(
            "a limit on the size of files",
            "raise it (ulimit -f), or write less",
        ),
        _ => because(&system_words(error), "name another place"),
    }
}

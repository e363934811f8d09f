//! The only file that opens files.

use super::fault::{Fault, Faults, not_utf8};
use super::line_index::LineIndex;
use crate::plain_words::system_words;
use crate::scene::ValueError;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::sync::Arc;

/// Called with each file that a site refers to, before it is opened.
pub type Opening = Arc<dyn Fn(&Path) + Send + Sync>;

/// No site file, brief or skyline may be larger; a table of sites may.
const LARGEST_FILE_BYTES: u64 = 1 << 20;

/// Does nothing.
pub(crate) fn nobody() -> Opening {
    Arc::new(|_| ())
}

/// Opens a regular file and nothing else.
pub(super) fn open_plain(path: &Path, expected: &str) -> Result<File, Faults> {
    // Opening a pipe that nobody writes to would wait for ever.
    if std::fs::metadata(path).is_ok_and(|about| !about.is_file() && !about.is_dir()) {
        let error = ValueError::new("something that is not a regular file", expected)
            .with_remedy("save it as a file first");
        return Err(Fault::of_file(&path.display().to_string(), error).into());
    }
    open(path, expected)
}

pub(super) fn open(path: &Path, expected: &str) -> Result<File, Faults> {
    let fault = |error| Faults::from(Fault::of_file(&path.display().to_string(), error));
    let file = File::open(path).map_err(|error| {
        fault(match error.kind() {
            ErrorKind::NotFound => {
                ValueError::new("no such file", expected).with_remedy("check the path")
            }
            ErrorKind::PermissionDenied => ValueError::new("a file that may not be read", expected)
                .with_remedy("check its permissions"),
            ErrorKind::NotADirectory => {
                ValueError::new("a file where the path wants a directory", expected)
                    .with_remedy("check the path")
            }
            _ => ValueError::new(&system_words(&error), expected)
                .with_remedy("check the path and the disk"),
        })
    })?;
    if file.metadata().is_ok_and(|about| about.is_dir()) {
        let error = ValueError::new("a directory", expected);
        return Err(fault(error.with_remedy("give a file in it")));
    }
    Ok(file)
}

/// The beginning of a regular file, up to the size of a small one.
pub(super) fn beginning(path: &Path) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let file = open_plain(path, "a file").ok()?;
    file.take(LARGEST_FILE_BYTES).read_to_end(&mut bytes).ok()?;
    Some(bytes)
}

/// The first bytes of a file, `most` of them.
pub(super) fn read_beginning(path: &Path, most: u64, expected: &str) -> Result<Vec<u8>, Faults> {
    let mut bytes = Vec::new();
    let file = open_plain(path, expected)?;
    match file.take(most).read_to_end(&mut bytes) {
        Ok(_) => Ok(bytes),
        Err(error) => {
            let error = ValueError::new(&system_words(&error), expected);
            let error = error.with_remedy("check the disk");
            Err(Fault::of_file(&path.display().to_string(), error).into())
        }
    }
}

/// The bytes of a small file.
pub(super) fn read_bytes(path: &Path, expected: &str) -> Result<Vec<u8>, Faults> {
    let name = path.display().to_string();
    let refuse = |found: &str, remedy: &str| {
        let error = ValueError::new(found, expected).with_remedy(remedy);
        Faults::from(Fault::of_file(&name, error))
    };
    let file = open_plain(path, expected)?;
    let mut bytes = Vec::new();
    file.take(LARGEST_FILE_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| refuse(&system_words(&error), "check the disk"))?;
    if bytes.len() as u64 > LARGEST_FILE_BYTES {
        return Err(refuse(
            "a file of more than 1 MiB",
            "check that it is the right one",
        ));
    }
    Ok(bytes)
}

/// The text of a small file.
pub(super) fn read_text(path: &Path, expected: &str) -> Result<String, Faults> {
    let bytes = read_bytes(path, expected)?;
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = error.as_bytes().get(..good).unwrap_or_default();
        let before = String::from_utf8_lossy(before);
        let place = LineIndex::new(&before).place(good);
        let error = not_utf8(error.as_bytes());
        Fault::at(&path.display().to_string(), place, None, error).into()
    })
}

//! Protects the user's files from output: a slip after `-o` must not cost one.

use super::{failure::Failure, write_error::refused};
use rakelight::{
    input::{KeptFile, Opening},
    scene::ValueError,
};
use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
};

/// What an output may replace of the files that people keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replaces {
    /// None of them.
    Nothing,
    /// An older skyline.
    Skylines,
    /// The site file that was read to be completed.
    ItsSite,
}

/// The files that this run reads or will read.
static READ: Mutex<BTreeSet<Identity>> = Mutex::new(BTreeSet::new());

/// Identifies a file: it is the same through a link and by another path.
#[cfg(unix)]
type Identity = (u64, u64);
#[cfg(not(unix))]
type Identity = std::path::PathBuf;

#[cfg(unix)]
fn identity(path: &Path) -> Option<Identity> {
    fs::metadata(path).ok().as_ref().map(number)
}

/// Whether an open file is the one that its path leads to.
#[cfg(unix)]
pub fn is_at(file: &fs::File, path: &Path) -> bool {
    let about = file.metadata();
    about.is_ok_and(|about| identity(path) == Some(number(&about)))
}

#[cfg(not(unix))]
pub fn is_at(_: &fs::File, _: &Path) -> bool {
    true
}

/// The device and the number of the file on it; hard links share them.
#[cfg(unix)]
fn number(about: &fs::Metadata) -> Identity {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino())
}

#[cfg(not(unix))]
fn identity(path: &Path) -> Option<Identity> {
    fs::canonicalize(path).ok()
}

fn remember(identity: Option<Identity>) {
    // A file that does not exist is not read.
    if let Some(identity) = identity {
        let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        read.insert(identity);
    }
}

/// Notes a file before it is read.
pub fn note(path: &Path) {
    remember(identity(path));
}

/// Notes the file that standard input comes from, if it is a file.
pub fn note_standard_input() {
    #[cfg(unix)]
    {
        use std::os::fd::AsFd;
        let input = std::io::stdin().as_fd().try_clone_to_owned();
        let about = input.and_then(|input| fs::File::from(input).metadata());
        remember(about.ok().as_ref().map(number));
    }
}

/// Notes the files that a site refers to, as they are opened.
pub fn noting() -> Opening {
    Arc::new(note)
}

/// Refuses to write to `output` if any of its `names` (its own and those that
/// links lead to) is a file that this run reads, or one of a kind that the
/// program reads, unless it is what the output `may` replace.
pub fn check(output: &Path, names: &[PathBuf], may: Replaces) -> Result<(), Failure> {
    // Start with the file that the links lead to: the message is about it.
    names
        .iter()
        .rev()
        .try_for_each(|name| check_name(output, name, may))
}

fn check_name(output: &Path, name: &Path, may: Replaces) -> Result<(), Failure> {
    if may == Replaces::ItsSite {
        return Ok(());
    }
    let Some(identity) = identity(name) else {
        return Ok(());
    };
    let read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    if read.contains(&identity) {
        let error = ValueError::new("a file that this command reads", "another one to write to")
            .with_remedy("give another after -o");
        return Err(Failure::Reported(refused(output, error)));
    }
    let what = match KeptFile::of(name) {
        None => return Ok(()),
        Some(KeptFile::Skyline) if may == Replaces::Skylines => return Ok(()),
        Some(KeptFile::SiteOrBrief) => "a site or a brief",
        Some(KeptFile::SiteTable) => "a table of sites",
        Some(KeptFile::Skyline) => "a skyline",
        Some(KeptFile::ElevationTile) => "an elevation tile",
        Some(KeptFile::Points) => "a map's points",
        Some(KeptFile::Moves) => "a table of moves",
        Some(KeptFile::Times) => "a table of times",
        Some(KeptFile::Log) => "a log of nights",
        Some(KeptFile::Climate) => "a table of clear nights",
        Some(KeptFile::Forecast) => "a forecast",
        Some(_) => "a file that this program reads",
    };
    // The name that was typed may look harmless.
    let what = match name == output {
        true => what.to_owned(),
        false => format!("a link to {what}"),
    };
    let error = ValueError::new(&what, "a file that may be written over")
        .with_remedy("give another after -o, or take this one away first");
    Err(Failure::Reported(refused(output, error)))
}

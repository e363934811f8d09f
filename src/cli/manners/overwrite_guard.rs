//! No output over what the user keeps: a slip after `-o` must not cost a file.

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

/// The files that this run reads or was told to read.
static READ: Mutex<BTreeSet<Identity>> = Mutex::new(BTreeSet::new());

/// One file, whatever it is called: the same by a link and by another path.
#[cfg(unix)]
type Identity = (u64, u64);
#[cfg(not(unix))]
type Identity = std::path::PathBuf;

#[cfg(unix)]
fn identity(path: &Path) -> Option<Identity> {
    fs::metadata(path).ok().as_ref().map(number)
}

/// Device and number on it; hard links share them.
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
    // A file that is not there is nobody's input.
    if let Some(identity) = identity {
        let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        read.insert(identity);
    }
}

/// Notes a file that is read, before it is.
pub fn note(path: &Path) {
    remember(identity(path));
}

/// Notes the file that standard input comes from, where it is one.
pub fn note_standard_input() {
    #[cfg(unix)]
    {
        use std::os::fd::AsFd;
        let input = std::io::stdin().as_fd().try_clone_to_owned();
        let about = input.and_then(|input| fs::File::from(input).metadata());
        remember(about.ok().as_ref().map(number));
    }
}

/// Notes what a site names, as its reader comes upon it.
pub fn noting() -> Opening {
    Arc::new(note)
}

/// Refuses to write to `output` where any of its `names` (its own, those that
/// links lead on to) is that of a file that this run reads, or of another that
/// is made to be read. An older skyline gives way to one (`skyline`).
pub fn check(output: &Path, names: &[PathBuf], skyline: bool) -> Result<(), Failure> {
    // The end of the way first: that is what a link is a link to.
    names
        .iter()
        .rev()
        .try_for_each(|name| check_name(output, name, skyline))
}

fn check_name(output: &Path, name: &Path, skyline: bool) -> Result<(), Failure> {
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
        Some(KeptFile::Skyline) if skyline => return Ok(()),
        Some(KeptFile::SiteOrBrief) => "a site or a brief",
        Some(KeptFile::SiteTable) => "a table of sites",
        Some(KeptFile::Skyline) => "a skyline",
        Some(KeptFile::ElevationTile) => "an elevation tile",
        Some(_) => "a file that this program reads",
    };
    // The name typed may look harmless.
    let what = match name == output {
        true => what.to_owned(),
        false => format!("a link to {what}"),
    };
    let error = ValueError::new(&what, "a file that may be written over")
        .with_remedy("give another after -o, or take this one away first");
    Err(Failure::Reported(refused(output, error)))
}

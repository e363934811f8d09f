//! Where the path of an output leads, through any links.

use super::{
    failure::Failure,
    write_error::{refused, write_error},
};
use rakelight::scene::ValueError;
use std::{
    fs,
    io::{self, ErrorKind},
    path::{Path, PathBuf},
};

/// More links than these count as a circle, as on Linux
/// (`path_resolution(7)`).
const MOST_LINKS: usize = 40;

/// A path and what it leads to.
pub struct Way {
    /// The path itself, then the path that each link leads to.
    pub names: Vec<PathBuf>,
    /// What is at the end; `None` if nothing is there yet.
    pub old: Option<fs::Metadata>,
}

impl Way {
    /// Follows `path` to its end. Fails if nothing can be written there.
    pub fn of(path: &Path) -> Result<Self, Failure> {
        let refuse = |error: &io::Error| Failure::Reported(write_error(path, error));
        let names = names(path).map_err(|error| refuse(&error))?;
        if names.len() > MOST_LINKS {
            let error = ValueError::new("a link that leads back to itself", "a place to write to")
                .with_remedy("take the link away, or name another place");
            return Err(Failure::Reported(refused(path, error)));
        }
        let way = match fs::metadata(path) {
            Ok(old) => Self {
                names,
                old: Some(old),
            },
            Err(error) if error.kind() == ErrorKind::NotFound => Self { names, old: None },
            Err(error) => return Err(refuse(&error)),
        };
        if way.old.is_none() {
            if way.end().as_os_str().as_encoded_bytes().ends_with(b"/") {
                return Err(refuse(&ErrorKind::IsADirectory.into()));
            }
            if way.names.len() > 1 && !way.directory().is_dir() {
                let error = ValueError::new(
                    "a link into a directory that is not there",
                    "a place to write to",
                )
                .with_remedy("make the directory first, or name another place");
                return Err(Failure::Reported(refused(path, error)));
            }
        }
        Ok(way)
    }

    /// The file's own path, without links.
    pub fn real(&self) -> PathBuf {
        let end = self.end();
        fs::canonicalize(end).unwrap_or_else(|_| end.to_owned())
    }

    fn end(&self) -> &Path {
        self.names.last().map_or(Path::new(""), PathBuf::as_path)
    }

    fn directory(&self) -> &Path {
        directory_of(self.end())
    }
}

/// The directory that contains a path.
pub fn directory_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// The path and where each link leads; more than `MOST_LINKS` if the links have
/// no end.
fn names(path: &Path) -> io::Result<Vec<PathBuf>> {
    let mut names = vec![path.to_owned()];
    let mut name = path.to_owned();
    while names.len() <= MOST_LINKS
        && fs::symlink_metadata(&name).is_ok_and(|about| about.is_symlink())
    {
        // The target of a link is relative to the link's directory.
        name = directory_of(&name).join(fs::read_link(&name)?);
        names.push(name.clone());
    }
    Ok(names)
}

//! Where the name of an output leads, through whatever links.

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

/// More links than these are taken for a circle, as Linux takes them
/// (`path_resolution(7)`).
const MOST_LINKS: usize = 40;

/// A name and what it leads to.
pub struct Way {
    /// The name itself, then the name that each link gives for the one before.
    pub names: Vec<PathBuf>,
    /// What stands at the end of the way; `None` where nothing does yet.
    pub old: Option<fs::Metadata>,
}

impl Way {
    /// Follows `path` to its end. Fails where nothing can be written there.
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

    /// The file's own name, where no link stands any more.
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

/// The directory that a name stands in.
pub fn directory_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// The names on the way, one more than `MOST_LINKS` where it has no end.
fn names(path: &Path) -> io::Result<Vec<PathBuf>> {
    let mut names = vec![path.to_owned()];
    let mut name = path.to_owned();
    while names.len() <= MOST_LINKS
        && fs::symlink_metadata(&name).is_ok_and(|about| about.is_symlink())
    {
        // A link's words count from the directory that it stands in.
        name = directory_of(&name).join(fs::read_link(&name)?);
        names.push(name.clone());
    }
    Ok(names)
}

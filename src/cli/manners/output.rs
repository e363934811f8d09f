//! Where output goes: to standard output or to a file.

use super::{
    failure::Failure,
    going_on::Part,
    interruption,
    lines::Lines,
    overwrite_guard::{self, Replaces},
    plain::Plain,
    record_of_progress::Asked,
    talk::say,
    way::{Way, directory_of},
    write_error::{named, write_error},
};
use anyhow::anyhow;
use rakelight::scene::ValueError;
use std::{
    fs::{self, File},
    io::{self, ErrorKind, IsTerminal, Write},
    path::{Path, PathBuf},
};

/// An output. A file is written under a temporary name beside the final one
/// and renamed when it is complete; until then an old file stays as it was.
/// Standard output gets whole lines. A device or named pipe is never replaced.
pub enum Output {
    Standard(Lines),
    File {
        /// The path as given.
        path: PathBuf,
        /// The file it leads to.
        real: PathBuf,
        partial: tempfile::TempPath,
        file: Plain,
        /// What it may replace.
        may: Replaces,
    },
    Device {
        path: PathBuf,
        device: Plain,
    },
    /// A file that a later run can go on with.
    Part(Box<Part>),
}

/// The width in the environment, for a pipe that ends in a terminal.
fn columns() -> Option<usize> {
    let told = std::env::var("COLUMNS").ok()?;
    let told: usize = told.trim().parse().ok()?;
    (20..=1000).contains(&told).then_some(told)
}

impl Output {
    /// Standard output, or the file at `path`, for text.
    pub fn open(path: Option<&Path>) -> Result<Self, Failure> {
        let Some(path) = path.filter(|path| !is_standard(path)) else {
            check_standard()?;
            interruption::watch();
            return Ok(Self::Standard(Lines::new()));
        };
        Self::open_file(path, true, Replaces::Nothing)
    }

    /// The same for a skyline, which may replace an older one.
    pub fn open_skyline(path: Option<&Path>) -> Result<Self, Failure> {
        match path {
            Some(path) if !is_standard(path) => Self::open_file(path, true, Replaces::Skylines),
            _ => Self::open(None),
        }
    }

    /// The site file at `path`, for its own text with something added.
    pub fn open_site(path: &Path) -> Result<Self, Failure> {
        Self::open_file(path, false, Replaces::ItsSite)
    }

    /// The file at `path` for bytes that are not text.
    pub fn open_binary(path: &Path) -> Result<Self, Failure> {
        Self::open_file(path, false, Replaces::Nothing)
    }

    /// The file at `path`, for the text that answers what is `asked`; an earlier
    /// run may have begun it.
    pub fn open_to_go_on(path: &Path, asked: Asked, quiet: bool) -> Result<Self, Failure> {
        Ok(Self::Part(Box::new(Part::open(path, asked, quiet)?)))
    }

    /// The part of a file that is done, if a later run can go on with it.
    pub fn part(&self) -> Option<&Part> {
        match self {
            Self::Part(part) => Some(part),
            _ => None,
        }
    }

    fn open_file(path: &Path, text: bool, may: Replaces) -> Result<Self, Failure> {
        let refuse = |error: &io::Error| Failure::Reported(write_error(path, error));
        let way = judged(path, may)?;
        if way.old.as_ref().is_some_and(|old| !old.is_file()) {
            let device = File::options().write(true).open(path);
            return Ok(Self::Device {
                path: path.to_owned(),
                device: Plain::new(device.map_err(|error| refuse(&error))?, text),
            });
        }
        // A link stays a link: the file it leads to is replaced.
        let real = way.real();
        // No interruption may come between making the file and noting it.
        interruption::watch();
        let mut under_way = interruption::held_back();
        let (file, partial) = usual_permissions(tempfile::Builder::new().prefix(".rakelight-"))
            .tempfile_in(directory_of(&real))
            .map_err(|error| refuse(&error))?
            .into_parts();
        under_way.add(&partial, path);
        drop(under_way);
        if let Some(old) = way.old {
            // It does no harm if this fails.
            let _ = file.set_permissions(old.permissions());
        }
        Ok(Self::File {
            path: path.to_owned(),
            real,
            partial,
            file: Plain::new(file, text),
            may,
        })
    }

    /// Says that a document is written, which `closing` ends behind each of its
    /// parts: an interruption leaves a document.
    pub fn closes_with(&mut self, closing: String) {
        if let Self::Standard(out) = self {
            out.closes_with(closing);
        }
    }

    /// Says that a part of the document is complete.
    pub fn part_done(&mut self) -> io::Result<()> {
        match self {
            Self::Standard(out) => out.part_done(),
            Self::File { .. } | Self::Device { .. } | Self::Part(_) => Ok(()),
        }
    }

    /// Lets whoever reads the output have what is whole. A file is read when it
    /// is complete.
    pub fn pass_on(&mut self) -> io::Result<()> {
        match self {
            Self::Standard(out) => out.pass_on(),
            Self::File { .. } => Ok(()),
            Self::Device { .. } => self.flush(),
            Self::Part(part) => part.pass_on(),
        }
    }

    /// Ends a document early, if a part of it has gone out.
    pub fn stop(&mut self, closing: &str) -> io::Result<()> {
        match self {
            Self::Standard(out) => out.stop(closing),
            // It is not given its name.
            Self::File { .. } | Self::Part(_) => Ok(()),
            Self::Device { .. } => {
                self.write_all(closing.as_bytes())?;
                self.flush()
            }
        }
    }

    /// Whether the output goes to a terminal.
    pub fn is_terminal(&self) -> bool {
        matches!(self, Self::Standard(_)) && io::stdout().is_terminal()
    }

    /// Columns that a table may use.
    pub fn width(&self) -> usize {
        const PIPE: usize = 80;
        match self {
            Self::Standard(_) => {
                let terminal = terminal_size::terminal_size();
                let terminal = terminal.map(|(width, _)| usize::from(width.0));
                terminal.or_else(columns).unwrap_or(PIPE)
            }
            Self::File { .. } | Self::Device { .. } | Self::Part(_) => PIPE,
        }
    }

    /// Ends an output to which everything is written; a file gets its name.
    pub fn finish(self) -> Result<(), Failure> {
        self.written()?.put()
    }

    /// Ends an output that is worth nothing: a file is as it was before, and a
    /// message says so unless nobody wants to read it.
    pub fn give_up(self, quiet: bool) -> Result<(), Failure> {
        let (path, real, partial) = match self {
            Self::File {
                path,
                real,
                partial,
                ..
            } => (path, real, partial),
            Self::Part(part) => {
                part.give_up(quiet);
                return Ok(());
            }
            _ => return self.finish(),
        };
        let mut under_way = interruption::held_back();
        under_way.forget(&partial);
        // Nobody needs it, so it does no harm if it stays.
        let _ = partial.close();
        drop(under_way);
        if !quiet {
            let left = interruption::as_it_was(&path, real.exists());
            say(&format!("rakelight: {left}"));
        }
        Ok(())
    }

    /// Ends an output to which everything is written, so that it is on the disk;
    /// a file does not have its name yet.
    pub fn written(self) -> Result<Written, Failure> {
        match self {
            Self::Standard(mut out) => {
                out.finish()?;
                Ok(Written(None))
            }
            Self::Device { path, mut device } => {
                device.flush().map_err(|error| named(&path, &error))?;
                Ok(Written(None))
            }
            Self::Part(part) => {
                part.finish()?;
                Ok(Written(None))
            }
            Self::File {
                path,
                real,
                partial,
                file,
                may,
            } => {
                let refuse = |error: &io::Error| Failure::Reported(write_error(&path, error));
                let file = file.into_inner().map_err(|error| refuse(&error))?;
                file.sync_all().map_err(|error| refuse(&error))?;
                // Some systems only rename a file that is closed.
                drop(file);
                Ok(Written(Some(Nameless {
                    path,
                    real,
                    partial,
                    may,
                })))
            }
        }
    }
}

/// An output that is completely written; a file does not have its name yet.
pub struct Written(Option<Nameless>);

struct Nameless {
    path: PathBuf,
    real: PathBuf,
    partial: tempfile::TempPath,
    may: Replaces,
}

impl Written {
    /// Gives a file its name.
    pub fn put(self) -> Result<(), Failure> {
        let Some(Nameless {
            path,
            real,
            partial,
            may,
        }) = self.0
        else {
            return Ok(());
        };
        // Check again: a long table may have named this file since, or the path
        // may lead elsewhere now.
        judged(&path, may)?;
        overwrite_guard::check(&path, std::slice::from_ref(&real), may)?;
        let mut under_way = interruption::held_back();
        let grown = partial.to_path_buf();
        partial
            .persist(&real)
            .map_err(|error| Failure::Reported(write_error(&path, &error.error)))?;
        under_way.forget(&grown);
        Ok(())
    }
}

/// Follows a path and checks that it may be written to: it does not lead to a
/// directory or a file to keep, and this user may write to it.
pub(super) fn judged(path: &Path, may: Replaces) -> Result<Way, Failure> {
    let refuse = |error: &io::Error| Failure::Reported(write_error(path, error));
    let way = Way::of(path)?;
    let Some(old) = &way.old else {
        return Ok(way);
    };
    if old.is_dir() {
        return Err(refuse(&ErrorKind::IsADirectory.into()));
    }
    if old.is_file() {
        overwrite_guard::check(path, &way.names, may)?;
        if old.permissions().readonly() {
            return Err(refuse(&ErrorKind::PermissionDenied.into()));
        }
        // Write access to the directory alone would allow replacing another
        // user's file.
        File::options()
            .write(true)
            .open(path)
            .map_err(|error| refuse(&error))?;
    }
    Ok(way)
}

/// Fails if standard output is open for reading only: the standard library
/// reports no error for writes to it.
#[cfg(unix)]
pub fn check_standard() -> Result<(), Failure> {
    use std::os::fd::AsFd;
    /// The number is the same on every Unix (`errno(3)`, EBADF).
    const NOT_FOR_WRITING: i32 = 9;
    let Ok(output) = io::stdout().as_fd().try_clone_to_owned() else {
        return Ok(());
    };
    match File::from(output).write(&[]) {
        Err(error) if error.raw_os_error() == Some(NOT_FOR_WRITING) => {
            let error = ValueError::new("one that is open for reading only", "a place to write to")
                .with_remedy("send it elsewhere (> FILE)");
            Err(Failure::Reported(anyhow!("standard output: {error}")))
        }
        _ => Ok(()),
    }
}

#[cfg(not(unix))]
pub fn check_standard() -> Result<(), Failure> {
    Ok(())
}

/// Whether a name after `-o` means standard output; `./-` is a file.
pub fn is_standard(path: &Path) -> bool {
    path == Path::new("-")
}

/// Gives a temporary file, which only its owner could read, ordinary
/// permissions.
#[cfg(unix)]
fn usual_permissions<'a, 'b>(
    builder: &'a mut tempfile::Builder<'b, 'b>,
) -> &'a mut tempfile::Builder<'b, 'b> {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual_permissions<'a, 'b>(
    builder: &'a mut tempfile::Builder<'b, 'b>,
) -> &'a mut tempfile::Builder<'b, 'b> {
    builder
}

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self {
            Self::Standard(out) => out.write(bytes),
            Self::File { path, file, .. } => file.write(bytes).map_err(|error| named(path, &error)),
            Self::Device { path, device } => {
                device.write(bytes).map_err(|error| named(path, &error))
            }
            Self::Part(part) => part.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match self {
            Self::Standard(out) => out.flush(),
            Self::File { path, file, .. } => file.flush().map_err(|error| named(path, &error)),
            Self::Device { path, device } => device.flush().map_err(|error| named(path, &error)),
            Self::Part(part) => part.flush(),
        }
    }
}

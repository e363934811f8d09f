//! Where output goes: data to standard output or a file, talk to standard
//! error.

use super::failure::Failure;
use anyhow::Context;
use std::{
    io::{self, BufWriter, Write},
    path::{Path, PathBuf},
};

/// Data's way out. A file is written beside its name and put there whole at
/// the end; until then an old file stays as it was.
pub enum Output {
    Standard(BufWriter<anstream::AutoStream<io::StdoutLock<'static>>>),
    File {
        path: PathBuf,
        partial: BufWriter<tempfile::NamedTempFile>,
    },
}

impl Output {
    /// Standard output, or the file at `path`.
    pub fn open(path: Option<&Path>) -> Result<Self, Failure> {
        let Some(path) = path else {
            let stream = anstream::AutoStream::auto(io::stdout().lock());
            return Ok(Self::Standard(BufWriter::with_capacity(1 << 16, stream)));
        };
        let directory = match path.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        let partial = tempfile::Builder::new()
            .prefix(".rakelight-")
            .tempfile_in(directory)
            .with_context(|| format!("cannot write in {}", directory.display()))?;
        Ok(Self::File {
            path: path.to_owned(),
            partial: BufWriter::with_capacity(1 << 16, partial),
        })
    }

    /// Columns a table may take.
    pub fn width(&self) -> usize {
        const PIPE: usize = 80;
        match self {
            Self::Standard(_) => {
                terminal_size::terminal_size().map_or(PIPE, |(width, _)| usize::from(width.0))
            }
            Self::File { .. } => PIPE,
        }
    }

    /// Everything is written: hand it over.
    pub fn finish(self) -> Result<(), Failure> {
        match self {
            Self::Standard(mut out) => Ok(out.flush()?),
            Self::File { path, partial } => {
                let whole = partial
                    .into_inner()
                    .map_err(|error| error.into_error())
                    .with_context(|| format!("cannot write {}", path.display()))?;
                whole
                    .as_file()
                    .sync_all()
                    .with_context(|| format!("cannot write {}", path.display()))?;
                keep_usual_permissions(whole.as_file());
                whole
                    .persist(&path)
                    .map_err(|error| error.error)
                    .with_context(|| format!("cannot write {}", path.display()))?;
                Ok(())
            }
        }
    }
}

/// A temporary file is its owner's alone; the result is an ordinary file.
#[cfg(unix)]
fn keep_usual_permissions(file: &std::fs::File) {
    use std::os::unix::fs::PermissionsExt;
    // Failing to widen them loses nothing.
    let _ = file.set_permissions(std::fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn keep_usual_permissions(_: &std::fs::File) {}

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self {
            Self::Standard(out) => out.write(bytes),
            Self::File { partial, .. } => partial.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match self {
            Self::Standard(out) => out.flush(),
            Self::File { partial, .. } => partial.flush(),
        }
    }
}

/// A line to standard error. Nobody is left to tell where that fails.
pub fn say(line: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{line}");
}

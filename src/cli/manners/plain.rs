//! A file without terminal styles.

use super::{lines::GATHERED, unstyled::is_unstyled};
use anstream::{ColorChoice, adapter::StripBytes};
use std::{
    fs::File,
    io::{self, BufWriter, IntoInnerError, Write},
};

/// A file without terminal styles: they are stripped from text unless they were
/// asked for.
pub struct Plain<F: Write = File> {
    file: BufWriter<F>,
    strip: Option<StripBytes>,
    /// Whether there has been none to strip.
    is_unstyled: bool,
}

impl<F: Write> Plain<F> {
    pub fn new(file: F, text: bool) -> Self {
        let wanted = anstream::ColorChoice::global();
        let strip = text && !matches!(wanted, ColorChoice::Always | ColorChoice::AlwaysAnsi);
        Self {
            file: BufWriter::with_capacity(GATHERED, file),
            strip: strip.then(StripBytes::new),
            is_unstyled: true,
        }
    }

    /// The file; what is collected is not in it yet.
    pub fn inner(&self) -> &F {
        self.file.get_ref()
    }

    /// Writes what is collected and gives the file.
    pub fn into_inner(self) -> io::Result<F> {
        self.file.into_inner().map_err(IntoInnerError::into_error)
    }
}

impl<F: Write> Write for Plain<F> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.is_unstyled = self.is_unstyled && is_unstyled(bytes);
        match &mut self.strip {
            _ if self.is_unstyled => self.file.write_all(bytes)?,
            None => self.file.write_all(bytes)?,
            Some(strip) => {
                for part in strip.strip_next(bytes) {
                    self.file.write_all(part)?;
                }
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

//! A file without terminal styles.

use super::{lines::GATHERED, unstyled::is_unstyled};
use anstream::{ColorChoice, adapter::StripBytes};
use std::{
    fs::File,
    io::{self, BufWriter, IntoInnerError, Write},
};

/// A file without terminal styles: they are stripped from text unless they were
/// asked for.
pub struct Plain {
    file: BufWriter<File>,
    strip: Option<StripBytes>,
    /// Whether there has been none to strip.
    is_unstyled: bool,
}

impl Plain {
    pub fn new(file: File, text: bool) -> Self {
        let wanted = anstream::ColorChoice::global();
        let strip = text && !matches!(wanted, ColorChoice::Always | ColorChoice::AlwaysAnsi);
        Self {
            file: BufWriter::with_capacity(GATHERED, file),
            strip: strip.then(StripBytes::new),
            is_unstyled: true,
        }
    }

    /// Writes what is collected and gives the file.
    pub fn into_file(self) -> io::Result<File> {
        self.file.into_inner().map_err(IntoInnerError::into_error)
    }
}

impl Write for Plain {
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

//! Standard output, in whole lines or in whole parts of a document.

use super::{interruption, unstyled::is_unstyled};
use std::io::{self, Write};

/// Bytes collected before they are written.
pub const GATHERED: usize = 1 << 16;

/// Standard output, written to in whole lines, or in whole parts of a document.
pub struct Lines {
    stream: anstream::AutoStream<io::StdoutLock<'static>>,
    /// The same, for text without terminal styles.
    unstyled: io::StdoutLock<'static>,
    /// Whether there have been no others.
    is_unstyled: bool,
    gathered: Vec<u8>,
    /// How much of that is whole, if it is a document.
    parts: usize,
    /// What ends the document behind a part.
    closing: Option<String>,
    /// Whether something has gone out.
    is_out: bool,
}

impl Lines {
    pub fn new() -> Self {
        Self {
            stream: anstream::AutoStream::auto(io::stdout().lock()),
            unstyled: io::stdout().lock(),
            is_unstyled: true,
            gathered: Vec::with_capacity(GATHERED),
            parts: 0,
            closing: None,
            is_out: false,
        }
    }

    /// From now on a document is written, which `closing` ends behind each part.
    pub fn closes_with(&mut self, closing: String) {
        self.closing = Some(closing);
    }

    /// A part of the document is complete.
    pub fn part_done(&mut self) -> io::Result<()> {
        self.parts = self.gathered.len();
        match self.parts {
            GATHERED.. => self.pass_on(),
            _ => Ok(()),
        }
    }

    /// Writes what is whole.
    pub fn pass_on(&mut self) -> io::Result<()> {
        let whole = match self.closing {
            Some(_) => self.parts,
            None => {
                let end = self.gathered.iter().rposition(|byte| *byte == b'\n');
                end.map_or(0, |end| end + 1)
            }
        };
        match whole {
            0 => Ok(()),
            _ => self.write_gathered(whole),
        }
    }

    /// Ends a document early with `closing`, if a part of it has gone out; else
    /// nothing is written.
    pub fn stop(&mut self, closing: &str) -> io::Result<()> {
        if !self.is_out {
            return Ok(());
        }
        self.gathered.truncate(self.parts);
        self.gathered.extend_from_slice(closing.as_bytes());
        self.finish()
    }

    /// Writes everything: nothing more comes.
    pub fn finish(&mut self) -> io::Result<()> {
        self.closing = None;
        self.write_gathered(self.gathered.len())
    }

    /// Writes the first `length` bytes collected.
    fn write_gathered(&mut self, length: usize) -> io::Result<()> {
        let Some(bytes) = self.gathered.get(..length) else {
            return Ok(());
        };
        let mut under_way = interruption::held_back();
        self.is_unstyled = self.is_unstyled && is_unstyled(bytes);
        let stream: &mut dyn Write = match self.is_unstyled {
            true => &mut self.unstyled,
            false => &mut self.stream,
        };
        let written = stream.write_all(bytes).and_then(|()| stream.flush());
        self.gathered.drain(..length);
        self.parts = 0;
        self.is_out |= length > 0;
        // An interruption comes behind what is written now.
        under_way.close_with(self.closing.clone());
        written
    }
}

impl Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.gathered.extend_from_slice(bytes);
        if self.closing.is_none() && self.gathered.len() >= GATHERED {
            self.pass_on()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.write_gathered(self.gathered.len())
    }
}

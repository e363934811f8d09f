//! Bytes of a file with their line numbers, never more than may be taken.

use super::fault::not_utf8;
use crate::plain_words::system_words;
use crate::scene::ValueError;
use std::io::{self, BufRead, BufReader, Read};

/// The fault of a file whose bytes cannot be had.
pub(super) fn cannot_read(error: &io::Error) -> ValueError {
    ValueError::new(&system_words(error), "a file that can be read").with_remedy("check the disk")
}

/// Passes bytes on, counts their lines, and never gives more than its
/// allowance.
pub(super) struct Metered<R> {
    inner: BufReader<R>,
    pub allowance: usize,
    /// The line of the next byte, from 1.
    pub line: usize,
    /// The last bytes of a buffer that began the file, put before the others.
    first: Vec<u8>,
}

impl<R: Read> Metered<R> {
    pub fn new(inner: R) -> Self {
        Self {
            inner: BufReader::new(inner),
            allowance: usize::MAX,
            line: 1,
            first: Vec::new(),
        }
    }

    /// Looks at the first bytes, which a pipe need not deliver at once. A byte
    /// order mark of UTF-8 is dropped.
    ///
    /// # Errors
    ///
    /// A packed file, and text in UTF-16, with a mark or without.
    pub fn begin(&mut self, expected: &str) -> Result<(), ValueError> {
        let mut start = Vec::new();
        let four = Read::by_ref(&mut self.inner)
            .take(4)
            .read_to_end(&mut start);
        four.map_err(|error| cannot_read(&error))?;
        if start.starts_with(b"PK\x03\x04") {
            return Err(ValueError::new("a packed file", expected)
                .with_remedy("unpack it first, with unzip, and give the file in it"));
        }
        let wide = [
            &b"\xff\xfe"[..],
            b"\xfe\xff",
            b"<\0",
            b"\0<",
            b"{\0",
            b"\0{",
        ];
        if wide.iter().any(|sign| start.starts_with(sign)) {
            return Err(not_utf8(b"\xff\xfe"));
        }
        let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&start);
        self.first = text.to_vec();
        Ok(())
    }
}

impl<R: Read> Read for Metered<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let ready = self.fill_buf()?;
        let count = ready.len().min(out.len());
        for (to, from) in out.iter_mut().zip(ready) {
            *to = *from;
        }
        self.consume(count);
        Ok(count)
    }
}

impl<R: Read> BufRead for Metered<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        if self.allowance == 0 {
            return Err(io::Error::other("a piece is too long"));
        }
        let ready = match self.first.is_empty() {
            true => self.inner.fill_buf()?,
            false => &self.first,
        };
        Ok(ready.get(..self.allowance).unwrap_or(ready))
    }

    fn consume(&mut self, count: usize) {
        let breaks = |bytes: &[u8]| bytes.iter().filter(|byte| **byte == b'\n').count();
        self.allowance = self.allowance.saturating_sub(count);
        if self.first.is_empty() {
            let given = self.inner.buffer().get(..count).unwrap_or_default();
            self.line += breaks(given);
            self.inner.consume(count);
        } else {
            let count = count.min(self.first.len());
            self.line += breaks(self.first.get(..count).unwrap_or_default());
            self.first.drain(..count);
        }
    }
}

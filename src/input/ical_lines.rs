//! The content lines of an iCalendar file (RFC 5545, section 3.1), one at a
//! time and never more than a bounded part of one in memory.

use std::io::{self, BufRead, BufReader, Read};

/// Longer values, such as a picture in a line, are cut: no value that is read
/// is so long.
const LONGEST_LINE_BYTES: usize = 64 << 10;
/// No more of a file is read.
pub(super) const LARGEST_FILE_BYTES: u64 = 16 << 20;

/// A content line, unfolded.
pub(super) struct ContentLine {
    /// The line of the file on which it begins, from 1.
    pub line: usize,
    /// Its bytes without the line end, cut where it is too long.
    pub bytes: Vec<u8>,
}

/// Reads content lines.
pub(super) struct ContentLines<R> {
    inner: BufReader<io::Take<R>>,
    /// Line breaks read so far.
    lines: usize,
}

impl<R: Read> ContentLines<R> {
    pub fn new(inner: R) -> Self {
        Self {
            inner: BufReader::new(inner.take(LARGEST_FILE_BYTES + 1)),
            lines: 0,
        }
    }

    /// Whether the file goes on behind what may be read of it.
    pub fn is_too_long(&self) -> bool {
        self.inner.get_ref().limit() == 0
    }

    /// The next line that is not empty; `None` at the end of the file.
    pub fn next_line(&mut self) -> io::Result<Option<ContentLine>> {
        loop {
            let line = self.lines + 1;
            let mut bytes = Vec::new();
            if !self.physical(&mut bytes)? {
                return Ok(None);
            }
            // A blank or a tab at its start continues the line before.
            while matches!(self.peek()?, Some(b' ' | b'\t')) {
                self.inner.consume(1);
                self.physical(&mut bytes)?;
            }
            let blank = bytes.iter().all(u8::is_ascii_whitespace);
            if !blank {
                return Ok(Some(ContentLine { line, bytes }));
            }
        }
    }

    fn peek(&mut self) -> io::Result<Option<u8>> {
        Ok(self.inner.fill_buf()?.first().copied())
    }

    /// Adds one line of the file without its end; `false` at the end of the
    /// file.
    fn physical(&mut self, to: &mut Vec<u8>) -> io::Result<bool> {
        let mut any = false;
        loop {
            let chunk = self.inner.fill_buf()?;
            if chunk.is_empty() {
                if any {
                    self.lines += 1;
                }
                return Ok(any);
            }
            any = true;
            let end = chunk.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
            let text = chunk.get(..end.unwrap_or(chunk.len())).unwrap_or_default();
            let room = LONGEST_LINE_BYTES.saturating_sub(to.len());
            to.extend(text.iter().take(room));
            let length = text.len();
            let at_return = end.and_then(|end| chunk.get(end)) == Some(&b'\r');
            self.inner.consume(length + usize::from(end.is_some()));
            if end.is_none() {
                continue;
            }
            self.lines += 1;
            if at_return && self.peek()? == Some(b'\n') {
                self.inner.consume(1);
            }
            return Ok(true);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &[u8]) -> Vec<String> {
        let mut lines = ContentLines::new(text);
        let mut seen = Vec::new();
        while let Some(line) = lines.next_line().expect("memory can be read") {
            let text = String::from_utf8_lossy(&line.bytes).into_owned();
            seen.push(format!("{} {text}", line.line));
        }
        seen
    }

    #[test]
    fn folded_lines_are_joined_whatever_their_ends() {
        for text in [
            "BEGIN:A\r\nX:on\r\n e\r\n\t two\r\n\r\nEND:A",
            "BEGIN:A\nX:on\n e\n\t two\n\nEND:A\n",
            "BEGIN:A\rX:on\r e\r\t two\r\rEND:A\r",
        ] {
            assert_eq!(
                lines(text.as_bytes()),
                ["1 BEGIN:A", "2 X:one two", "6 END:A"]
            );
        }
        assert_eq!(lines(b""), [] as [&str; 0]);
    }

    #[test]
    fn an_endless_line_takes_little_room() {
        let mut lines = ContentLines::new(io::repeat(b'x'));
        let line = lines.next_line().expect("a line").expect("a line");
        assert_eq!(line.bytes.len(), LONGEST_LINE_BYTES);
        assert!(lines.is_too_long());
    }
}

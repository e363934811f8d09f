//! The bytes of a table as the parser of its rows needs them, whatever program
//! saved it.

use super::csv_head::Head;
use std::io::{self, BufRead, BufReader, Read};

/// No row may be longer; without a limit an unclosed quotation mark would read
/// the rest of a file of any size into memory.
pub(super) const LONGEST_ROW_BYTES: usize = 1 << 20;
/// Added after the last line: if it comes back at the end of a field, that
/// field's quotation mark was never closed. No text contains it, since it is
/// not UTF-8.
pub(super) const END_MARK: &[u8] = b"\xff\xfe end of the file \xff\xfe";
/// Stands for what is no character in UTF-16; it is none in UTF-8 either.
const NO_CHARACTER: u8 = 0xff;
/// The bytes that tell how a text is encoded: a byte order mark has two or
/// three, and a pipe need not deliver them in one piece.
const MARK_BYTES: usize = 4;

/// Passes text on in UTF-8 without a byte order mark, with a bare line feed
/// after every line, the last one too, so that lines can be counted, then the
/// end mark; never more than the allowance.
pub(super) struct Lines<R> {
    inner: BufReader<R>,
    ready: Vec<u8>,
    given: usize,
    pub allowance: usize,
    encoding: Encoding,
    /// Bytes that are not decoded yet.
    held: Vec<u8>,
    /// A carriage return whose line feed may follow.
    held_return: bool,
    last: u8,
    ended: bool,
    /// Told once what is ready has been passed on.
    failure: Option<io::Error>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Encoding {
    /// Too few bytes are known.
    Unknown,
    Utf8,
    Utf16LittleEnd,
    Utf16BigEnd,
}

impl<R: Read> Lines<R> {
    pub fn new(inner: R) -> Self {
        Self {
            inner: BufReader::new(inner),
            ready: Vec::new(),
            given: 0,
            allowance: LONGEST_ROW_BYTES,
            encoding: Encoding::Unknown,
            held: Vec::new(),
            held_return: false,
            last: b'\n',
            ended: false,
            failure: None,
        }
    }

    /// Reads the beginning of the table as far as `head` needs it, and takes
    /// out a first line that is no row, but not its end.
    pub fn look_ahead(&mut self, head: &mut Head) {
        let mut seen = 0;
        while !head.is_over() && seen < LONGEST_ROW_BYTES {
            match self.more() {
                Ok(()) => {}
                Err(error) => {
                    self.failure = Some(error);
                    break;
                }
            }
            for byte in self.ready.iter().skip(seen) {
                head.take(*byte);
                seen += 1;
                if head.is_over() {
                    break;
                }
            }
            if self.ended {
                break;
            }
        }
        if let Some(length) = head.to_skip() {
            self.ready.drain(..length.min(self.ready.len()));
        }
    }

    /// The bytes that are ready.
    pub fn beginning(&self) -> &[u8] {
        &self.ready
    }

    /// Whether the text is in UTF-16.
    pub fn is_utf16(&self) -> bool {
        matches!(
            self.encoding,
            Encoding::Utf16LittleEnd | Encoding::Utf16BigEnd
        )
    }

    /// Makes the next bytes ready; there are none at the end of the file.
    fn refill(&mut self) -> io::Result<()> {
        self.ready.clear();
        self.given = 0;
        while self.ready.is_empty() && !self.ended {
            self.more()?;
        }
        Ok(())
    }

    /// Reads a piece of the file.
    fn more(&mut self) -> io::Result<()> {
        if self.ended {
            return Ok(());
        }
        let chunk = self.inner.fill_buf()?;
        let length = chunk.len();
        if length == 0 {
            self.end();
            return Ok(());
        }
        // The usual case copies no byte twice.
        if self.encoding == Encoding::Utf8 {
            if self.held_return || chunk.contains(&b'\r') {
                for byte in chunk {
                    push(&mut self.ready, &mut self.held_return, *byte);
                }
            } else {
                self.ready.extend_from_slice(chunk);
            }
            self.last = self.ready.last().copied().unwrap_or(self.last);
        } else {
            self.held.extend_from_slice(chunk);
        }
        self.inner.consume(length);
        self.decode(false);
        Ok(())
    }

    fn end(&mut self) {
        self.decode(true);
        self.ended = true;
        if self.held_return || self.last != b'\n' {
            self.held_return = false;
            self.ready.push(b'\n');
            self.last = b'\n';
        }
        self.ready.extend(END_MARK);
    }

    /// Passes on what is held, as far as it makes whole characters; `at_end`
    /// whatever is left.
    fn decode(&mut self, at_end: bool) {
        if self.encoding == Encoding::Unknown {
            if self.held.len() < MARK_BYTES && !at_end {
                return;
            }
            let (encoding, mark) = match self.held.as_slice() {
                [0xef, 0xbb, 0xbf, ..] => (Encoding::Utf8, 3),
                [0xff, 0xfe, ..] => (Encoding::Utf16LittleEnd, 2),
                [0xfe, 0xff, ..] => (Encoding::Utf16BigEnd, 2),
                _ => (Encoding::Utf8, 0),
            };
            self.encoding = encoding;
            self.held.drain(..mark);
        }
        let mut put = |byte: u8| push(&mut self.ready, &mut self.held_return, byte);
        match self.encoding {
            Encoding::Unknown => return,
            Encoding::Utf8 => {
                self.held.iter().copied().for_each(&mut put);
                self.held.clear();
            }
            Encoding::Utf16LittleEnd | Encoding::Utf16BigEnd => {
                let unit_of = match self.encoding {
                    Encoding::Utf16BigEnd => u16::from_be_bytes,
                    _ => u16::from_le_bytes,
                };
                // The first half of a pair waits for the second.
                let pairs = self.held.chunks_exact(2);
                let units = pairs.filter_map(|pair| Some(unit_of(pair.try_into().ok()?)));
                let units: Vec<u16> = units.collect();
                let waits = |unit: &u16| !at_end && (0xd800..0xdc00).contains(unit);
                let whole = units.len() - usize::from(units.last().is_some_and(waits));
                for read in char::decode_utf16(units.into_iter().take(whole)) {
                    match read {
                        Ok(character) => {
                            let mut bytes = [0; 4];
                            character.encode_utf8(&mut bytes).bytes().for_each(&mut put);
                        }
                        Err(_) => put(NO_CHARACTER),
                    }
                }
                self.held.drain(..2 * whole);
                if at_end && !self.held.is_empty() {
                    put(NO_CHARACTER);
                }
            }
        }
        self.last = self.ready.last().copied().unwrap_or(self.last);
    }
}

/// Adds a byte to those that are ready, and turns each end of a line into a
/// line feed.
fn push(ready: &mut Vec<u8>, held_return: &mut bool, byte: u8) {
    if *held_return && byte != b'\n' {
        ready.push(b'\n');
    }
    *held_return = byte == b'\r';
    if !*held_return {
        ready.push(byte);
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        if self.allowance == 0 {
            return Err(io::Error::other("a row is too long"));
        }
        if self.given >= self.ready.len() {
            if let Some(failure) = self.failure.take() {
                return Err(failure);
            }
            self.refill()?;
        }
        let waiting = self.ready.get(self.given..).unwrap_or_default();
        let count = waiting.len().min(out.len()).min(self.allowance);
        if let (Some(to), Some(from)) = (out.get_mut(..count), waiting.get(..count)) {
            to.copy_from_slice(from);
        }
        self.given += count;
        self.allowance -= count;
        Ok(count)
    }
}

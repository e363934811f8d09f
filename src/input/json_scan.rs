//! Finds the values of a JSON text one after the other, so that a list of any
//! length never is in memory as a whole.

use super::fault::{Fault, Place, not_utf8};
use super::metered::{Metered, cannot_read};
use crate::scene::ValueError;
use std::io::{BufRead, Read};

/// No feature may be longer: room for the outline of a country.
const LONGEST_VALUE_BYTES: usize = 16 << 20;
/// More than a message shows of what was found.
const SHOWN_BYTES: usize = 200;
/// No name of a member may be longer.
const LONGEST_KEY_BYTES: usize = 1 << 16;

/// Reads a JSON text value by value.
pub(super) struct Scanner<R> {
    file: String,
    bytes: Metered<R>,
}

/// How far a value has been read.
#[derive(Default)]
struct Inside {
    depth: usize,
    in_text: bool,
    escaped: bool,
}

impl Inside {
    /// Takes the next byte; whether it is the last of the value.
    fn ends_with(&mut self, byte: u8) -> bool {
        if self.in_text {
            match byte {
                _ if self.escaped => self.escaped = false,
                b'\\' => self.escaped = true,
                b'"' => self.in_text = false,
                _ => {}
            }
        } else {
            match byte {
                b'"' => self.in_text = true,
                b'{' | b'[' => self.depth = self.depth.saturating_add(1),
                b'}' | b']' => self.depth = self.depth.saturating_sub(1),
                _ => {}
            }
        }
        !self.in_text && self.depth == 0
    }
}

impl<R: Read> Scanner<R> {
    pub fn new(file: &str, reader: R) -> Self {
        Self {
            file: file.to_owned(),
            bytes: Metered::new(reader),
        }
    }

    pub fn file(&self) -> &str {
        &self.file
    }

    /// Refuses what is no UTF-8 text before it is read.
    pub fn begin(&mut self) -> Result<(), Box<Fault>> {
        let begun = self.bytes.begin("GeoJSON as text");
        begun.map_err(|error| self.fault(error))
    }

    fn fault(&self, error: ValueError) -> Box<Fault> {
        Fault::boxed(&self.file, Place::line(self.bytes.line), None, error)
    }

    /// The next byte that is no white space.
    fn peek(&mut self) -> Result<Option<u8>, Box<Fault>> {
        loop {
            self.bytes.allowance = usize::MAX;
            let ready = match self.bytes.fill_buf() {
                Ok(ready) => ready,
                Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(self.fault(cannot_read(&error))),
            };
            if ready.is_empty() {
                return Ok(None);
            }
            let blank = ready
                .iter()
                .take_while(|byte| matches!(byte, b' ' | b'\t' | b'\r' | b'\n'))
                .count();
            let next = ready.get(blank).copied();
            self.bytes.consume(blank);
            if next.is_some() {
                return Ok(next);
            }
        }
    }

    /// Takes this sign if it comes next.
    pub fn takes(&mut self, sign: u8) -> Result<bool, Box<Fault>> {
        let is_next = self.peek()? == Some(sign);
        if is_next {
            self.bytes.consume(1);
        }
        Ok(is_next)
    }

    /// Takes one of these signs, which must come next.
    pub fn sign(&mut self, signs: &[u8], expected: &str) -> Result<u8, Box<Fault>> {
        let next = self.peek()?;
        match next.filter(|next| signs.contains(next)) {
            Some(sign) => {
                self.bytes.consume(1);
                Ok(sign)
            }
            None => Err(self.unexpected(next, expected)),
        }
    }

    fn unexpected(&mut self, next: Option<u8>, expected: &str) -> Box<Fault> {
        let Some(_) = next else {
            let error = ValueError::new("the end of the file", expected)
                .with_remedy("the file is cut off: save or fetch it again");
            return self.fault(error);
        };
        let line = self.bytes.line;
        // A pipe may give it in pieces.
        let mut start = Vec::new();
        while start.len() < SHOWN_BYTES && !start.contains(&b'\n') {
            let ready = self.bytes.fill_buf().unwrap_or_default();
            let count = ready.len().min(SHOWN_BYTES - start.len());
            if count == 0 {
                break;
            }
            start.extend(ready.iter().take(count));
            self.bytes.consume(count);
        }
        let error = ValueError::new(&first_line(&start), expected)
            .with_remedy("look for a comma, a bracket or a quotation mark before it");
        Fault::boxed(&self.file, Place::line(line), None, error)
    }

    /// The name of a member.
    pub fn key(&mut self) -> Result<String, Box<Fault>> {
        let next = self.peek()?;
        if next != Some(b'"') {
            return Err(self.unexpected(next, "a name in quotation marks"));
        }
        let (line, key) = self.read(Some(LONGEST_KEY_BYTES))?;
        serde_json::from_slice(&key).map_err(|error| self.slip(line, &key, &error))
    }

    /// The next value and the line it begins on.
    pub fn value(&mut self) -> Result<(usize, Vec<u8>), Box<Fault>> {
        self.read(Some(LONGEST_VALUE_BYTES))
    }

    /// Passes over the next value, whatever its length.
    pub fn pass_over(&mut self) -> Result<(), Box<Fault>> {
        self.read(None).map(|_| ())
    }

    /// Nothing but white space may follow.
    pub fn end(&mut self) -> Result<(), Box<Fault>> {
        match self.peek()? {
            None => Ok(()),
            next => Err(self.unexpected(next, "the end of the file")),
        }
    }

    /// Reads a value and keeps it if it may have a length.
    fn read(&mut self, longest: Option<usize>) -> Result<(usize, Vec<u8>), Box<Fault>> {
        let first = self.peek()?;
        let is_start = |byte: u8| byte.is_ascii_alphanumeric() || b"{[\"-".contains(&byte);
        let Some(first) = first.filter(|first| is_start(*first)) else {
            return Err(self.unexpected(first, "a value"));
        };
        let line = self.bytes.line;
        let is_word = !b"{[\"".contains(&first);
        let mut inside = Inside::default();
        let mut kept = Vec::new();
        loop {
            let ready = match self.bytes.fill_buf() {
                Ok(ready) => ready,
                Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(self.fault(cannot_read(&error))),
            };
            if ready.is_empty() {
                return match is_word {
                    true => Ok((line, kept)),
                    false => Err(self.unexpected(None, "the end of the value that is open")),
                };
            }
            let length = ready.len();
            let last = match is_word {
                // A word or a number ends before what ends it.
                true => {
                    let ends = |byte: &u8| b",]} \t\r\n:{[\"".contains(byte);
                    ready.iter().position(ends)
                }
                false => {
                    let last = ready.iter().position(|byte| inside.ends_with(*byte));
                    last.map(|last| last + 1)
                }
            };
            let taken = ready.get(..last.unwrap_or(length)).unwrap_or(ready);
            let taken_count = taken.len();
            if let Some(longest) = longest {
                if kept.len() + taken_count > longest {
                    let found = match longest {
                        LONGEST_VALUE_BYTES => "a feature of more than 16 MiB",
                        _ => "a name of more than 64 KiB",
                    };
                    let error = ValueError::new(found, "the features of a map")
                        .with_remedy("look for a quotation mark or a bracket that is not closed");
                    return Err(Fault::boxed(&self.file, Place::line(line), None, error));
                }
                kept.extend_from_slice(taken);
            }
            self.bytes.consume(taken_count);
            if last.is_some() {
                return Ok((line, kept));
            }
        }
    }

    /// The fault of a value that begins on this line and cannot be read.
    pub fn slip(&self, line: usize, json: &[u8], error: &serde_json::Error) -> Box<Fault> {
        let within = error.line().max(1) - 1;
        let place = Place::line(line.saturating_add(within));
        let fault = |error| Fault::boxed(&self.file, place, None, error);
        if std::str::from_utf8(json).is_err() {
            return fault(not_utf8(json));
        }
        let mut lines = json.split(|byte| *byte == b'\n').skip(within);
        let there = lines.next().unwrap_or_default();
        // What has another kind than it should ends there.
        let from = match error.is_data() {
            true => 0,
            false => error.column().saturating_sub(1),
        };
        let found = first_line(there.get(from..).unwrap_or_default());
        fault(if error.is_data() {
            ValueError::new(&found, "the parts of a GeoJSON feature")
                .with_remedy("a geometry is an object with type and coordinates")
        } else {
            ValueError::new(&found, "JSON")
                .with_remedy("look for a comma, a bracket or a quotation mark before it")
        })
    }
}

/// The beginning of a text, at most its line.
fn first_line(bytes: &[u8]) -> String {
    let start = bytes.get(..SHOWN_BYTES).unwrap_or(bytes);
    let text = String::from_utf8_lossy(start);
    text.lines().next().unwrap_or_default().trim().to_owned()
}

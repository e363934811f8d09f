//! The properties of a calendar (RFC 5545), line by line.

use super::fault::{Fault, Faults, Place, not_utf8};
use crate::plain_words::system_words;
use crate::scene::ValueError;
use std::io::{BufRead, BufReader, Read, Take};

/// No calendar may be larger, some forty thousand entries.
pub(super) const LARGEST_BYTES: u64 = 64 << 20;

/// The error for a larger one.
pub(super) fn too_large() -> ValueError {
    let error = ValueError::new("a file of more than 64 MiB", "a calendar");
    error.with_remedy("check that it is the right one")
}

/// The unfolded line of a property.
pub(super) struct Property {
    /// Where it begins.
    pub(super) line: usize,
    /// Without folds.
    pub(super) whole: String,
    /// As it was, its lines ended by CR LF.
    pub(super) text: String,
}

impl Property {
    /// The name, the rest of what is before the value, and the value.
    pub(super) fn parts(&self) -> Option<(&str, &str, &str)> {
        // A colon in quotes belongs to a parameter.
        let mut quoted = false;
        let colon = self.whole.find(|character| {
            quoted ^= character == '"';
            character == ':' && !quoted
        })?;
        let (before, value) = self.whole.split_at(colon);
        let name_ends = before.find(';').unwrap_or(before.len());
        let (name, parameters) = before.split_at(name_ends);
        let is_name = |text: &str| {
            let mut letters = text.bytes();
            !text.is_empty() && letters.all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
        };
        is_name(name).then_some((name, parameters, value.get(1..).unwrap_or_default()))
    }

    /// The name and the value, for the few properties that are looked at.
    pub(super) fn is(&self, wanted: &str) -> Option<&str> {
        let (name, _, value) = self.parts()?;
        name.eq_ignore_ascii_case(wanted).then(|| value.trim_end())
    }

    /// The time zone that its value is in.
    pub(super) fn zone(&self) -> Option<&str> {
        let (_, parameters, _) = self.parts()?;
        let mut parameters = parameters
            .split(';')
            .filter_map(|text| text.split_once('='));
        let (_, zone) = parameters.find(|(name, _)| name.eq_ignore_ascii_case("TZID"))?;
        Some(zone.trim_matches('"')).filter(|zone| !zone.is_empty())
    }
}

/// Reads one property after the other, and no more than a calendar may have.
pub(super) struct ContentReader<'a, R> {
    lines: BufReader<Take<R>>,
    file: &'a str,
    /// How many lines were read.
    line: usize,
    bytes: u64,
    /// The line after a property, which might have belonged to it.
    next: Option<String>,
}

impl<'a, R: Read> ContentReader<'a, R> {
    /// A reader of a text; `file` is its name in errors.
    pub(super) fn new(file: &'a str, text: R) -> Self {
        Self {
            lines: BufReader::new(text.take(LARGEST_BYTES + 1)),
            file,
            line: 0,
            bytes: 0,
            next: None,
        }
    }

    /// How many lines were read.
    pub(super) const fn lines_read(&self) -> usize {
        self.line
    }

    /// The error about the whole text.
    pub(super) fn refused(&self, error: ValueError) -> Faults {
        Fault::of_file(self.file, error).into()
    }

    /// The error about a line, and the property there if that helps.
    pub(super) fn refused_at(&self, line: usize, key: Option<&str>, error: ValueError) -> Faults {
        Fault::at(self.file, Place::line(line.max(1)), key, error).into()
    }

    /// The next line without its end; none at the end of the file.
    fn line(&mut self) -> Result<Option<String>, Faults> {
        if let Some(line) = self.next.take() {
            return Ok(Some(line));
        }
        let mut bytes = Vec::new();
        let read = self.lines.read_until(b'\n', &mut bytes);
        let read = read.map_err(|error| {
            let error = ValueError::new(&system_words(&error), "a calendar");
            self.refused(error.with_remedy("check the disk"))
        })?;
        if read == 0 {
            return Ok(None);
        }
        self.line += 1;
        self.bytes = self.bytes.saturating_add(read as u64);
        if self.bytes > LARGEST_BYTES {
            return Err(self.refused(too_large()));
        }
        let ends = [&b"\n"[..], b"\r"];
        let line = ends.iter().fold(bytes.as_slice(), |line, end| {
            line.strip_suffix(*end).unwrap_or(line)
        });
        let line = String::from_utf8(line.to_vec())
            .map_err(|_| self.refused_at(self.line, None, not_utf8(&bytes)))?;
        let line = match (self.line, line.strip_prefix('\u{feff}')) {
            // Some editors put a byte order mark there.
            (1, Some(rest)) => rest.to_owned(),
            _ => line,
        };
        let is_control = |character: &char| character.is_control() && *character != '\t';
        if let Some(control) = line.chars().find(is_control) {
            let error = ValueError::new(&control.to_string(), "a line of text");
            let error = error.with_remedy("take the control character out");
            return Err(self.refused_at(self.line, None, error));
        }
        Ok(Some(line))
    }

    /// The next property in one piece; empty lines are skipped.
    pub(super) fn property(&mut self) -> Result<Option<Property>, Faults> {
        let first = loop {
            match self.line()? {
                None => return Ok(None),
                Some(line) if line.is_empty() => {}
                Some(line) => break line,
            }
        };
        let mut property = Property {
            line: self.line,
            text: format!("{first}\r\n"),
            whole: first,
        };
        while let Some(line) = self.line()? {
            // RFC 5545, section 3.1.
            let Some(rest) = line.strip_prefix([' ', '\t']) else {
                self.next = Some(line);
                break;
            };
            property.whole.push_str(rest);
            property.text.push_str(&line);
            property.text.push_str("\r\n");
        }
        Ok(Some(property))
    }
}

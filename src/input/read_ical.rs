//! Evenings and periods from iCalendar files (RFC 5545).

use super::fault::{Fault, Faults, Place, not_utf8};
use super::ical_event::Event;
use super::ical_expansion::Expansion;
use super::ical_lines::{ContentLine, ContentLines, LARGEST_FILE_BYTES};
use super::ical_time::IcalTime;
use crate::plain_words::system_words;
use crate::scene::{Calendar, ValueError};
use std::io::Read;

/// No component is inside more others than this.
const DEEPEST: usize = 100;
/// The most events of a file.
const MOST_EVENTS: usize = 100_000;

/// A content line taken apart.
struct Property<'a> {
    name: String,
    parameters: Vec<(String, &'a str)>,
    value: &'a str,
}

/// Reads the events of an iCalendar file: those of whole days as evenings, the
/// others as periods. Events that were cancelled are left out.
///
/// # Errors
///
/// Everything wrong in the file, with its line.
pub(crate) fn read_ical(file: &str, table: impl Read) -> Result<Calendar, Faults> {
    let mut lines = ContentLines::new(table);
    let mut reader = Reader {
        file,
        faults: Faults::default(),
        open: Vec::new(),
        event: None,
        events: Vec::new(),
        begun: false,
    };
    loop {
        match lines.next_line() {
            Ok(Some(line)) => {
                if !reader.take(&line) {
                    break;
                }
            }
            Ok(None) => break,
            Err(error) => {
                let error = ValueError::new(&system_words(&error), "a file that can be read")
                    .with_remedy("check the disk");
                return Err(Fault::of_file(file, error).into());
            }
        }
    }
    if lines.is_too_long() {
        let mib = LARGEST_FILE_BYTES >> 20;
        let error = ValueError::new("a longer file", format!("a calendar of at most {mib} MiB"))
            .with_remedy("export the part of it that is needed");
        return Err(Fault::of_file(file, error).into());
    }
    reader.end()
}

struct Reader<'a> {
    file: &'a str,
    faults: Faults,
    /// The names of the components that are open.
    open: Vec<String>,
    event: Option<Event>,
    events: Vec<Event>,
    begun: bool,
}

impl Reader<'_> {
    fn fault(&mut self, line: usize, key: Option<&str>, error: ValueError) {
        let fault = Fault::at(self.file, Place::line(line), key, error);
        self.faults.extend([fault]);
    }

    /// Takes a line; `false` if reading makes no sense any more.
    fn take(&mut self, line: &ContentLine) -> bool {
        let bytes = line.bytes.strip_prefix(b"\xef\xbb\xbf");
        let bytes = bytes.filter(|_| !self.begun).unwrap_or(&line.bytes);
        let text = String::from_utf8_lossy(bytes);
        let property = Property::parse(&text);
        if !self.begun {
            let is_begin = property.as_ref().is_some_and(|property| {
                property.name == "BEGIN" && property.value.eq_ignore_ascii_case("VCALENDAR")
            });
            if !is_begin {
                let error = match std::str::from_utf8(bytes) {
                    Err(_) => not_utf8(bytes),
                    Ok(text) => ValueError::new(text, "BEGIN:VCALENDAR")
                        .with_remedy("export it as an iCalendar file"),
                };
                self.fault(line.line, None, error);
                return false;
            }
            self.begun = true;
        }
        let Some(property) = property else {
            // Outside of what is read it does no harm.
            if self.event.is_some() {
                let error = ValueError::new(&text, "a line NAME:VALUE")
                    .with_remedy("add a blank before a line that continues another");
                self.fault(line.line, None, error);
            }
            return true;
        };
        match property.name.as_str() {
            "BEGIN" => return self.begin(line.line, property.value),
            "END" => self.close(line.line, property.value),
            _ if self.open.len() == 2 && self.event.is_some() => {
                if std::str::from_utf8(bytes).is_err() && Event::reads(&property.name) {
                    self.fault(line.line, Some(&property.name), not_utf8(bytes));
                    return true;
                }
                let set = self.event.as_mut().map(|event| {
                    event.set(
                        line.line,
                        &property.name,
                        &property.parameters,
                        property.value,
                    )
                });
                if let Some(Err(error)) = set {
                    self.fault(line.line, Some(&property.name), error);
                }
            }
            _ => {}
        }
        true
    }

    fn begin(&mut self, line: usize, name: &str) -> bool {
        if self.open.len() == DEEPEST {
            let error = ValueError::new("one more", format!("at most {DEEPEST} components inside"));
            self.fault(line, Some("BEGIN"), error);
            return false;
        }
        let name = name.trim().to_ascii_uppercase();
        if self.open.len() == 1 && name == "VEVENT" {
            if self.events.len() == MOST_EVENTS {
                let error = ValueError::new("one more", format!("at most {MOST_EVENTS} events"))
                    .with_remedy("export the part of the calendar that is needed");
                self.fault(line, Some("VEVENT"), error);
                return false;
            }
            self.event = Some(Event::at(line));
        }
        self.open.push(name);
        true
    }

    fn close(&mut self, line: usize, name: &str) {
        let name = name.trim().to_ascii_uppercase();
        match self.open.last() {
            Some(open) if *open == name => {
                self.open.pop();
                if self.open.len() == 1
                    && let Some(event) = self.event.take()
                {
                    self.events.push(event);
                }
            }
            open => {
                let expected = match open {
                    Some(open) => format!("END:{open}"),
                    None => "nothing behind the end".to_owned(),
                };
                let error = ValueError::new(&format!("END:{name}"), expected)
                    .with_remedy("export the calendar again");
                self.fault(line, None, error);
                // Each is told once.
                self.open.pop();
                self.event = None;
            }
        }
    }

    fn end(mut self) -> Result<Calendar, Faults> {
        if !self.begun && self.faults.0.is_empty() {
            let error = ValueError::new("", "BEGIN:VCALENDAR")
                .with_remedy("export it as an iCalendar file");
            return Err(Fault::at(self.file, Place::START, None, error).into());
        }
        if self.begun
            && self.faults.0.is_empty()
            && let Some(open) = self.open.last()
        {
            let error = ValueError::new("the end of the file", format!("END:{open}"))
                .with_remedy("export the calendar again: a part is missing");
            let fault = Fault::of_file(self.file, error);
            self.faults.extend([fault]);
        }
        if self.events.is_empty() && self.faults.0.is_empty() {
            let error = ValueError::new("a calendar without an event", "events (VEVENT)")
                .with_remedy("check that it is the right file");
            return Err(Fault::of_file(self.file, error).into());
        }
        let events = std::mem::take(&mut self.events);
        let mut expansion = Expansion::of(&events);
        for event in &events {
            if let Err((line, key, error)) = expansion.add(event) {
                self.fault(line, Some(key), error);
                if expansion.is_full() {
                    break;
                }
            }
        }
        self.faults.0.sort_by_key(|fault| fault.line);
        self.faults.or_value(expansion.calendar())
    }
}

impl<'a> Property<'a> {
    /// `NAME;PARAMETER=VALUE;PARAMETER="VALUE":VALUE`.
    fn parse(text: &'a str) -> Option<Self> {
        let mut quoted = false;
        let mut cuts = Vec::new();
        let mut colon = None;
        for (at, character) in text.char_indices() {
            match character {
                '"' => quoted = !quoted,
                ';' if !quoted => cuts.push(at),
                ':' if !quoted => {
                    colon = Some(at);
                    break;
                }
                _ => {}
            }
        }
        let colon = colon?;
        cuts.push(colon);
        let mut parts = Vec::new();
        let mut from = 0;
        for cut in cuts {
            parts.push(text.get(from..cut)?);
            from = cut + 1;
        }
        let mut parts = parts.into_iter();
        let name = parts.next()?.trim().to_ascii_uppercase();
        let parameters = parts.filter_map(|part| {
            let (name, value) = part.split_once('=')?;
            Some((name.trim().to_ascii_uppercase(), value.trim_matches('"')))
        });
        let is_name = |name: &str| {
            let known = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '_');
            !name.is_empty() && name.chars().all(known)
        };
        is_name(&name).then_some(Self {
            parameters: parameters.collect(),
            name,
            value: text.get(colon + 1..)?.trim(),
        })
    }
}

/// What a value of a property means; used by the events.
pub(super) fn times(
    parameters: &[(String, &str)],
    value: &str,
) -> Result<Vec<IcalTime>, ValueError> {
    value
        .split(',')
        .map(|part| IcalTime::parse(parameters, part.trim()))
        .collect()
}

//! Reading back a calendar (RFC 5545) that is to be brought up to date: its
//! entries stay texts, of which only what says what they are is looked at.

use super::content_lines::{ContentReader, LARGEST_BYTES, Property, too_large};
use super::fault::{Fault, Faults};
use super::opening::open_plain;
use crate::scene::{ValueError, YEARS};
use chrono::{Datelike, NaiveDate};
use std::collections::{BTreeSet, HashSet};
use std::io::Read;
use std::path::Path;

/// The deepest component inside others: an alarm of an entry of a calendar is
/// the third.
const DEEPEST: usize = 8;
/// The highest `SEQUENCE` that another can still follow (RFC 5545, section
/// 3.3.8: an integer of 32 bits).
const LAST_SEQUENCE: u32 = 2_147_483_646;
/// What is expected where there is no calendar.
const A_CALENDAR: &str = "a calendar (a line BEGIN:VCALENDAR, its entries, END:VCALENDAR)";

/// A calendar as it was written before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct OldCalendar {
    /// Its own properties that are no matter of form, such as a name that
    /// somebody gave it; lines with their ends.
    pub properties: String,
    /// Its entries, in order.
    pub entries: Vec<OldEntry>,
    /// The clocks of its time zones: the name and the text of each.
    pub zones: Vec<(String, String)>,
    /// Its other components, which are not looked at.
    pub others: Vec<String>,
}

/// An entry (`VEVENT`) of a calendar.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct OldEntry {
    /// What identifies it.
    pub uid: String,
    /// How often it was changed.
    pub sequence: u32,
    /// Whether it was cancelled.
    pub is_cancelled: bool,
    /// The date of its start, if it can be read.
    pub starts_on: Option<NaiveDate>,
    /// The time zones that its times are in.
    pub zones: BTreeSet<String>,
    /// Its lines, from `BEGIN` to `END`, each ended by CR LF, folded as they were.
    pub text: String,
    /// Whether it stands for one time of an entry that repeats.
    repeats: bool,
}

/// The calendar in the file at `path`.
///
/// # Errors
///
/// A file that can't be read, is too large, or is not a whole calendar.
pub fn read_old_calendar_file(path: &Path) -> Result<OldCalendar, Faults> {
    let file = open_plain(path, "a calendar")?;
    let name = path.display().to_string();
    if file
        .metadata()
        .is_ok_and(|about| about.len() > LARGEST_BYTES)
    {
        return Err(Fault::of_file(&name, too_large()).into());
    }
    read_old_calendar(&name, file)
}

/// The calendar in a text from anywhere; `file` is its name in errors. It is
/// read line by line, and no more than 64 MiB of it.
///
/// # Errors
///
/// What is not a whole calendar, or can't be read.
pub fn read_old_calendar(file: &str, text: impl Read) -> Result<OldCalendar, Faults> {
    let lines = ContentReader::new(file, text);
    CalendarReader { lines }.calendar()
}

struct CalendarReader<'a, R> {
    lines: ContentReader<'a, R>,
}

impl<R: Read> CalendarReader<'_, R> {
    fn calendar(&mut self) -> Result<OldCalendar, Faults> {
        let first = self.lines.property()?;
        let Some(first) = first else {
            let error = ValueError::new("", A_CALENDAR);
            return Err(self.lines.refused(error.with_remedy(OTHER_FILE)));
        };
        if !first.is("BEGIN").is_some_and(|what| is(what, "VCALENDAR")) {
            let error = ValueError::new(&first.whole, A_CALENDAR).with_remedy(OTHER_FILE);
            return Err(self.lines.refused_at(first.line, None, error));
        }
        let mut calendar = OldCalendar::default();
        let mut uids = HashSet::new();
        loop {
            let property = self.inside("VCALENDAR")?;
            if let Some(what) = property.is("END") {
                self.check_end(&property, what, "VCALENDAR")?;
                break;
            }
            let Some(what) = property.is("BEGIN") else {
                let form = ["VERSION", "PRODID", "CALSCALE", "METHOD"];
                if !form.iter().any(|name| property.is(name).is_some()) {
                    self.check(&property)?;
                    calendar.properties.push_str(&property.text);
                }
                continue;
            };
            let (kind, line) = (what.to_ascii_uppercase(), property.line);
            let component = self.component(property)?;
            match kind.as_str() {
                "VEVENT" => {
                    let entry = self.entry(line, &component)?;
                    if !entry.repeats && !uids.insert(entry.uid.clone()) {
                        let found = format!("UID {} again", entry.uid);
                        let error = ValueError::new(&found, "each UID once");
                        return Err(self.lines.refused_at(
                            line,
                            None,
                            error.with_remedy("keep one of the two"),
                        ));
                    }
                    calendar.entries.push(entry);
                }
                "VTIMEZONE" => {
                    let name = component.iter().find_map(|property| property.is("TZID"));
                    let name = name.unwrap_or_default().to_owned();
                    calendar.zones.push((name, joined(&component)));
                }
                _ => calendar.others.push(joined(&component)),
            }
        }
        if let Some(after) = self.lines.property()? {
            let error = ValueError::new(&after.whole, "nothing after END:VCALENDAR");
            let error = error.with_remedy("give a file with one calendar");
            return Err(self.lines.refused_at(after.line, None, error));
        }
        Ok(calendar)
    }

    /// The next property of a component that is open.
    fn inside(&mut self, component: &str) -> Result<Property, Faults> {
        let property = self.lines.property()?;
        property.ok_or_else(|| {
            let error = ValueError::new("the end of the file", format!("END:{component}"));
            let error = error.with_remedy("it was cut off: give a whole one");
            self.lines.refused_at(self.lines.lines_read(), None, error)
        })
    }

    fn check(&self, property: &Property) -> Result<(), Faults> {
        match property.parts() {
            Some(_) => Ok(()),
            None => {
                let error = ValueError::new(&property.whole, "a line NAME:VALUE");
                let error = error.with_remedy("give the file as it was written");
                Err(self.lines.refused_at(property.line, None, error))
            }
        }
    }

    fn check_end(&self, property: &Property, what: &str, open: &str) -> Result<(), Faults> {
        if is(what, open) {
            return Ok(());
        }
        let error = ValueError::new(&property.whole, format!("END:{open}"));
        let error = error.with_remedy("give the file as it was written");
        Err(self.lines.refused_at(property.line, None, error))
    }

    /// The properties of a component, those of components in it too, from its
    /// `BEGIN` to its `END`.
    fn component(&mut self, begin: Property) -> Result<Vec<Property>, Faults> {
        let name = |property: &Property, word| property.is(word).map(str::to_ascii_uppercase);
        let mut open: Vec<String> = name(&begin, "BEGIN").into_iter().collect();
        let mut properties = vec![begin];
        while let Some(innermost) = open.last() {
            let property = self.inside(innermost)?;
            self.check(&property)?;
            if let Some(what) = property.is("END") {
                self.check_end(&property, what, innermost)?;
                open.pop();
            } else if let Some(what) = name(&property, "BEGIN") {
                if open.len() >= DEEPEST {
                    let expected = format!("no more than {DEEPEST} components inside each other");
                    let error = ValueError::new(&property.whole, expected);
                    let error = error.with_remedy("give the file as it was written");
                    return Err(self.lines.refused_at(property.line, None, error));
                }
                open.push(what);
            }
            properties.push(property);
        }
        Ok(properties)
    }

    /// An entry of these properties, the first of which is on `line`.
    fn entry(&self, line: usize, properties: &[Property]) -> Result<OldEntry, Faults> {
        let mut entry = OldEntry {
            text: joined(properties),
            ..OldEntry::default()
        };
        let mut depth = 0;
        let mut seen: [Option<usize>; 3] = [None; 3];
        for property in properties {
            depth += usize::from(property.is("BEGIN").is_some());
            depth -= usize::from(property.is("END").is_some()).min(depth);
            entry.zones.extend(property.zone().map(str::to_owned));
            // What is in an alarm is not the entry's own.
            if depth != 1 {
                continue;
            }
            let own = ["UID", "DTSTART", "SEQUENCE"].into_iter().zip(&mut seen);
            for (name, seen) in own.filter(|(name, _)| property.is(name).is_some()) {
                if seen.replace(property.line).is_some() {
                    let found = format!("{name} again");
                    let error = ValueError::new(&found, format!("one {name} in an entry"));
                    let error = error.with_remedy("keep one of the two");
                    return Err(self.lines.refused_at(property.line, None, error));
                }
            }
            if let Some(uid) = property.is("UID") {
                uid.clone_into(&mut entry.uid);
            } else if let Some(start) = property.is("DTSTART") {
                entry.starts_on = date_of(start);
            } else if let Some(status) = property.is("STATUS") {
                entry.is_cancelled = is(status, "CANCELLED");
            } else if property.is("RECURRENCE-ID").is_some() {
                entry.repeats = true;
            } else if let Some(sequence) = property.is("SEQUENCE") {
                let number = sequence.parse().ok().filter(|n| *n <= LAST_SEQUENCE);
                entry.sequence = number.ok_or_else(|| {
                    let expected = format!("a whole number from 0 to {LAST_SEQUENCE}");
                    let error = ValueError::new(sequence, expected);
                    let error = error.with_remedy("give the file as it was written");
                    self.lines
                        .refused_at(property.line, Some("SEQUENCE"), error)
                })?;
            }
        }
        for (missing, name) in [
            (entry.uid.is_empty(), "UID"),
            (seen[1].is_none(), "DTSTART"),
        ] {
            if missing {
                let found = format!("an entry without {name}");
                let error = ValueError::new(&found, "entries that say what and when they are");
                let error = error.with_remedy("give the file as it was written");
                return Err(self.lines.refused_at(line, None, error));
            }
        }
        Ok(entry)
    }
}

/// What to do with a file that is no calendar.
const OTHER_FILE: &str = "give the calendar written before";

/// Whether a word of the standard is meant; letter case does not matter there.
fn is(text: &str, word: &str) -> bool {
    text.trim().eq_ignore_ascii_case(word)
}

/// The date that a time begins with, in a year that the program knows.
fn date_of(time: &str) -> Option<NaiveDate> {
    let date = NaiveDate::parse_from_str(time.get(..8)?, "%Y%m%d").ok()?;
    YEARS.contains(&date.year()).then_some(date)
}

fn joined(properties: &[Property]) -> String {
    properties.iter().map(|property| &*property.text).collect()
}

//! Calendars as an importer sees them, read by another library.
#![allow(dead_code, reason = "each test file uses a part of it")]

use ical::{
    IcalParser,
    parser::ical::component::{IcalCalendar, IcalEvent},
    property::Property,
};
use std::collections::HashMap;

/// The only calendar of a text.
pub fn read(text: &str) -> IcalCalendar {
    // The library drops spaces in front of a fold, against RFC 5545, section
    // 3.1, so it gets each line in one piece.
    let unfolded = text.replace("\r\n ", "");
    let mut calendars: Vec<_> = IcalParser::new(unfolded.as_bytes())
        .collect::<Result<_, _>>()
        .expect("a calendar");
    assert_eq!(calendars.len(), 1);
    calendars.remove(0)
}

pub fn entries(text: &str) -> Vec<IcalEvent> {
    read(text).events
}

pub fn of(properties: &[Property], name: &str) -> Option<String> {
    let property = properties.iter().find(|property| property.name == name);
    property.and_then(|property| property.value.clone())
}

pub fn maybe(entry: &IcalEvent, name: &str) -> Option<String> {
    of(&entry.properties, name)
}

pub fn value(entry: &IcalEvent, name: &str) -> String {
    maybe(entry, name).unwrap_or_else(|| panic!("no {name} in {entry:?}"))
}

/// What people see of an entry.
pub fn shown(entry: &IcalEvent) -> [String; 5] {
    ["SUMMARY", "DTSTART", "DTEND", "DESCRIPTION", "GEO"].map(|name| value(entry, name))
}

/// The site and view of an entry, its night and which window of it.
pub fn window_of(entry: &IcalEvent) -> String {
    let summary = value(entry, "SUMMARY");
    // A comma in a text is escaped (RFC 5545, section 3.3.11).
    let (rest, _) = summary.rsplit_once("\\, score ").expect("a score");
    let (title, _) = rest.rsplit_once(": ").expect("the light");
    let uid = value(entry, "UID");
    let parts: Vec<&str> = uid.split('_').collect();
    format!("{title} {} {}", parts[0], parts[1])
}

/// A calendar into which files are imported, as calendars do (RFC 5546, section
/// 2.1.5, from memory): an entry is known by its UID; a higher SEQUENCE replaces
/// a lower one, with the same SEQUENCE the later DTSTAMP; what is cancelled is
/// no longer shown.
#[derive(Default)]
pub struct Imported(HashMap<String, IcalEvent>);

impl Imported {
    pub fn import(&mut self, text: &str) {
        for entry in entries(text) {
            let uid = value(&entry, "UID");
            let state = |entry: &IcalEvent| {
                let sequence: u64 = value(entry, "SEQUENCE").parse().expect("a number");
                (sequence, value(entry, "DTSTAMP"))
            };
            let is_newer = |old: &IcalEvent| state(&entry) > state(old);
            if self.0.get(&uid).is_none_or(is_newer) {
                self.0.insert(uid, entry);
            }
        }
    }

    /// What is shown.
    pub fn entries(&self) -> impl Iterator<Item = &IcalEvent> {
        let is_shown = |entry: &&IcalEvent| maybe(entry, "STATUS").as_deref() != Some("CANCELLED");
        self.0.values().filter(is_shown)
    }
}

//! iCalendar (RFC 5545): one entry per window. Every run with the same stamp gives
//! the same bytes, and a calendar written before can be brought up to date.

use super::{
    event_uid::{EventUid, NightKind, NightNumbers},
    ical_event::{CalendarEvent, Revision},
    ical_lines::ContentLines,
    ical_old::{cancelled, is_same},
    ical_zone::{time_zone, zone_id},
    record_id::{SiteId, SiteKey},
};
use crate::{
    ephemeris::Moment,
    input::{OldCalendar, OldEntry},
    rule::Rules,
    scene::{Dates, Site, Zone},
    search::Window,
};
use chrono::{Days, NaiveDate, NaiveTime};
use std::collections::{BTreeSet, HashMap, HashSet};

pub use super::ical_event::{Alarm, CalendarStyle};

/// A calendar that is being written.
///
/// One that was written before is brought up to date: an entry that is the same
/// keeps its state, one that differs gets the next `SEQUENCE` and the new stamp,
/// and one that this run could have found but did not is cancelled. What it
/// could not find (other nights, sites, views, kinds of nights, entries of
/// other programs) stays as it is.
#[derive(Debug)]
pub struct Calendar {
    style: CalendarStyle,
    /// The evenings that were asked about.
    nights: Dates,
    /// When this run was (`DTSTAMP`).
    stamp: Moment,
    before: OldCalendar,
    /// Which of the old entries have these ids.
    by_uid: HashMap<EventUid, usize>,
    /// The old entries that are written, by their number.
    written: HashSet<usize>,
    /// The sites that were asked about, with the kinds of nights.
    asked: HashSet<(SiteKey, NightKind)>,
    /// The zones whose clocks are written.
    zones: BTreeSet<String>,
}

/// The windows of a site, for its part of a calendar.
#[derive(Debug, Clone, Copy)]
pub struct SiteWindows<'a> {
    /// The site.
    pub site: &'a Site,
    /// What distinguishes its records from those of other sites.
    pub id: &'a SiteId,
    /// The rules they keep.
    pub rules: &'a Rules,
    /// All of its windows in these nights, from which their numbers come.
    pub all: &'a [&'a Window],
}

/// The sites whose entries are in a calendar.
pub fn sites_in(calendar: &OldCalendar) -> HashSet<SiteKey> {
    let uids = calendar.entries.iter().map(|entry| entry.uid.parse());
    uids.filter_map(|uid: Result<EventUid, _>| Some(uid.ok()?.site))
        .collect()
}

impl Calendar {
    /// A calendar of some nights, made at `stamp`, that brings `before` up to
    /// date (by default an empty one).
    pub fn new(style: CalendarStyle, nights: Dates, stamp: Moment, before: OldCalendar) -> Self {
        let mut by_uid = HashMap::new();
        for (index, entry) in before.entries.iter().enumerate() {
            if let Ok(uid) = entry.uid.parse() {
                by_uid.entry(uid).or_insert(index);
            }
        }
        Self {
            style,
            nights,
            stamp,
            before,
            by_uid,
            written: HashSet::new(),
            asked: HashSet::new(),
            zones: BTreeSet::new(),
        }
    }

    /// What comes before the entries.
    ///
    /// There is no `METHOD`: to publish, RFC 5546, section 3.2.1 wants an
    /// organizer with an address (from memory), whom nobody gave.
    pub fn begin(&self) -> String {
        let product = concat!(
            "-//rakelight//rakelight ",
            env!("CARGO_PKG_VERSION"),
            "//EN"
        );
        let mut lines = ContentLines::default();
        lines.value("BEGIN", "VCALENDAR");
        lines.value("VERSION", "2.0");
        lines.text("PRODID", product);
        lines.value("CALSCALE", "GREGORIAN");
        lines.into_text() + &self.before.properties
    }

    /// The entries of a site: those of its windows that were `chosen`.
    pub fn site(&mut self, windows: &SiteWindows<'_>, chosen: &[&Window]) -> String {
        let SiteWindows {
            site,
            id,
            rules,
            all,
        } = *windows;
        self.ask(id, rules);
        let numbers = NightNumbers::of(all);
        let kind = NightKind::of(rules);
        let style = self.style.clone();
        let events = chosen.iter().map(|window| CalendarEvent {
            site,
            uid: EventUid {
                night: window.night,
                number: numbers.number(window),
                kind,
                site: id.key(),
            },
            window,
            style: &style,
            session: None,
        });
        events.map(|event| self.event(&event)).collect()
    }

    /// Notes that this run asks what some rules find at a site: an entry of the
    /// calendar before that it does not find is cancelled.
    pub fn ask(&mut self, id: &SiteId, rules: &Rules) {
        self.asked.insert((id.key(), NightKind::of(rules)));
    }

    /// How entries are written.
    pub(super) fn style(&self) -> &CalendarStyle {
        &self.style
    }

    /// An entry, with the clocks that it needs before it.
    pub(super) fn event(&mut self, event: &CalendarEvent<'_>) -> String {
        let clock = event.zone().map(|zone| self.clock_of(zone));
        clock.unwrap_or_default() + &self.entry(event)
    }

    /// The entry as it was where it is the same, else with the next `SEQUENCE`.
    fn entry(&mut self, event: &CalendarEvent<'_>) -> String {
        let stamp = self.stamp;
        let index = self.by_uid.get(&event.uid).copied();
        let Some((index, old)) = index.and_then(|at| Some((at, self.before.entries.get(at)?)))
        else {
            return event.to_text(Revision { sequence: 0, stamp });
        };
        self.written.insert(index);
        let text = event.to_text(Revision {
            sequence: old.sequence.saturating_add(1),
            stamp,
        });
        match is_same(&old.text, &text) {
            true => old.text.clone(),
            false => text,
        }
    }

    /// The clocks of a zone, where they are not yet written.
    fn clock_of(&mut self, zone: Zone) -> String {
        let id = zone_id(zone);
        if !self.zones.insert(id.clone()) {
            return String::new();
        }
        let at = |date: NaiveDate| Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc());
        // Entries that stay need these clocks too.
        let in_zone = |entry: &&OldEntry| entry.zones.contains(&id);
        let of_zone = self.before.entries.iter().filter(in_zone);
        let (mut first, mut last) = (self.nights.first(), self.nights.last());
        for date in of_zone.filter_map(|entry| entry.starts_on) {
            (first, last) = (first.min(date), last.max(date));
        }
        let first = first.checked_sub_days(Days::new(1)).unwrap_or(first);
        let last = last.checked_add_days(Days::new(3)).unwrap_or(last);
        time_zone(zone, at(first), at(last))
    }

    /// What comes after the entries of this run: those of the calendar before
    /// that are not among them.
    pub fn end(mut self) -> String {
        let before = std::mem::take(&mut self.before);
        let mut text = String::new();
        let mut zones = BTreeSet::new();
        for (index, entry) in before.entries.iter().enumerate() {
            if !self.written.contains(&index)
                && let Some(left) = self.left(entry)
            {
                zones.extend(&entry.zones);
                text.push_str(&left);
            }
        }
        let mut clocks = String::new();
        for (name, clock) in &before.zones {
            if zones.contains(name) && self.zones.insert(name.clone()) {
                clocks.push_str(clock);
            }
        }
        let mut lines = ContentLines::default();
        lines.value("END", "VCALENDAR");
        clocks + &text + &before.others.concat() + &lines.into_text()
    }

    /// An old entry that this run did not write: as it was, or cancelled; none
    /// if it was cancelled and its night is over.
    fn left(&self, entry: &OldEntry) -> Option<String> {
        let Ok(uid) = entry.uid.parse::<EventUid>() else {
            return Some(entry.text.clone());
        };
        if entry.is_cancelled {
            // Where days end last, 12 hours behind UTC, the night ends at noon of
            // the next day, two days after the evening's date began in UTC.
            let today = self.stamp.to_utc().date_naive();
            let over = uid.night.checked_add_days(Days::new(2));
            let is_over = over.is_some_and(|over| over <= today);
            return (!is_over).then(|| entry.text.clone());
        }
        let is_asked = self.asked.contains(&(uid.site, uid.kind))
            && self.nights.first() <= uid.night
            && uid.night <= self.nights.last();
        Some(match is_asked {
            false => entry.text.clone(),
            true => cancelled(
                &entry.text,
                Revision {
                    sequence: entry.sequence.saturating_add(1),
                    stamp: self.stamp,
                },
            ),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_calendar_is_whole() {
        let day = NaiveDate::from_ymd_opt(2027, 5, 29).expect("a day");
        let calendar = Calendar::new(
            CalendarStyle::default(),
            Dates::one(day).expect("a date"),
            Moment::from_seconds(8e8),
            OldCalendar::default(),
        );
        let text = calendar.begin() + &calendar.end();
        assert!(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//rakelight//"));
        assert!(text.ends_with("CALSCALE:GREGORIAN\r\nEND:VCALENDAR\r\n"));
    }
}

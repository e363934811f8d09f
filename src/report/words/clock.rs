//! Clock times, periods and nights.

use crate::{
    ephemeris::Moment,
    scene::{Site, Zone, offset_text},
    search::Interval,
};
use chrono::NaiveDate;

/// How a table dates its nights. It is shown where a reader could go out a
/// night too early.
pub const NAMED_BY_EVENING: &str =
    "A night is named by its evening; times after midnight belong to the next day.";

/// The same of sites in several zones.
pub(in crate::report) const EVENING_OF_ITS_ZONE: &str =
    "A night belongs to the date of its evening in the time zone of its site.";

/// `Sat 2027-06-05`.
pub fn night_words(night: NaiveDate) -> String {
    night.format("%a %Y-%m-%d").to_string()
}

/// Local wall-clock time, rounded to the minute (see [`clock_text`]).
pub fn clock(site: &Site, moment: Moment) -> String {
    clock_text(site.zone, moment, false)
}

/// A period on the local wall clock (see [`hours_text`]).
pub fn clocks(site: &Site, interval: Interval) -> String {
    hours_text(site.zone, interval, false)
}

/// Local wall-clock time, rounded to the minute. It has its offset from UTC if
/// `with_offset` asks for it, as in a night in which the clocks change, and
/// always if the clocks show that time twice.
pub fn clock_text(zone: Zone, moment: Moment, with_offset: bool) -> String {
    let rounded = moment.to_the_minute();
    wall_clock(zone, rounded, with_offset || zone.shows_twice(rounded))
}

fn wall_clock(zone: Zone, rounded: Moment, with_offset: bool) -> String {
    let clock = zone.local(rounded).format("%H:%M");
    if with_offset {
        let offset = offset_text(zone.offset_seconds_at(rounded));
        format!("{clock} {offset}")
    } else {
        clock.to_string()
    }
}

/// A period on the wall clock, `22:10-23:40`. It has its offset from UTC if
/// asked for or if the clocks show one of its ends twice, and then both offsets
/// if the clocks change within it.
pub fn hours_text(zone: Zone, interval: Interval, with_offset: bool) -> String {
    let (first, last) = (
        interval.first().to_the_minute(),
        interval.last().to_the_minute(),
    );
    let offset = |moment| zone.offset_seconds_at(moment);
    let with_offset = with_offset || zone.shows_twice(first) || zone.shows_twice(last);
    let both = with_offset && offset(first) != offset(last);
    let from = wall_clock(zone, first, both);
    let to = wall_clock(zone, last, with_offset);
    format!("{from}{}{to}", if both { " to " } else { "-" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_rounded_and_a_repeated_hour_is_told_apart() {
        let zone = Zone::named("Australia/Adelaide").expect("a zone");
        let at = |text: &str| Zone::UTC.parse_time(text).expect("a time");
        let clock = |text: &str, offset| clock_text(zone, at(text), offset);
        assert_eq!(clock("2027-05-13T12:29:30Z", false), "22:00");
        assert_eq!(clock("2027-05-13T12:29:29Z", false), "21:59");
        assert_eq!(clock("2027-04-03T16:00:00Z", true), "02:30 +10:30");
        assert_eq!(clock("2027-04-03T17:00:00Z", true), "02:30 +09:30");
        // 29.6 seconds before the change, rounded, is the change itself.
        assert_eq!(clock("2027-04-03T16:29:31Z", true), "02:00 +09:30");
        // The offset is not asked for, but the clocks show the time twice.
        assert_eq!(clock("2027-04-03T16:00:00Z", false), "02:30 +10:30");
        assert_eq!(clock("2027-04-03T17:29:30Z", false), "03:00");
    }

    #[test]
    fn a_stretch_that_begins_or_ends_in_a_repeated_hour_tells_its_offsets() {
        // British Summer Time ends on 2027-10-31 at 01:00 UTC (The Summer Time
        // Order 2002): the hour from 01:00 comes twice.
        let zone = Zone::named("Europe/London").expect("a zone");
        let at = |text: &str| Zone::UTC.parse_time(text).expect("a time").seconds();
        let hours = |from: &str, to: &str| {
            let interval = Interval {
                start: at(from),
                end: at(to),
            };
            hours_text(zone, interval, false)
        };
        for (from, to, text) in [
            ("T00:00:00Z", "T02:00:00Z", "01:00 +01:00 to 02:00 +00:00"),
            ("T00:20:00Z", "T00:40:00Z", "01:20-01:40 +01:00"),
            ("T01:20:00Z", "T01:40:00Z", "01:20-01:40 +00:00"),
            ("T00:40:00Z", "T01:20:00Z", "01:40 +01:00 to 01:20 +00:00"),
            ("T02:10:00Z", "T03:00:00Z", "02:10-03:00"),
        ] {
            let day = |time: &str| format!("2027-10-31{time}");
            assert_eq!(hours(&day(from), &day(to)), text);
        }
        // Before and after that hour no time comes twice.
        let whole = hours("2027-10-30T22:00:00Z", "2027-10-31T03:00:00Z");
        assert_eq!(whole, "23:00-03:00");
    }
}

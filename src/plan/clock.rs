//! Clock times as words.

use crate::{
    ephemeris::Moment,
    scan::Interval,
    scene::{Zone, offset_text},
};

/// The full minute nearest to `moment`.
pub fn to_the_minute(moment: Moment) -> Moment {
    Moment::from_seconds((moment.seconds() / 60.0).round() * 60.0)
}

/// Local wall-clock time, rounded to the minute; with its offset from UTC where
/// `with_offset`, as in a night in which the clocks change.
pub fn clock_text(zone: Zone, moment: Moment, with_offset: bool) -> String {
    let rounded = to_the_minute(moment);
    let clock = zone.local(rounded).format("%H:%M");
    if with_offset {
        let offset = offset_text(zone.offset_seconds_at(rounded));
        format!("{clock} {offset}")
    } else {
        clock.to_string()
    }
}

/// A stretch of time on the wall clock, `22:10-23:40`; with its offset where
/// asked for, and with both where the clocks change within it.
pub fn hours_text(zone: Zone, interval: Interval, with_offset: bool) -> String {
    let (first, last) = (interval.first(), interval.last());
    let offset = |moment| zone.offset_seconds_at(moment);
    let both = with_offset && offset(first) != offset(last);
    let from = clock_text(zone, first, both);
    let to = clock_text(zone, last, with_offset);
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
    }
}

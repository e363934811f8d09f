//! The clock of a time zone as a calendar needs it (RFC 5545, section 3.6.5).

use super::ical_lines::ContentLines;
use crate::{
    ephemeris::Moment,
    scene::{ClockRule, Zone},
};
use chrono::{NaiveDateTime, TimeDelta};

const DAY_S: f64 = 86_400.0;
/// How far before the first event the last change of the clocks is looked for;
/// a zone that changes them at all does so each year.
const LOOK_BACK_S: f64 = 400.0 * DAY_S;

/// `VTIMEZONE` of a zone between two moments: one observance for each change of
/// the clocks, written out, since a rule that repeats would be a guess about the
/// years to come. The first is the one in force at the beginning.
pub(super) fn time_zone(zone: Zone, from: Moment, to: Moment) -> String {
    let begin = from.plus_seconds(-LOOK_BACK_S);
    let first = zone.clock_at(begin);
    let mut observances = vec![Observance {
        onset: begin,
        before_seconds: first.offset_seconds,
        clock: first,
    }];
    let mut is_behind_in_winter = false;
    for (onset, offset_seconds) in zone.offset_changes(begin, to) {
        let before = observances.last().map(|last| last.clock.offset_seconds);
        let observance = Observance {
            onset,
            before_seconds: before.unwrap_or(offset_seconds),
            clock: zone.clock_at(onset),
        };
        is_behind_in_winter |= observance.clock.saving_seconds < 0;
        // Those that end before the first event are not needed.
        if onset <= from {
            observances.clear();
        }
        observances.push(observance);
    }
    let mut lines = ContentLines::default();
    lines.value("BEGIN", "VTIMEZONE");
    lines.text("TZID", &zone_id(zone));
    for observance in &observances {
        observance.write(&mut lines, is_behind_in_winter);
    }
    lines.value("END", "VTIMEZONE");
    lines.into_text()
}

/// What a zone is called in a calendar: its IANA name, or `UTC+0530` for an
/// offset that never changes. A colon would end the parameter that has it.
pub(super) fn zone_id(zone: Zone) -> String {
    match zone.name() {
        offset if offset.starts_with(['+', '-']) => format!("UTC{}", offset.replace(':', "")),
        name => name.to_owned(),
    }
}

/// How the clocks go from a moment on.
struct Observance {
    onset: Moment,
    /// Seconds ahead of UTC until then.
    before_seconds: i32,
    clock: ClockRule,
}

impl Observance {
    /// The zone data let the clocks of some zones fall behind their standard
    /// time in winter (Europe/Dublin). Calendars expect the time that is ahead
    /// to be the daylight time, so there the two words are exchanged.
    fn write(&self, lines: &mut ContentLines, is_behind_in_winter: bool) {
        let is_daylight = match self.clock.saving_seconds {
            0 => is_behind_in_winter,
            saving => saving > 0,
        };
        let word = if is_daylight { "DAYLIGHT" } else { "STANDARD" };
        lines.value("BEGIN", word);
        // The time that the clocks show when they are changed.
        let onset = self.onset.to_utc().naive_utc();
        let ahead = TimeDelta::seconds(i64::from(self.before_seconds));
        let onset = onset.checked_add_signed(ahead).unwrap_or(onset);
        lines.value("DTSTART", &local_text(onset));
        if let Some(name) = &self.clock.abbreviation {
            lines.text("TZNAME", name);
        }
        lines.value("TZOFFSETFROM", &offset_text(self.before_seconds));
        lines.value("TZOFFSETTO", &offset_text(self.clock.offset_seconds));
        lines.value("END", word);
    }
}

/// A local time as RFC 5545, section 3.3.5 has it, forms 1 and 3.
pub(super) fn local_text(local: NaiveDateTime) -> String {
    local.format("%Y%m%dT%H%M%S").to_string()
}

/// An offset from UTC as RFC 5545, section 3.3.14 has it.
fn offset_text(offset_seconds: i32) -> String {
    // A zero must have no minus.
    let sign = if offset_seconds < 0 { '-' } else { '+' };
    let size = offset_seconds.unsigned_abs();
    let (hours, minutes, seconds) = (size / 3600, size / 60 % 60, size % 60);
    match seconds {
        0 => format!("{sign}{hours:02}{minutes:02}"),
        _ => format!("{sign}{hours:02}{minutes:02}{seconds:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn observances(zone: &str, year: i32) -> Vec<String> {
        let zone = Zone::named(zone).expect("a zone");
        let id = zone_id(zone);
        let moment = |text: String| Moment::from_utc(text.parse().expect("a time"));
        let text = time_zone(
            zone,
            moment(format!("{year}-02-01T00:00:00Z")),
            moment(format!("{year}-12-31T00:00:00Z")),
        );
        let head = format!("BEGIN:VTIMEZONE\r\nTZID:{id}\r\n");
        let rest = text.strip_prefix(&head).expect("a head");
        let rest = rest.strip_suffix("END:VTIMEZONE\r\n").expect("an end");
        let parts = rest.split_inclusive("END:STANDARD\r\n");
        let parts = parts.flat_map(|part| part.split_inclusive("END:DAYLIGHT\r\n"));
        parts
            .map(|part| {
                let values = part.lines().filter(|line| !line.starts_with("END"));
                let values = values.filter_map(|line| line.split_once(':'));
                values.map(|(_, value)| value).collect::<Vec<_>>().join(" ")
            })
            .collect()
    }

    /// The clocks of 2027 as the IANA data, and the laws they follow, have them.
    #[test]
    fn each_change_of_the_clocks_is_written_out() {
        assert_eq!(
            observances("Europe/Zurich", 2027),
            [
                "STANDARD 20261025T030000 CET +0200 +0100",
                "DAYLIGHT 20270328T020000 CEST +0100 +0200",
                "STANDARD 20271031T030000 CET +0200 +0100",
            ]
        );
        // Half an hour; the zone has no letters.
        assert_eq!(
            observances("Australia/Lord_Howe", 2027),
            [
                "DAYLIGHT 20261004T020000 +1030 +1100",
                "STANDARD 20270404T020000 +1100 +1030",
                "DAYLIGHT 20271003T020000 +1030 +1100",
            ]
        );
        // Summer time is the standard time by law, winter time is behind it.
        assert_eq!(
            observances("Europe/Dublin", 2027),
            [
                "STANDARD 20261025T020000 GMT +0100 +0000",
                "DAYLIGHT 20270328T010000 IST +0000 +0100",
                "STANDARD 20271031T020000 GMT +0100 +0000",
            ]
        );
    }

    #[test]
    fn a_zone_without_changes_has_one_observance() {
        assert_eq!(
            observances("Africa/Johannesburg", 2027),
            ["STANDARD 20251228T020000 SAST +0200 +0200"]
        );
        assert_eq!(
            observances("Asia/Kathmandu", 2027),
            ["STANDARD 20251228T054500 +0545 +0545"]
        );
        assert_eq!(
            observances("-9:30", 2027),
            ["STANDARD 20251227T143000 -0930 -0930"]
        );
        assert_eq!(zone_id(Zone::named("-9:30").expect("a zone")), "UTC-0930");
    }
}

//! A window as an entry of a calendar (RFC 5545).

use super::{
    event_uid::EventUid,
    ical_lines::ContentLines,
    ical_zone::{local_text, zone_id},
    words::{
        bearing_words, capitalised, caution_sentence, clock_text, computed_by, doubt_phrases,
        eclipse_phrase, framing_sentence, light_words, moon_height_words, north_words,
        settings_text, stops, window_words,
    },
};
use crate::{
    Figure,
    ephemeris::Moment,
    plan::{Caution, cautions},
    scene::{Site, Zone},
    search::{FrameSettings, Interval, Window},
};

/// The name of the user's own value that is the category of an entry.
const CATEGORY: &str = "category";

/// How the entries of a calendar are written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CalendarStyle {
    /// Whether times are those of the site's clocks, with its time zone, and
    /// not in UTC.
    pub local_times: bool,
    /// The alarms of each entry.
    pub alarms: Vec<Alarm>,
}

/// An alarm before an entry starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Alarm {
    /// How long before, minutes.
    pub minutes: u32,
}

impl Alarm {
    /// The time before as RFC 5545, section 3.3.6 has it. A day is one of the
    /// calendar there: the same time of day, even if the clocks are changed.
    fn trigger(self) -> String {
        let (days, minutes) = (self.minutes / 1440, self.minutes % 1440);
        let (hours, minutes) = (minutes / 60, minutes % 60);
        let part = |count: u32, unit: &str| match count {
            0 => String::new(),
            count => format!("{count}{unit}"),
        };
        let time = part(hours, "H") + &part(minutes, "M");
        let time = match (time.as_str(), days) {
            ("", 0) => "T0M".to_owned(),
            ("", _) => String::new(),
            _ => format!("T{time}"),
        };
        format!("-P{}{time}", part(days, "D"))
    }
}

/// The state of an entry that was changed before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Revision {
    /// How often it was changed (`SEQUENCE`).
    pub(super) sequence: u32,
    /// When it was last changed (`DTSTAMP`, `LAST-MODIFIED`).
    pub(super) stamp: Moment,
}

impl Revision {
    /// The lines of an entry that tell its state.
    pub(super) const NAMES: [&'static str; 3] = ["DTSTAMP", "LAST-MODIFIED", "SEQUENCE"];

    pub(super) fn write(self, lines: &mut ContentLines) {
        lines.instant("DTSTAMP", self.stamp.to_utc());
        lines.instant("LAST-MODIFIED", self.stamp.to_utc());
        lines.value("SEQUENCE", &self.sequence.to_string());
    }
}

/// A window of a site as an entry of a calendar.
#[derive(Debug, Clone, Copy)]
pub(super) struct CalendarEvent<'a> {
    pub(super) site: &'a Site,
    pub(super) uid: EventUid,
    pub(super) window: &'a Window,
    pub(super) style: &'a CalendarStyle,
    /// What it is within a trip.
    pub(super) session: Option<&'a SessionNotes>,
}

/// What an entry says of the trip that it belongs to.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct SessionNotes {
    /// The trip, the drive and what could stand in for it, line by line.
    pub(super) lines: Vec<String>,
    /// Cautions beside those of the night.
    pub(super) cautions: Vec<Caution>,
}

impl CalendarEvent<'_> {
    /// The entry, from `BEGIN:VEVENT` to its end.
    pub(super) fn to_text(self, revision: Revision) -> String {
        let site = self.site;
        let mut lines = ContentLines::default();
        lines.value("BEGIN", "VEVENT");
        if let Some(category) = site.own.get(CATEGORY) {
            lines.text("CATEGORIES", category);
        }
        lines.text("DESCRIPTION", &self.description());
        self.times(&mut lines);
        lines.value(
            "GEO",
            &format!(
                "{:.6};{:.6}",
                Figure(site.latitude_deg),
                Figure(site.longitude_deg)
            ),
        );
        lines.text("LOCATION", &site.name);
        // An entry that was cancelled and is back must say so.
        lines.value("STATUS", "CONFIRMED");
        lines.text("SUMMARY", &self.summary());
        lines.value("TRANSP", "TRANSPARENT");
        lines.text("UID", &self.uid.to_string());
        revision.write(&mut lines);
        for alarm in &self.style.alarms {
            lines.value("BEGIN", "VALARM");
            lines.value("ACTION", "DISPLAY");
            lines.text("DESCRIPTION", &self.summary());
            lines.value("TRIGGER", &alarm.trigger());
            lines.value("END", "VALARM");
        }
        lines.value("END", "VEVENT");
        lines.into_text()
    }

    /// The zone that its times are written in; none for UTC.
    ///
    /// A local time that the clocks show twice means the first of the two (RFC
    /// 5545, section 3.3.5), and readers differ on it, so such an entry is in
    /// UTC.
    pub(super) fn zone(&self) -> Option<Zone> {
        let zone = self.site.zone;
        let whole = self.window.whole();
        let is_clear = || {
            ![whole.first(), whole.last()]
                .iter()
                .any(|t| zone.shows_twice(*t))
        };
        (self.style.local_times && zone != Zone::UTC && is_clear()).then_some(zone)
    }

    /// Both periods of a blend: the camera stays where it is between them.
    fn times(&self, lines: &mut ContentLines) {
        let whole = self.window.whole();
        for (name, moment) in [("DTEND", whole.last()), ("DTSTART", whole.first())] {
            match self.zone() {
                None => lines.instant(name, moment.to_utc()),
                Some(zone) => {
                    let name = format!("{name};TZID={}", zone_id(zone));
                    lines.value(&name, &local_text(zone.local(moment)));
                }
            }
        }
    }

    fn summary(&self) -> String {
        format!("{}: {}", self.site.title(), window_words(self.window))
    }

    /// The Moon that lights the land, and how bright the land is against the
    /// sky; a blend's land is exposed by itself.
    fn moon_line(&self) -> String {
        let lit = self.window.lit();
        let moon = format!(
            "Moon {:.0}% lit, {}",
            100.0 * lit.sky.phase.illuminated_fraction,
            moon_height_words(lit)
        );
        if self.window.land.is_some() {
            return moon;
        }
        if let Some(over_land) = lit.moon_disc_vs_land_stops() {
            let disc = stops(over_land);
            return format!("{moon}; its disc {disc} stops against the land");
        }
        let balance = stops(lit.light.land_vs_sky_stops);
        format!("{moon}; land {balance} stops against the sky")
    }

    fn description(&self) -> String {
        let (site, window) = (self.site, self.window);
        let best = &window.best;
        let local = |moment: Moment| {
            let day = site.zone.local_date(moment.to_the_minute());
            format!("{day} {}", clock_text(site.zone, moment, true))
        };
        let span = |interval: Interval| {
            format!("{} to {}", local(interval.first()), local(interval.last()))
        };
        let north = site.conventions.north;
        let is_blend = window.land.is_some();
        let dark = [
            format!(
                "{}: {}",
                if is_blend { "Dark sky" } else { "Window" },
                span(window.interval)
            ),
            format!("Best: {}", local(best.moment())),
            format!(
                "{} {:.0}° up at {}, camera toward {}",
                capitalised(best.target_name()),
                Figure(best.sky.target.apparent_altitude_deg),
                bearing_words(north, best.sky.target.azimuth_deg, 0),
                bearing_words(north, best.facing_deg, 0)
            ),
        ];
        let mut land = Vec::new();
        if let Some(moonlit) = &window.land {
            land.push(format!("Moonlit land: {}", span(moonlit.interval)));
            let angle = moonlit.best.signed_light_angle_deg();
            land.push(format!(
                "Best for the land: {}, light {}",
                local(moonlit.best.moment()),
                light_words(angle)
            ));
        }
        land.push(self.moon_line());
        let mut lines = vec![format!(
            "Night of {}, times in {}",
            window.night,
            site.zone.name()
        )];
        let session = self.session.cloned().unwrap_or_default();
        lines.extend(session.lines);
        match window.moonlight_is_first() {
            true => lines.extend(land.into_iter().chain(dark)),
            false => lines.extend(dark.into_iter().chain(land)),
        }
        lines.extend(north_words(north).map(|words| capitalised(&words)));
        let frame = window.frame.or_else(|| FrameSettings::assumed(site, best));
        if let Some(frame) = &frame {
            if let Some(plan) = &frame.plan {
                lines.push(framing_sentence(plan, best.target_name(), north));
            }
            lines.push(format!("Begin with {}", settings_text(&frame.exposure)));
        }
        if let Some(kind) = window.eclipse {
            lines.push(capitalised(&eclipse_phrase(kind)));
        }
        // That the sky is an estimate is a fact of the site, not of a night.
        let doubts = window.doubts.of_the_night();
        if doubts.any() {
            lines.push(format!("Doubtful: {}", doubt_phrases(doubts)));
        }
        lines.push(computed_by());
        if let Some(notes) = &site.notes {
            lines.push(format!("Notes: {notes}"));
        }
        let care = session
            .cautions
            .into_iter()
            .chain(cautions(site, window.night));
        lines.extend(care.map(|caution| caution_sentence(&caution).to_string()));
        lines.join("\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_alarm_says_how_long_before() {
        // The forms of RFC 5545, section 3.3.6.
        for (minutes, told) in [
            (0, "-PT0M"),
            (1, "-PT1M"),
            (90, "-PT1H30M"),
            (180, "-PT3H"),
            (1440, "-P1D"),
            (1441, "-P1DT1M"),
            (86_400, "-P60D"),
        ] {
            assert_eq!(Alarm { minutes }.trigger(), told);
        }
    }
}

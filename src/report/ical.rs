//! iCalendar (RFC 5545): one event per window, in UTC; every run with the same
//! stamp gives the same bytes.

use super::{
    ical_lines::ContentLines,
    record_id::SiteId,
    words::{
        bearing_words, capitalised, caution_sentence, clock_text, computed_by, doubt_phrases,
        eclipse_phrase, framing_sentence, light_words, moon_height_words, north_words,
        settings_text, stops, window_words,
    },
};
use crate::{
    Figure,
    ephemeris::Moment,
    plan::cautions,
    scene::{LightKind, Site},
    search::{FrameSettings, Interval, Window},
};

/// The name of the user's own value that is the category of an event.
const CATEGORY: &str = "category";

/// A window of a site as a calendar event.
#[derive(Debug, Clone, Copy)]
pub struct CalendarEvent<'a> {
    /// The site.
    pub site: &'a Site,
    /// What distinguishes its records from those of other sites.
    pub id: &'a SiteId,
    /// The window.
    pub window: &'a Window,
    /// The kind of light that was asked for.
    pub light: LightKind,
    /// When the calendar was made (`DTSTAMP`).
    pub stamp: Moment,
}

/// What comes before the events.
pub fn begin() -> String {
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
    lines.into_text()
}

/// What comes after the events.
pub fn end() -> String {
    let mut lines = ContentLines::default();
    lines.value("END", "VCALENDAR");
    lines.into_text()
}

impl CalendarEvent<'_> {
    /// The event, from `BEGIN:VEVENT` to its end.
    pub fn to_text(&self) -> String {
        let (site, interval) = (self.site, self.window.interval);
        let mut lines = ContentLines::default();
        lines.value("BEGIN", "VEVENT");
        if let Some(category) = site.own.get(CATEGORY) {
            lines.text("CATEGORIES", category);
        }
        lines.text("DESCRIPTION", &self.description());
        lines.instant("DTEND", interval.last().to_utc());
        lines.instant("DTSTAMP", self.stamp.to_utc());
        lines.instant("DTSTART", interval.first().to_utc());
        lines.value(
            "GEO",
            &format!(
                "{:.6};{:.6}",
                Figure(site.latitude_deg),
                Figure(site.longitude_deg)
            ),
        );
        lines.text("LOCATION", &site.name);
        lines.text("SUMMARY", &self.summary());
        lines.value("TRANSP", "TRANSPARENT");
        lines.text(
            "UID",
            &self.id.uid(self.window.night, interval.first(), self.light),
        );
        lines.value("END", "VEVENT");
        lines.into_text()
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
        let north = site.conventions.north;
        let local = |moment: Moment| {
            let day = site.zone.local_date(moment.to_the_minute());
            format!("{day} {}", clock_text(site.zone, moment, true))
        };
        let span = |interval: Interval| {
            format!("{} to {}", local(interval.first()), local(interval.last()))
        };
        let mut lines = vec![
            format!("Night of {}, times in {}", window.night, site.zone.name()),
            format!("Window: {}", span(window.interval)),
            format!("Best: {}", local(best.moment())),
            format!(
                "{} {:.0}° up at {}, camera toward {}",
                capitalised(best.target_name()),
                Figure(best.sky.target.apparent_altitude_deg),
                bearing_words(north, best.sky.target.azimuth_deg, 0),
                bearing_words(north, best.facing_deg, 0)
            ),
            self.moon_line(),
        ];
        lines.extend(north_words(north).map(|words| capitalised(&words)));
        if let Some(land) = &window.land {
            lines.push(format!("Moonlit land: {}", span(land.interval)));
            let angle = land.best.signed_light_angle_deg();
            lines.push(format!(
                "Best for the land: {}, light {}",
                local(land.best.moment()),
                light_words(angle)
            ));
        }
        let frame = window.frame.or_else(|| FrameSettings::assumed(site, best));
        if let Some(frame) = &frame {
            if let Some(plan) = &frame.plan {
                lines.push(framing_sentence(
                    plan,
                    best.target_name(),
                    site.conventions.north,
                ));
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
        let care = cautions(site, window.night);
        lines.extend(
            care.iter()
                .map(|caution| caution_sentence(caution).to_string()),
        );
        lines.join("\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_calendar_is_whole() {
        let text = begin() + &end();
        assert!(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//rakelight//"));
        assert!(text.ends_with("CALSCALE:GREGORIAN\r\nEND:VCALENDAR\r\n"));
    }
}

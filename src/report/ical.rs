//! iCalendar (RFC 5545): one event a window, in UTC, the same bytes on every
//! run with the same stamp.

use super::{
    columns::doubt_phrases,
    table::{light_words, stops},
};
use crate::{
    ephemeris::Moment,
    plan::{Lens, Look, cautions, clock_text, shutter_text, to_the_minute},
    scan::{Interval, Window},
    scene::{LightKind, Site, zone_data_version},
};
use icalendar::{Calendar, Component, Event, EventLike, Property};

/// The line that ends a calendar.
const END: &str = "END:VCALENDAR";

/// A window of a site as a calendar event.
#[derive(Debug, Clone, Copy)]
pub struct CalendarEvent<'a> {
    /// The site.
    pub site: &'a Site,
    /// The window.
    pub window: &'a Window,
    /// The kind of light that was asked for.
    pub light: LightKind,
    /// When the calendar was made (`DTSTAMP`).
    pub stamp: Moment,
}

/// What stands before the events.
pub fn begin() -> String {
    let product = concat!(
        "-//rakelight//rakelight ",
        env!("CARGO_PKG_VERSION"),
        "//EN"
    );
    let empty = Calendar {
        properties: Property::from_array([
            ("VERSION", "2.0"),
            ("PRODID", product),
            ("CALSCALE", "GREGORIAN"),
        ]),
        components: Vec::new(),
    };
    let text = empty.to_string();
    text.split(END).next().unwrap_or_default().to_string()
}

/// What stands after them.
pub fn end() -> String {
    format!("{END}\r\n")
}

impl CalendarEvent<'_> {
    /// The event, from `BEGIN:VEVENT` to its end.
    pub fn to_text(&self) -> String {
        let (site, interval) = (self.site, self.window.interval);
        let mut event = Event::new();
        event
            .uid(&self.uid())
            .timestamp(self.stamp.to_utc())
            .starts(interval.first().to_utc())
            .ends(interval.last().to_utc())
            .summary(&clean(&self.summary()))
            .description(&clean(&self.description()))
            .location(&clean(&site.name))
            .append_property((
                "GEO",
                format!("{:.6};{:.6}", site.latitude_deg, site.longitude_deg).as_str(),
            ))
            .append_property(("TRANSP", "TRANSPARENT"));
        let text = event.try_into_string();
        // Writing to a string does not fail.
        folded(&text.unwrap_or_default())
    }

    /// The same for the same window on every run: the site's name in plain
    /// letters, its coordinates, the night and the start, to the second, in
    /// UTC.
    fn uid(&self) -> String {
        let site = self.site;
        let name: String = site
            .name
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '-'
                }
            })
            .collect();
        format!(
            "{name}_{:.4}_{:.4}_{}_{}_{}@rakelight",
            site.latitude_deg,
            site.longitude_deg,
            self.window.night,
            self.light,
            self.window
                .interval
                .first()
                .to_utc()
                .format("%Y%m%dT%H%M%SZ"),
        )
    }

    fn summary(&self) -> String {
        let light = if self.window.land.is_some() {
            "dark sky after or before moonlit land".to_string()
        } else if self.window.best.light.beam_lux > 0.0 {
            let angle = self.window.best.signed_light_angle_deg();
            format!("moonlight {}", light_words(angle))
        } else {
            "dark sky".to_string()
        };
        format!(
            "{}: {light}, score {:.0}",
            self.site.name, self.window.score
        )
    }

    fn description(&self) -> String {
        let (site, window) = (self.site, self.window);
        let best = &window.best;
        let local = |moment: Moment| {
            let day = site.zone.local_date(to_the_minute(moment));
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
                "Core {:.0}° up at {:.0}°, camera toward {:.0}°",
                best.sky.target.apparent_altitude_deg, best.sky.target.azimuth_deg, best.facing_deg
            ),
            format!(
                "Moon {:.0}% lit, {:.0}° up; land {} stops against the sky",
                100.0 * best.sky.phase.illuminated_fraction,
                best.sky.moon.apparent_altitude_deg,
                stops(best.light.balance_stops)
            ),
        ];
        if let Some(land) = &window.land {
            lines.push(format!("Moonlit land: {}", span(land.interval)));
            let angle = land.best.signed_light_angle_deg();
            lines.push(format!(
                "Best for the land: {}, light {}",
                local(land.best.moment()),
                light_words(angle)
            ));
        }
        if let Ok(lens) = Lens::of(site, 1.0) {
            let exposure = Look::of(site, &lens, *best).exposure;
            lines.push(format!(
                "Begin with f/{}, {}, ISO {}",
                exposure.f_number,
                shutter_text(exposure.shutter_s),
                exposure.iso
            ));
        }
        if window.doubts.any() {
            lines.push(format!("Doubtful: {}", doubt_phrases(window.doubts)));
        }
        lines.push(format!(
            "Computed by rakelight {}, time zone data {}",
            env!("CARGO_PKG_VERSION"),
            zone_data_version()
        ));
        if let Some(notes) = &site.notes {
            lines.push(format!("Notes: {notes}"));
        }
        let care = cautions(site, window.night);
        lines.extend(care.iter().map(|caution| caution.text.to_string()));
        lines.join("\n")
    }
}

/// The text with its long lines folded anew (RFC 5545, section 3.1): the
/// calendar library leaves the last part of a line a byte too long now and
/// then.
fn folded(text: &str) -> String {
    /// Octets of a line without its end.
    const LONGEST: usize = 75;
    let mut folded = String::with_capacity(text.len() + 64);
    for line in text.replace("\r\n ", "").split_inclusive("\r\n") {
        let mut length = 0;
        for character in line.chars() {
            let is_end = matches!(character, '\r' | '\n');
            if !is_end && length + character.len_utf8() > LONGEST {
                folded.push_str("\r\n ");
                length = 1;
            }
            folded.push(character);
            length += character.len_utf8();
        }
    }
    folded
}

/// Text without control characters but for line feeds, which the calendar
/// writes in its own way.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() && c != '\n' { ' ' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_75_octets_and_nothing_is_lost() {
        for length in 60..320 {
            let words: String = "aé老 ".chars().cycle().take(length).collect();
            let text = format!("NOTE:{words}\r\nEND:X\r\n");
            let folded = folded(&text);
            assert!(folded.split("\r\n").all(|line| line.len() <= 75));
            assert_eq!(folded.replace("\r\n ", ""), text.replace("\r\n ", ""));
        }
    }

    #[test]
    fn an_empty_calendar_is_whole() {
        let text = begin() + &end();
        assert!(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//rakelight//"));
        assert!(text.ends_with("CALSCALE:GREGORIAN\r\nEND:VCALENDAR\r\n"));
    }

    #[test]
    fn control_characters_do_not_get_through() {
        assert_eq!(clean("a\rb\u{7}c\nd"), "a b c\nd");
    }
}

//! How a window's values read to people.

use super::window_record::Record;
use crate::{
    Figure,
    report::{
        row::Room,
        words::{bearing_words, clocks, light_cell, light_letters, light_words, lux},
    },
    scene::{North, Site, offset_text},
};

/// The heading of the score, the column with the mark of a doubtful row.
pub(in crate::report) const SCORE: &str = "score";

/// Degrees: whole ones, or to a tenth in a comparison.
pub(super) fn degrees(value: f64, room: Room) -> String {
    match room {
        Room::Column | Room::Page => format!("{:.0}°", Figure(value.round())),
        Room::Beside => format!("{:.1}°", Figure(value)),
    }
}

/// A true azimuth, as the site's conventions have it.
pub(super) fn azimuth(site: &Site, value: f64, room: Room) -> String {
    match (site.conventions.north, room) {
        (North::True, _) => degrees(value, room),
        (north, Room::Column | Room::Page) => bearing_words(north, value, 0),
        (north, Room::Beside) => bearing_words(north, value, 1),
    }
}

/// Whole percent.
pub(in crate::report) fn percent(share: f64) -> String {
    format!("{:.0}%", 100.0 * share)
}

/// A factor of the score.
pub(super) fn factor(value: Option<f64>) -> String {
    value.map_or_else(dash, |value| format!("{value:.2}"))
}

/// A value in words, or a dash where there is none.
pub(super) fn optional(value: Option<f64>, words: impl Fn(f64) -> String) -> String {
    value.map_or_else(dash, words)
}

/// What is shown where a value means nothing.
fn dash() -> String {
    "-".to_owned()
}

pub(super) fn site(record: &Record<'_>, _: Room) -> String {
    record.site.title().into_owned()
}

pub(super) fn offset(record: &Record<'_>, _: Room) -> String {
    let best = record.best().moment();
    offset_text(record.site.zone.offset_seconds_at(best))
}

/// The angle of the moonlight and the side it comes from, if there is any.
pub(super) fn light(record: &Record<'_>, room: Room) -> String {
    let words = match room {
        Room::Column => light_letters,
        Room::Page | Room::Beside => light_words,
    };
    light_cell(record.lit(), words)
}

pub(super) fn moonlight(record: &Record<'_>, room: Room) -> String {
    let value = lux(record.lit().light.moonlight_lux);
    match room {
        Room::Column => value,
        Room::Page | Room::Beside => format!("{value} lux"),
    }
}

pub(super) fn sky_mag(record: &Record<'_>, room: Room) -> String {
    let decimals = if room == Room::Beside { 2 } else { 1 };
    format!("{:.decimals$}", record.best().light.sky_mag_arcsec2)
}

pub(super) fn contrast(record: &Record<'_>, _: Room) -> String {
    factor(record.best().light.milky_way_contrast)
}

pub(super) fn arch_top(record: &Record<'_>, room: Room) -> String {
    match (record.best().sky.arch, room) {
        (None, Room::Column) => String::new(),
        (None, _) => dash(),
        (Some(arch), Room::Column) => degrees(arch.top_altitude_deg, room),
        (Some(arch), _) => degrees(arch.top_altitude_deg, Room::Page),
    }
}

pub(super) fn shadow_length(record: &Record<'_>, _: Room) -> String {
    let length = record.lit().light.shadow_length_per_height;
    length.map_or_else(dash, |length| format!("{length:.1}"))
}

pub(super) fn moonlit_hours(record: &Record<'_>, _: Room) -> String {
    let land = record.land();
    land.map_or_else(String::new, |land| clocks(record.site, land.interval))
}

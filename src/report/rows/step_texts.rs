//! How the values of a step read to people.

use super::night_record::NightRow;
use crate::{
    Figure,
    report::{
        row::Room,
        words::{bearing_words, clock_text, light_letters, lux},
    },
    scene::{North, Site},
};

/// Whole degrees.
pub(in crate::report) fn degrees(value: f64) -> String {
    format!("{:.0}°", Figure(value.round()))
}

/// A true bearing in whole degrees, 0 to 359, as the site's conventions have it.
pub(in crate::report) fn bearing(site: &Site, value: f64) -> String {
    match site.conventions.north {
        North::True => compass_bearing(value),
        north => bearing_words(north, value, 0),
    }
}

/// What a compass shows, in whole degrees, 0 to 359.
pub(in crate::report) fn compass_bearing(value: f64) -> String {
    format!("{:.0}°", value.round().rem_euclid(360.0))
}

/// A text about the Moon, or a dash while it is down.
fn of_moon(row: &NightRow<'_>, text: impl Fn() -> String) -> String {
    if row.step.instant.moon_is_up() {
        text()
    } else {
        "-".to_owned()
    }
}

pub(super) fn time(row: &NightRow<'_>, _: Room) -> String {
    let moment = row.step.instant.moment();
    clock_text(row.site().zone, moment, row.plan.clocks_change)
}

pub(super) fn moon_up(row: &NightRow<'_>, _: Room) -> String {
    of_moon(row, || {
        degrees(row.step.instant.sky.moon.apparent_altitude_deg)
    })
}

pub(super) fn moon_azimuth(row: &NightRow<'_>, _: Room) -> String {
    of_moon(row, || {
        bearing(row.site(), row.step.instant.sky.moon.azimuth_deg)
    })
}

/// The angle and side of the moonlight; `ridge` while the Moon is behind the
/// terrain, since its light does not reach the land.
pub(super) fn light(row: &NightRow<'_>, _: Room) -> String {
    of_moon(row, || {
        if row.step.moon_clear {
            light_letters(row.step.instant.signed_light_angle_deg())
        } else {
            "ridge".to_owned()
        }
    })
}

pub(super) fn moonlight(row: &NightRow<'_>, _: Room) -> String {
    of_moon(row, || lux(row.step.instant.light.moonlight_lux))
}

pub(super) fn target_up(row: &NightRow<'_>, _: Room) -> String {
    let altitude = row.step.instant.sky.target.apparent_altitude_deg;
    let hidden = altitude > 0.0 && !row.step.target_clear;
    if hidden {
        "ridge".to_owned()
    } else {
        degrees(altitude)
    }
}

pub(super) fn target_offset(row: &NightRow<'_>, _: Room) -> String {
    let offset = row.step.instant.target_offset_deg();
    format!("{:+.0}°", Figure(offset.round()))
}

pub(super) fn arch_up(row: &NightRow<'_>, _: Room) -> String {
    let arch = row.step.instant.sky.arch;
    arch.map_or_else(String::new, |arch| degrees(arch.top_altitude_deg))
}

pub(super) fn arch_azimuth(row: &NightRow<'_>, _: Room) -> String {
    let arch = row.step.instant.sky.arch;
    arch.map_or_else(String::new, |arch| {
        bearing(row.site(), arch.top_azimuth_deg)
    })
}

pub(super) fn shadow_length(row: &NightRow<'_>, _: Room) -> String {
    let length = row.step.instant.light.shadow_length_per_height;
    length.map_or_else(|| "-".to_owned(), |length| format!("{length:.1}"))
}

pub(super) fn shadow_toward(row: &NightRow<'_>, _: Room) -> String {
    let azimuth = row.step.instant.light.shadow_azimuth_deg;
    azimuth.map_or_else(|| "-".to_owned(), |toward| bearing(row.site(), toward))
}

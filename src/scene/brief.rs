//! The photographer's wishes, as far as they were said.

use super::band::{AzimuthBand, Band, ClockBand};
use chrono::WeekdaySet;

/// The kind of light asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LightKind {
    /// A low Moon from the side, in the same frame as the target.
    Raking,
    /// No Moon.
    Dark,
    /// The Moon low and to the side, and a dark spell in the same night.
    Blend,
    /// No rule about the Moon.
    Any,
}

pub use crate::ephemeris::Direction;

/// Where the camera looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Facing {
    /// A fixed true bearing, degrees.
    Bearing(f64),
    /// The site's subject.
    Subject,
    /// The target, wherever it stands at each instant.
    Target,
    /// The highest point of the Milky Way's arch at each instant.
    Arch,
}

/// The side of the facing direction from which the Moon may shine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left of the facing direction.
    Left,
    /// Right of the facing direction.
    Right,
    /// Either side.
    Either,
}

/// Wishes as far as they were said in one place (options, a brief file or a
/// site file); `None` leaves the word to the next in line.
///
/// Field names are the option names with `_` for `-`, and the keys of a brief.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Brief {
    /// The kind of light.
    pub light: Option<LightKind>,
    /// What must stand in the sky.
    pub target: Option<Direction>,
    /// Apparent altitude of the target, degrees.
    pub core_altitude: Option<Band>,
    /// True azimuth of the target.
    pub core_azimuth: Option<AzimuthBand>,
    /// Where the camera looks.
    pub facing: Option<Facing>,
    /// Azimuth of the target relative to the facing direction, degrees, left
    /// negative.
    pub core_offset: Option<Band>,
    /// Geometric altitude of the highest point of the Milky Way's arch,
    /// degrees.
    pub arch_altitude: Option<Band>,
    /// Azimuth of that point relative to the facing direction, degrees, left
    /// negative.
    pub arch_offset: Option<Band>,
    /// Angle between the Milky Way's plane and the horizon at the target,
    /// degrees, 0 to 90.
    pub tilt: Option<Band>,
    /// Geometric altitude of the Sun's centre, degrees.
    pub sun_altitude: Option<Band>,
    /// Apparent altitude of the Moon's centre, degrees.
    pub moon_altitude: Option<Band>,
    /// Illuminated fraction of the Moon, 0 to 1, geocentric.
    pub moon_fraction: Option<Band>,
    /// Angle between the facing direction and the Moon's azimuth, degrees,
    /// 0 to 180.
    pub light_angle: Option<Band>,
    /// The side of the facing direction on which the Moon may stand.
    pub light_side: Option<Side>,
    /// Shortest useful window, minutes.
    pub min_minutes: Option<f64>,
    /// Local wall-clock hours that suit.
    pub clock: Option<ClockBand>,
    /// Evenings that suit.
    pub weekdays: Option<WeekdaySet>,
}

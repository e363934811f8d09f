//! A window: a stretch of a night in which every rule holds, and what it is
//! like at its best instant.

use super::{doubts::Doubts, interval::Interval, score::Factors, shot::Shot};
use crate::{
    ephemeris::{EclipseKind, Moment, Snapshot},
    light::Assessment,
};
use chrono::NaiveDate;

/// A stretch of a night in which every rule holds.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Window {
    /// The night, by its civil date.
    pub night: NaiveDate,
    /// Where it stands among its site's windows by score, from 1.
    pub rank: usize,
    /// 0 to 100.
    pub score: f64,
    /// What the score is made of.
    pub factors: Factors,
    /// The stretch. For a blend, the dark spell.
    pub interval: Interval,
    /// What it is like at the instant of the highest score.
    pub best: Instant,
    /// What the site's own camera does at that instant, where it has one.
    pub shot: Option<Shot>,
    /// The moonlit spell of a blend.
    pub land: Option<LandSpell>,
    /// The deepest lunar eclipse that falls in the window (or the moonlit
    /// spell) with the Moon above the horizon.
    pub eclipse: Option<EclipseKind>,
    /// What makes these figures less sure than others, over the whole window
    /// (and the moonlit spell).
    pub doubts: Doubts,
}

/// The spell of a blend in which a low Moon lights the land.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LandSpell {
    /// The stretch.
    pub interval: Interval,
    /// What it is like when the light rakes best.
    pub best: Instant,
}

/// Sky and light at one instant, as a camera facing some way has them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Instant {
    /// Where everything is.
    pub sky: Snapshot,
    /// True bearing in which the camera looks, degrees.
    pub facing_deg: f64,
    /// What the light is like.
    pub light: Assessment,
}

impl Instant {
    /// When.
    pub fn moment(&self) -> Moment {
        self.sky.moment
    }

    /// Azimuth of the target relative to the facing direction, degrees, left
    /// negative, -180 to 180.
    pub fn core_offset_deg(&self) -> f64 {
        offset_deg(self.sky.target.azimuth_deg, self.facing_deg)
    }

    /// Angle from the facing direction to the Moon's azimuth, degrees, left
    /// negative, -180 to 180.
    pub fn signed_light_angle_deg(&self) -> f64 {
        offset_deg(self.sky.moon.azimuth_deg, self.facing_deg)
    }
}

/// Azimuth relative to a facing direction, degrees, left negative, -180 to
/// 180.
pub(crate) fn offset_deg(azimuth_deg: f64, facing_deg: f64) -> f64 {
    (azimuth_deg - facing_deg + 180.0).rem_euclid(360.0) - 180.0
}

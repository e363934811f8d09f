//! What makes the figures of a window or an instant less sure than the others.

use super::interval::{Interval, Intervals};
use crate::{
    ephemeris::{Reading, Sky, SkyState},
    rule::Limits,
    scene::{Band, Site},
};

/// A Moon within so many degrees of the horizon is at the mercy of haze, ridge
/// and refraction: its light reddens and fades there by magnitudes (common
/// practice, no source).
pub const MOON_NEAR_HORIZON_DEG: f64 = 3.0;
/// Under so many degrees a target is seen through ten air masses and more, and
/// the Milky Way is lost in them (Kasten and Young 1989 give 10.3 at 5 degrees;
/// that it is too many is common practice, no source).
pub const TARGET_LOW_DEG: f64 = 5.0;

/// What lasts less makes no doubt, seconds: where a rule ends a window at such
/// a threshold itself, rounding alone would tell on which side its edge lies.
const LEAST_SECONDS: f64 = 1.0;

/// What makes figures doubtful.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
#[non_exhaustive]
pub struct Caveats {
    /// The Moon's centre stands within [`MOON_NEAR_HORIZON_DEG`] of the
    /// horizon, above or below, at some time.
    pub moon_near_horizon: bool,
    /// The target stands under [`TARGET_LOW_DEG`] at some time.
    pub target_low: bool,
    /// The site's dark sky is a guess or comes from a Bortle class; no meter
    /// reading stands behind it.
    pub sky_guessed: bool,
}

impl Caveats {
    /// The doubts about one instant.
    pub fn of(site: &Site, sky: &SkyState) -> Self {
        Self {
            moon_near_horizon: sky.moon.apparent_altitude_deg.abs() < MOON_NEAR_HORIZON_DEG,
            target_low: sky.target.apparent_altitude_deg < TARGET_LOW_DEG,
            sky_guessed: site.sky.approximate,
        }
    }

    /// Both together.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self {
            moon_near_horizon: self.moon_near_horizon || other.moon_near_horizon,
            target_low: self.target_low || other.target_low,
            sky_guessed: self.sky_guessed || other.sky_guessed,
        }
    }

    /// Whether there is any.
    pub fn any(self) -> bool {
        self != Self::default()
    }
}

/// What there is to doubt over one place, made ready to be asked about
/// stretches of time.
#[derive(Debug, Clone, Copy)]
pub struct CaveatWatch {
    moon: Limits,
    target: Limits,
    sky_guessed: bool,
}

impl CaveatWatch {
    /// That of a site.
    pub fn of(site: &Site) -> Self {
        let air = site.air.refraction();
        let apparent = |low, high| Limits::of_altitudes(Band::new(low, high), |h| air.true_deg(h));
        Self {
            moon: apparent(-MOON_NEAR_HORIZON_DEG, MOON_NEAR_HORIZON_DEG),
            target: apparent(-90.0, TARGET_LOW_DEG),
            sky_guessed: site.sky.approximate,
        }
    }

    /// The doubts about a stretch: what happens at any time in it for a second
    /// or more, not at its ends alone.
    pub fn over(&self, sky: &Sky<'_>, interval: Interval) -> Caveats {
        let stretch = Intervals::one(interval.start, interval.end);
        let ever = |reading: &dyn Fn(f64) -> Reading| {
            let times = stretch.where_holds(reading);
            !times.at_least_minutes(LEAST_SECONDS / 60.0).is_empty()
        };
        Caveats {
            moon_near_horizon: ever(&|t| self.moon.read(sky.moon(t).0.up)),
            target_low: ever(&|t| self.target.read(sky.target(t).up)),
            sky_guessed: self.sky_guessed,
        }
    }
}

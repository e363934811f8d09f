//! What makes the figures of a window or an instant less sure than the others.

use crate::{
    ephemeris::{Glimpse, Snapshot},
    scene::Site,
};

/// A Moon within so many degrees of the horizon is at the mercy of haze, ridge
/// and refraction: its light reddens and fades there by magnitudes (common
/// practice, no source).
pub const MOON_NEAR_HORIZON_DEG: f64 = 3.0;
/// Under so many degrees a target is seen through ten air masses and more, and
/// the Milky Way is lost in them (Kasten and Young 1989 give 10.3 at 5 degrees;
/// that it is too many is common practice, no source).
pub const TARGET_LOW_DEG: f64 = 5.0;

/// What makes figures doubtful.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Doubts {
    /// The Moon's centre stands within [`MOON_NEAR_HORIZON_DEG`] of the
    /// horizon, above or below, at some time.
    pub moon_near_horizon: bool,
    /// The target stands under [`TARGET_LOW_DEG`] at some time.
    pub target_low: bool,
    /// The site's dark sky is a guess or comes from a Bortle class; no meter
    /// reading stands behind it.
    pub sky_guessed: bool,
}

impl Doubts {
    /// The doubts about a stretch that was looked at at `instants`, in order
    /// of time, its ends among them.
    pub fn of(site: &Site, instants: &[&Snapshot]) -> Self {
        let seen: Vec<Glimpse> = instants.iter().map(|sky| Glimpse::from(*sky)).collect();
        Self::of_glimpses(site, &seen)
    }

    /// The same from what the light depends on.
    pub(crate) fn of_glimpses(site: &Site, instants: &[Glimpse]) -> Self {
        let moon = |sky: &Glimpse| sky.moon.apparent_altitude_deg;
        let near = |sky: &Glimpse| moon(sky).abs() < MOON_NEAR_HORIZON_DEG;
        // A Moon that rises or sets in between passes the horizon.
        let passes = |pair: &[Glimpse]| matches!(pair, [a, b] if moon(a) * moon(b) < 0.0);
        Self {
            moon_near_horizon: instants.iter().any(near) || instants.windows(2).any(passes),
            target_low: instants
                .iter()
                .any(|sky| sky.target.apparent_altitude_deg < TARGET_LOW_DEG),
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

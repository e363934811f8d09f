//! Sky and light at one instant, as rules see them.

use crate::{
    ephemeris::{Direction, Moment, SkyState},
    light::{Assessment, shadow::SHADOW_SHOWS_STOPS},
    turn::turn_deg,
};

/// Sky and light at one instant, for a camera that faces one bearing.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Conditions {
    /// Where everything is.
    pub sky: SkyState,
    /// What must stand in the sky.
    pub target: Direction,
    /// True bearing of the camera direction, degrees.
    pub facing_deg: f64,
    /// The light.
    pub light: Assessment,
}

impl Conditions {
    /// When.
    pub fn moment(&self) -> Moment {
        self.sky.moment
    }

    /// What the target is called, see [`Direction::name`].
    pub fn target_name(&self) -> &'static str {
        self.target.name()
    }

    /// Whether any of the Moon's disc stands above the horizon.
    pub fn moon_is_up(&self) -> bool {
        self.light.beam_lux > 0.0 || self.sky.moon.apparent_altitude_deg > 0.0
    }

    /// Whether moonlight reaches the land: a Moon that is up may stand behind
    /// the ridge, or be eclipsed.
    pub fn is_moonlit(&self) -> bool {
        self.light.beam_lux > 0.0
    }

    /// Whether the moonlight on the land is strong enough, against twilight and
    /// in an eclipse, for a shadow that shows
    /// ([`SHADOW_SHOWS_STOPS`]).
    pub fn casts_shadow(&self) -> bool {
        self.is_moonlit() && self.light.shadow_depth_stops >= SHADOW_SHOWS_STOPS
    }

    /// Whether the target is the Moon and any of its disc stands above the
    /// horizon.
    pub fn shows_moon(&self) -> bool {
        let sky = &self.sky;
        self.target.is_moon() && sky.moon.apparent_altitude_deg + sky.moon_radius_deg() > 0.0
    }

    /// Stops from the land up to the disc of a Moon that is the target; `None`
    /// for another target and while it is down.
    pub fn moon_disc_vs_land_stops(&self) -> Option<f64> {
        self.shows_moon().then(|| self.light.disc_over_land_stops())
    }

    /// Stops from the sky beside it up to the disc of a Moon that is the
    /// target, 0 or more; `None` for another target and while it is down.
    pub fn moon_disc_vs_sky_stops(&self) -> Option<f64> {
        self.shows_moon().then(|| self.light.disc_over_sky_stops())
    }

    /// Apparent diameter of the disc of a Moon that is the target, degrees;
    /// `None` for another target.
    pub fn moon_diameter_deg(&self) -> Option<f64> {
        let is_moon = self.target.is_moon();
        is_moon.then(|| 2.0 * self.sky.moon_radius_deg())
    }

    /// Azimuth of the target relative to the camera direction, degrees, left
    /// negative, -180 to 180.
    pub fn target_offset_deg(&self) -> f64 {
        offset_deg(self.sky.target.azimuth_deg, self.facing_deg)
    }

    /// Angle from the camera direction to the Moon's azimuth, degrees, left
    /// negative, -180 to 180.
    pub fn signed_light_angle_deg(&self) -> f64 {
        offset_deg(self.sky.moon.azimuth_deg, self.facing_deg)
    }
}

/// Azimuth relative to a camera direction, degrees, left negative, -180 to 180.
pub(crate) fn offset_deg(azimuth_deg: f64, facing_deg: f64) -> f64 {
    turn_deg(facing_deg, azimuth_deg)
}

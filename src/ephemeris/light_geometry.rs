//! The part of a sky that the light at one instant depends on.

use super::{Horizontal, Moment, SkyState};

/// What the light at one instant depends on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LightGeometry {
    pub moment: Moment,
    /// Geometric altitude of the Sun, degrees.
    pub sun_altitude_deg: f64,
    /// True azimuth of the Sun, degrees; 0 while it is too low for twilight.
    pub sun_azimuth_deg: f64,
    pub moon: Horizontal,
    pub target: Horizontal,
    /// Cosine of the angle between the Sun and the target.
    pub sun_target_cos: f64,
    /// Angle Sun-Moon-Earth, degrees.
    pub phase_angle_deg: f64,
    pub moon_target_separation_deg: f64,
}

impl From<&SkyState> for LightGeometry {
    fn from(sky: &SkyState) -> Self {
        Self {
            moment: sky.moment,
            sun_altitude_deg: sky.sun.altitude_deg,
            sun_azimuth_deg: sky.sun.azimuth_deg,
            moon: sky.moon,
            target: sky.target,
            sun_target_cos: separation_cos(&sky.sun, &sky.target),
            phase_angle_deg: sky.phase.phase_angle_deg,
            moon_target_separation_deg: sky.moon_target_separation_deg,
        }
    }
}

/// Lowest Sun whose azimuth counts, degrees: below it there is no twilight.
pub(crate) const TWILIGHT_FROM_DEG: f64 = -20.0;

/// Cosine of the angle between two places of one sky, without refraction.
fn separation_cos(a: &Horizontal, b: &Horizontal) -> f64 {
    let (a_up, a_level) = a.altitude_deg.to_radians().sin_cos();
    let (b_up, b_level) = b.altitude_deg.to_radians().sin_cos();
    let turn = (a.azimuth_deg - b.azimuth_deg).to_radians();
    a_up * b_up + a_level * b_level * turn.cos()
}

//! Where shadows fall and which side of the subject is lit.

use super::photometry::stops_between;
use crate::turn::in_one_turn;

/// Light angle below which the Moon stands behind the subject, degrees.
/// Common practice, no source.
pub const BACK_LIGHT_BELOW_DEG: f64 = 45.0;

/// Light angle above which the Moon stands behind the camera, degrees. Common
/// practice, no source.
pub const FRONT_LIGHT_ABOVE_DEG: f64 = 135.0;

/// Which side of the subject the Moon lights, as seen from the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LitSide {
    /// Left side: the Moon is 45 to 135 deg left of the facing direction.
    Left,
    /// Right side.
    Right,
    /// The side turned to the camera: flat light.
    Front,
    /// The far side: only edges and the ground are lit.
    Back,
    /// No moonlight reaches the subject.
    Unlit,
}

/// Signed angle from the facing direction to the Moon's azimuth.
///
/// From two azimuths (degrees) to degrees in -180..180, right positive.
pub fn signed_light_angle_deg(moon_azimuth_deg: f64, facing_deg: f64) -> f64 {
    let turned = in_one_turn(moon_azimuth_deg - facing_deg);
    if turned > 180.0 {
        turned - 360.0
    } else {
        turned
    }
}

/// The side lit by a Moon at a signed light angle, if it shines.
///
/// From degrees, right positive.
pub fn lit_side(signed_light_angle_deg: f64) -> LitSide {
    let angle = signed_light_angle_deg.abs();
    if angle < BACK_LIGHT_BELOW_DEG {
        LitSide::Back
    } else if angle > FRONT_LIGHT_ABOVE_DEG {
        LitSide::Front
    } else if signed_light_angle_deg < 0.0 {
        LitSide::Left
    } else {
        LitSide::Right
    }
}

/// Direction in which a shadow falls.
///
/// From the Moon's azimuth to the opposite one, degrees, 0..360.
pub fn azimuth_deg(moon_azimuth_deg: f64) -> f64 {
    let opposite = (moon_azimuth_deg + 180.0).rem_euclid(360.0);
    // rem_euclid rounds a tiny negative angle up to 360 itself.
    if opposite >= 360.0 { 0.0 } else { opposite }
}

/// Length of a shadow on level ground for each unit of the subject's height.
///
/// From the Moon's apparent altitude (degrees) to the cotangent; `None` at or
/// below the horizon.
pub fn length_per_height(apparent_altitude_deg: f64) -> Option<f64> {
    (apparent_altitude_deg > 0.0).then(|| {
        let (sin, cos) = apparent_altitude_deg.min(90.0).to_radians().sin_cos();
        // Below a billionth of a degree the cotangent is still a number.
        (cos / sin).clamp(0.0, 1e12)
    })
}

/// A shadow less deep than this hardly shows, stops. The project's choice.
pub const SHADOW_SHOWS_STOPS: f64 = 1.0 / 3.0;

/// How much darker the shadow is than the lit ground, stops.
///
/// From lux of the beam on level ground and of everything else on it (sky,
/// twilight; positive). 0 where there is no beam; below [`SHADOW_SHOWS_STOPS`]
/// a shadow hardly shows.
pub fn depth_stops(beam_on_ground_lux: f64, ambient_lux: f64) -> f64 {
    stops_between(beam_on_ground_lux + ambient_lux, ambient_lux)
}

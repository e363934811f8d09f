//! The brightness of the land that the camera sees.

use std::f64::consts::PI;

/// Reflectance of the subject where none is given.
///
/// Near dry soil and weathered rock; an 18 % grey card is close. Common
/// practice, no source.
pub const DEFAULT_REFLECTANCE: f64 = 0.15;

/// Mean of Lambert's cosine over the visible half of an upright cylinder.
///
/// From the light angle (degrees, 0 the Moon stands behind the subject, 180
/// behind the camera) to 0..pi/4, for a beam along the ground; a beam at
/// altitude h gives cos h of it. Each strip of the cylinder weighs as wide as
/// it looks. Continuous, never falls with the angle: 0, 1/4 at 90, pi/4.
///
/// # Source
/// The integral (1/2) int cos p max(0, cos(p - q)) dp over the visible half,
/// q = 180 - light angle, is ((pi - q) cos q + sin q) / 4.
pub fn upright_mean_cosine(light_angle_deg: f64) -> f64 {
    // With the light angle d = pi - q: cos q = -cos d, sin q = sin d.
    let angle = light_angle_deg.abs().min(180.0).to_radians();
    let (sin, cos) = angle.sin_cos();
    ((sin - angle * cos) / 4.0).max(0.0)
}

/// What falls on the land in the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Illumination {
    /// The Moon's beam on a surface that faces it, lux.
    pub beam_lux: f64,
    /// Its apparent altitude, degrees.
    pub moon_altitude_deg: f64,
    /// Angle between the facing direction and the Moon's azimuth, degrees.
    pub light_angle_deg: f64,
    /// Everything else on level ground (night sky, moonlit sky, twilight), lux.
    pub ambient_lux: f64,
}

/// Luminance of the foreground.
///
/// From [`Illumination`] and the land's reflectance (0 to 1) to cd/m2: the
/// mean of level ground and of an upright round subject on it, half of the
/// frame's land each. The upright part takes the beam by
/// [`upright_mean_cosine`], half of the even sky, and the light that the
/// ground before it throws back.
///
/// # Source
/// Lambert's law; the half-and-half mean is the project's choice.
pub fn land_cd_m2(light: &Illumination, reflectance: f64) -> f64 {
    let (sin, cos) = light
        .moon_altitude_deg
        .clamp(-90.0, 90.0)
        .to_radians()
        .sin_cos();
    let ground_lux = light.beam_lux * sin.max(0.0) + light.ambient_lux;
    let upright_lux = light.beam_lux * cos * upright_mean_cosine(light.light_angle_deg)
        + 0.5 * light.ambient_lux
        + 0.5 * reflectance * ground_lux;
    reflectance / PI * 0.5 * (ground_lux + upright_lux)
}

//! What the land in the frame is like.

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

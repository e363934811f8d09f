//! What snow on the ground does to the sky above it.

/// Reflectance from which the land begins to count as snow.
pub const SNOW_BEGINS: f64 = 0.4;

/// Reflectance from which it counts as snow all around.
pub const SNOW_FULL: f64 = 0.6;

/// How much brighter the moonlit sky is over snow than over bare land.
///
/// From the Moon's apparent altitude (degrees) and the reflectance of the land
/// all around (0 to 1) to a ratio: 1 over bare land and with the Moon on the
/// horizon, 1.24, 1.45 and 1.76 over snow with the Moon at 10, 20 and 40 deg.
/// The snow throws the moonlight up and the air throws part of it back. Above
/// 40 deg it is continued to 2.03 at the zenith. Continuous in both.
///
/// # Source
/// The project's fit to a computation that follows light through a spherical
/// atmosphere over a reflecting ground; the ramp from [`SNOW_BEGINS`] to
/// [`SNOW_FULL`] is the project's choice.
pub fn sky_factor_over_snow(moon_altitude_deg: f64, reflectance: f64) -> f64 {
    if reflectance <= SNOW_BEGINS {
        return 1.0;
    }
    let snow = ((reflectance - SNOW_BEGINS) / (SNOW_FULL - SNOW_BEGINS)).clamp(0.0, 1.0);
    let sin = moon_altitude_deg.clamp(0.0, 90.0).to_radians().sin();
    1.0 + snow * sin * (1.457 - 0.427 * sin)
}

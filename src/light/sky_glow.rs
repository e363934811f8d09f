//! The dome of light over a town.

use super::{dark_sky, interpolation::between, photometry::luminance_cd_m2};
use crate::scene::{DarkSky, SkyGlow};

/// Altitude from which a bearing begins to lose its meaning, degrees.
const ROUND_FROM_DEG: f64 = 45.0;

/// Altitude at which the brightness of a dome is read, degrees.
const READ_AT_DEG: f64 = 5.0;

/// The natural sky near the horizon, where the brightness of a dome is read,
/// cd/m2: what its reading has besides its own light.
pub fn sky_under_domes_cd_m2(sky: &DarkSky) -> f64 {
    luminance_cd_m2(sky.zenith_mag_arcsec2)
        * dark_sky::growth(READ_AT_DEG, sky.extinction_mag, dark_sky::AIRGLOW_PART)
}

/// What a dome adds to the sky in a direction.
///
/// From the dome, the natural dark sky where its brightness was read (near the
/// horizon under the dome, cd/m2), true azimuth and apparent altitude (degrees;
/// below the horizon as at it) to cd/m2. Never negative: a dome no brighter
/// than the natural sky adds nothing. Continuous, across north and at the
/// zenith too.
///
/// # Source
/// The shape is the project's choice: the square of a cosine in bearing, half
/// at the half width; an exponential in altitude, a tenth at the top. Toward
/// the zenith, where no bearing has a meaning, it passes into its own mean
/// round the circle.
pub fn added_cd_m2(
    glow: &SkyGlow,
    dark_sky_there_cd_m2: f64,
    azimuth_deg: f64,
    altitude_deg: f64,
) -> f64 {
    let half_width_deg = glow.half_width_in_range_deg();
    let altitude_deg = altitude_deg.clamp(0.0, 90.0);
    let across = across(glow.off_middle_deg(azimuth_deg) / half_width_deg);
    let round = ((altitude_deg - ROUND_FROM_DEG) / (90.0 - ROUND_FROM_DEG)).max(0.0);
    let sideways = between(across, half_width_deg / 180.0, round);
    let upward = (-std::f64::consts::LN_10 * altitude_deg / glow.top_in_range_deg()).exp();
    brightest_cd_m2(glow, dark_sky_there_cd_m2) * sideways * upward
}

/// What a dome adds in its middle at the horizon, cd/m2, 0 or more; see
/// [`added_cd_m2`].
pub(crate) fn brightest_cd_m2(glow: &SkyGlow, dark_sky_there_cd_m2: f64) -> f64 {
    (luminance_cd_m2(glow.mag_arcsec2.clamp(10.0, 25.0)) - dark_sky_there_cd_m2).max(0.0)
}

/// Fall of the glow sideways, from half widths off the middle to 1..0.
fn across(half_widths: f64) -> f64 {
    let cos = (half_widths.min(2.0) * std::f64::consts::FRAC_PI_4).cos();
    cos * cos
}

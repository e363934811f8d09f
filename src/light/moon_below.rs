//! The glow of a Moon that has set or not yet risen.

/// Altitude of the Moon below which it counts as no light in the air, degrees:
/// a ten-millionth of its glow on the horizon is left there.
pub(crate) const NO_GLOW_DEG: f64 = -12.0;

/// What is left of the sky's glow for a Moon below the horizon.
///
/// From the apparent altitude of its centre (degrees) to 1 at and above the
/// horizon, falling without a step below it: 0.62 one degree down, 0.32 two,
/// 0.05 four. It multiplies the glow of a Moon at altitude 0, sky and skylight
/// alike; the beam ends with the disc.
///
/// # Source
/// The project's fit, within 7 % from -0.3 to -6 deg, to a computation that
/// follows light through a spherical atmosphere (backward Monte Carlo, all
/// orders of scattering).
pub fn glow_factor_below_horizon(moon_altitude_deg: f64) -> f64 {
    // NaN counts as above.
    let below_deg = (-moon_altitude_deg).max(0.0);
    (-below_deg * (0.40 + 0.085 * below_deg)).exp()
}

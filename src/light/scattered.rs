//! Moonlight scattered into the sky.

use super::{
    air_mass,
    moon_below::glow_factor_below_horizon,
    photometry::{FOOT_CANDLE_LUX, NANOLAMBERT_CD_M2, dimmed_by_mag},
};

/// Altitude of the Moon below which its glow leaves the published law,
/// degrees: there the law's path hardly grows while the beam dies away.
pub const LOW_MOON_DEG: f64 = 5.0;

/// Part of that path's glow that a Moon on the horizon really gives.
///
/// # Source
/// The project's fit to a computation that follows light through a spherical
/// atmosphere (backward Monte Carlo, all orders of scattering).
pub const LOW_MOON_PART: f64 = 1.0 / 1.5;

/// Closest separation at which the sky beside the Moon is still sky, degrees:
/// the Moon's own radius.
const LEAST_SEPARATION_DEG: f64 = 0.25;

/// Where [`scattering`] is least, degrees: it falls up to there and rises beyond.
const LEAST_SCATTERING_DEG: f64 = 92.8;

/// 10^5.36, the molecular part's scale.
const RAYLEIGH_SCALE: f64 = 229_086.765_276_777_3;

/// Scattering function of moonlight in the air.
///
/// From the angle between Moon and target (degrees, held to 0.25..180) to the
/// published unit (nanolamberts for each foot-candle). Continuous; falls to
/// its least, 250 139, at 92.8 deg, then rises.
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eqs. 16-19 and 21. Printed,
/// the haze part changes its law at 10 deg with a jump of 16 %, darker inside;
/// here it changes where the two printed curves meet, at 8.45 deg, so the sky
/// never jumps. Outside 8.45-10 deg the value is the printed one.
pub fn scattering(separation_deg: f64) -> f64 {
    let separation_deg = separation_deg.clamp(LEAST_SEPARATION_DEG, 180.0);
    let cos = separation_deg.to_radians().cos();
    // 10^(6.15 - rho / 40), written through the magnitude helper.
    let wide = dimmed_by_mag(-2.5 * (6.15 - separation_deg / 40.0));
    let haze = if separation_deg >= 10.0 {
        wide
    } else {
        wide.max(6.2e7 / (separation_deg * separation_deg))
    };
    RAYLEIGH_SCALE * (1.06 + cos * cos) + haze
}

/// The least and the greatest [`scattering`] for separations between two,
/// degrees.
pub(crate) fn scattering_between(nearest_deg: f64, farthest_deg: f64) -> [f64; 2] {
    let ends = [nearest_deg, farthest_deg].map(scattering);
    let turns = nearest_deg < LEAST_SCATTERING_DEG && LEAST_SCATTERING_DEG < farthest_deg;
    let least = if turns {
        scattering(LEAST_SCATTERING_DEG)
    } else {
        ends[0].min(ends[1])
    };
    [least, ends[0].max(ends[1])]
}

/// Part of the moonlight that reaches the air which scatters it.
///
/// From the Moon's apparent altitude (degrees) and the extinction (V mag per
/// air mass) to 0..1. Continuous, never falls with altitude; below the horizon
/// the high air stays lit for some degrees more.
///
/// # Source
/// From 5 deg up Krisciunas and Schaefer's 10^(-0.4 k X) with their shell
/// path. Lower down it follows the mean of the beam over the whole mass of air
/// it crosses, (1 - e^-t)/t with t the optical depth along the Kasten-Young
/// path, joined at 5 deg: the project's own derivation, see `docs/model.md`.
/// Toward the horizon it passes evenly into [`LOW_MOON_PART`] of that.
/// Below the horizon times [`glow_factor_below_horizon`].
pub fn moon_transmission(apparent_altitude_deg: f64, extinction_mag: f64) -> f64 {
    let path = air_mass::shell_path(apparent_altitude_deg);
    moon_transmission_along(path, apparent_altitude_deg, extinction_mag)
}

/// The same with the Moon's [`air_mass::shell_path`].
pub(super) fn moon_transmission_along(
    path: f64,
    apparent_altitude_deg: f64,
    extinction_mag: f64,
) -> f64 {
    if apparent_altitude_deg >= LOW_MOON_DEG {
        return dimmed_by_mag(extinction_mag * path);
    }
    let joint = dimmed_by_mag(extinction_mag * air_mass::shell_path(LOW_MOON_DEG));
    let fall = mean_beam_in_air(apparent_altitude_deg, extinction_mag)
        / mean_beam_in_air(LOW_MOON_DEG, extinction_mag);
    let up = (apparent_altitude_deg / LOW_MOON_DEG).max(0.0);
    let low = LOW_MOON_PART + (1.0 - LOW_MOON_PART) * up;
    joint * fall * low * glow_factor_below_horizon(apparent_altitude_deg)
}

/// Mean of a beam's transmission over the mass of air it crosses.
///
/// From apparent altitude (degrees) and extinction (V mag per air mass) to
/// 0..1. A layer with the part `u` of the air above it gets e^(-t u); the mean
/// over u from 0 to 1 is (1 - e^-t)/t.
pub fn mean_beam_in_air(apparent_altitude_deg: f64, extinction_mag: f64) -> f64 {
    let depth = 0.4
        * std::f64::consts::LN_10
        * extinction_mag
        * air_mass::extinction_path(apparent_altitude_deg);
    if depth < 1e-9 {
        1.0
    } else {
        -(-depth).exp_m1() / depth
    }
}

/// Part of the light that the air toward the target takes out of a beam.
///
/// From the target's altitude (degrees) and the extinction (V mag per air
/// mass) to 0..1.
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eq. 15, last factor.
pub fn scattering_air(target_altitude_deg: f64, extinction_mag: f64) -> f64 {
    scattering_air_along(air_mass::shell_path(target_altitude_deg), extinction_mag)
}

/// [`scattering_air`] for a known [`air_mass::shell_path`].
pub(crate) fn scattering_air_along(path: f64, extinction_mag: f64) -> f64 {
    1.0 - dimmed_by_mag(extinction_mag * path)
}

/// Luminance that scattered moonlight adds to the sky at the target.
///
/// From lux outside the air, the Moon's transmission (see
/// [`moon_transmission`]), the separation (degrees) and the target's
/// [`scattering_air`] to cd/m2. Stated error 8 to 23 %; sound for Moon and
/// target above about 10 deg, V band, outside twilight.
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eq. 15.
pub fn luminance_cd_m2(
    outside_air_lux: f64,
    moon_transmission: f64,
    separation_deg: f64,
    scattering_air: f64,
) -> f64 {
    let scattering = scattering(separation_deg);
    scattered_cd_m2(
        outside_air_lux,
        moon_transmission,
        scattering,
        scattering_air,
    )
}

/// [`luminance_cd_m2`] for a known [`scattering`].
pub(crate) fn scattered_cd_m2(
    outside_air_lux: f64,
    moon_transmission: f64,
    scattering: f64,
    scattering_air: f64,
) -> f64 {
    NANOLAMBERT_CD_M2
        * scattering
        * (outside_air_lux / FOOT_CANDLE_LUX)
        * moon_transmission
        * scattering_air
}

/// Illuminance that the moonlit sky gives level ground.
///
/// From lux outside the air, the Moon's transmission, its apparent altitude
/// (degrees) and the extinction (V mag per air mass) to lux. Within 5 % of the
/// numerical integral of [`luminance_cd_m2`] over the sky for extinctions of
/// 0.1 to 0.4 (`tests/light/moonlight.rs` holds it).
///
/// # Source
/// The project's fit to that integral.
pub fn skylight_lux(
    outside_air_lux: f64,
    moon_transmission: f64,
    moon_altitude_deg: f64,
    extinction_mag: f64,
) -> f64 {
    let sin_altitude = moon_altitude_deg.to_radians().sin();
    let air = scattering_air_of_all(extinction_mag);
    skylight_by(outside_air_lux, moon_transmission, sin_altitude, air)
}

/// The air that scatters light of the whole sky onto level ground.
pub(super) fn scattering_air_of_all(extinction_mag: f64) -> f64 {
    scattering_air_along(1.7, extinction_mag)
}

/// [`skylight_lux`] by the sine of the Moon's altitude and
/// [`scattering_air_of_all`].
pub(super) fn skylight_by(
    outside_air_lux: f64,
    moon_transmission: f64,
    sin_altitude: f64,
    scattering_air: f64,
) -> f64 {
    let sin_altitude = sin_altitude.max(0.0);
    let mean_scattering = 345_000.0 + sin_altitude * (335_000.0 - 138_000.0 * sin_altitude);
    std::f64::consts::PI
        * NANOLAMBERT_CD_M2
        * mean_scattering
        * (outside_air_lux / FOOT_CANDLE_LUX)
        * moon_transmission
        * scattering_air
}

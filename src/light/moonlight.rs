//! The Moon's beam: what falls on a surface that faces it.

use std::f64::consts::PI;

use super::{
    air_mass,
    photometry::{FOOT_CANDLE_LUX, dimmed_by_mag},
};

/// The distance at which the phase law holds, km.
///
/// # Source
/// Mean distance of the Moon's centre, 384 400 km (IAU, common handbook value).
pub const MEAN_DISTANCE_KM: f64 = 384_400.0;

/// The Moon's radius, km.
///
/// # Source
/// 1737.4 km (IAU Working Group on Cartographic Coordinates, 2009).
pub const MOON_RADIUS_KM: f64 = 1737.4;

/// Magnitude of a full Moon outside the air on Krisciunas and Schaefer's
/// foot-candle scale, -12.73 + 16.57.
const FULL_MOON_FOOT_CANDLE_MAG: f64 = 3.84;

/// Distances outside this are not the Moon's and count as the nearer end, km.
const DISTANCE_RANGE_KM: (f64, f64) = (340_000.0, 420_000.0);

/// How much fainter the Moon is than at full.
///
/// From the phase angle (degrees, 0 full, 180 new; clamped to that) to
/// magnitudes. Without the opposition surge below 7 deg (the real full Moon is
/// up to 35 % brighter), earthshine or the difference of waxing and waning;
/// beyond 150 deg read it as "negligible".
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eq. 9 (after Allen).
pub fn phase_dimming_mag(phase_angle_deg: f64) -> f64 {
    let angle = phase_angle_deg.abs().min(180.0);
    let square = angle * angle;
    0.026 * angle + 4e-9 * square * square
}

/// Illuminance outside the air on a surface that faces the Moon.
///
/// From the phase angle (degrees) and the observer's distance (km, held to
/// 340 000-420 000) to lux; 0.3133 at mean distance and full.
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eqs. 8 and 20, with the
/// inverse square of the distance. Implies 2.535e-6 lux for magnitude 0 (Allen
/// 2.54e-6).
pub fn beam_outside_air_lux(phase_angle_deg: f64, distance_km: f64) -> f64 {
    let distance_km = distance_km.clamp(DISTANCE_RANGE_KM.0, DISTANCE_RANGE_KM.1);
    let nearness = MEAN_DISTANCE_KM / distance_km;
    FOOT_CANDLE_LUX
        * dimmed_by_mag(FULL_MOON_FOOT_CANDLE_MAG + phase_dimming_mag(phase_angle_deg))
        * nearness
        * nearness
}

/// Apparent radius of the Moon.
///
/// From the observer's distance (km, held to 340 000-420 000) to degrees.
pub fn semi_diameter_deg(distance_km: f64) -> f64 {
    let distance_km = distance_km.clamp(DISTANCE_RANGE_KM.0, DISTANCE_RANGE_KM.1);
    (MOON_RADIUS_KM / distance_km).to_degrees()
}

/// Part of the Moon's disc above a level horizon.
///
/// From the apparent altitude of its centre and its apparent radius (degrees)
/// to 0..1: the area of a circle cut by a straight line. The flattening of the
/// low disc by refraction and the place of the lit part are left out.
pub fn disc_above_horizon(centre_altitude_deg: f64, semi_diameter_deg: f64) -> f64 {
    let cut = centre_altitude_deg / semi_diameter_deg;
    if cut >= 1.0 {
        1.0
    } else if cut <= -1.0 {
        0.0
    } else {
        (0.5 + (cut.asin() + cut * (1.0 - cut * cut).sqrt()) / PI).clamp(0.0, 1.0)
    }
}

/// Illuminance of the Moon's beam on a surface that faces it.
///
/// From phase angle (degrees), observer's distance (km), apparent altitude of
/// the centre (degrees) and extinction (V mag per air mass, not negative) to
/// lux. Falls continuously to 0 while the disc sets and stays 0 below.
///
/// # Source
/// [`beam_outside_air_lux`] dimmed along [`air_mass::extinction_path`], times
/// [`disc_above_horizon`].
pub fn beam_lux(
    phase_angle_deg: f64,
    distance_km: f64,
    apparent_altitude_deg: f64,
    extinction_mag: f64,
) -> f64 {
    let disc = disc_above_horizon(apparent_altitude_deg, semi_diameter_deg(distance_km));
    if disc == 0.0 {
        return 0.0;
    }
    disc * beam_outside_air_lux(phase_angle_deg, distance_km)
        * dimmed_by_mag(extinction_mag * air_mass::extinction_path(apparent_altitude_deg))
}

/// What a beam gives level ground.
///
/// From lux facing the beam and the beam's apparent altitude (degrees) to lux;
/// 0 at or below the horizon. Lambert's cosine law.
pub fn level_ground_lux(beam_lux: f64, apparent_altitude_deg: f64) -> f64 {
    level_ground_by(beam_lux, apparent_altitude_deg.to_radians().sin())
}

/// The same by the sine of the altitude.
pub(super) fn level_ground_by(beam_lux: f64, sin_altitude: f64) -> f64 {
    beam_lux * sin_altitude.max(0.0)
}

/// What a beam gives an upright face turned squarely to the camera.
///
/// From lux facing the beam, its apparent altitude and the light angle (both
/// degrees; 0 the Moon stands behind the subject, 180 behind the camera) to
/// lux; 0 where the Moon is behind the face. Lambert's cosine law.
pub fn facing_camera_lux(beam_lux: f64, apparent_altitude_deg: f64, light_angle_deg: f64) -> f64 {
    beam_lux
        * apparent_altitude_deg.to_radians().cos().max(0.0)
        * (-light_angle_deg.to_radians().cos()).max(0.0)
}

//! How bright the Moon's disc itself is, for pictures of it.

use super::{
    air_mass,
    assess::Assessment,
    moonlight::{MEAN_DISTANCE_KM, beam_outside_air_lux, semi_diameter_deg},
    photometry::{dimmed_by_mag, stops_between},
};
use std::f64::consts::PI;

/// Phase angle from which on the luminance of the lit part is held, degrees:
/// the phase law has no data there, and the lit part's area goes to 0.
const LAST_PHASE_DEG: f64 = 150.0;

/// Angle from the Moon's centre at which the sky beside it is meant, degrees: a
/// dozen radii, clear of the disc and its aureole and in the same frame of most
/// lenses. Nearer the law of the moonlit sky is an extrapolation. The project's
/// choice.
pub const BESIDE_DEG: f64 = 3.0;

/// Luminance of the lit part of the Moon's disc outside the air, its mean.
///
/// From the phase angle (degrees, 0 full) to cd/m2; 4881 at full, whatever the
/// distance: light and area grow together. Beyond 150 deg as at 150.
///
/// # Source
/// The light of [`beam_outside_air_lux`] over the solid angle of the lit part:
/// the disc's times the illuminated fraction (1 + cos i) / 2 (Meeus,
/// *Astronomical Algorithms*, 2nd ed., eq. 48.1).
pub fn luminance_outside_air_cd_m2(phase_angle_deg: f64) -> f64 {
    let phase_deg = phase_angle_deg.abs().min(LAST_PHASE_DEG);
    let radius = semi_diameter_deg(MEAN_DISTANCE_KM).to_radians();
    let lit = 0.5 * (1.0 + phase_deg.to_radians().cos());
    beam_outside_air_lux(phase_deg, MEAN_DISTANCE_KM) / (PI * radius * radius * lit)
}

/// The same as it reaches the ground, without the light of the air before it.
///
/// From phase angle and apparent altitude of the centre (degrees; below the
/// horizon as on it) and the extinction (V mag per air mass) to cd/m2.
///
/// # Source
/// Dimmed along [`air_mass::extinction_path`].
pub fn luminance_cd_m2(
    phase_angle_deg: f64,
    apparent_altitude_deg: f64,
    extinction_mag: f64,
) -> f64 {
    let path = air_mass::extinction_path(apparent_altitude_deg);
    luminance_outside_air_cd_m2(phase_angle_deg) * dimmed_by_mag(extinction_mag * path)
}

impl Assessment {
    /// Stops from the land up to the Moon's disc, for light of the sky beside
    /// that disc: the air before the disc shines as well as the disc.
    pub fn disc_over_land_stops(&self) -> f64 {
        stops_between(self.moon_disc_cd_m2 + self.sky_cd_m2, self.land_cd_m2)
    }

    /// Stops from that sky up to the disc, 0 or more.
    pub fn disc_over_sky_stops(&self) -> f64 {
        stops_between(self.moon_disc_cd_m2 + self.sky_cd_m2, self.sky_cd_m2)
    }
}

/// Stops that a disc must be brighter than the sky beside it to show to 0.63.
/// The project's choice.
pub const SHOWS_STOPS: f64 = 1.0;
/// Stops from the land up to the disc that one exposure holds with ease: the
/// disc 2 above mid-tone, the land 3 below. Common practice, no source.
const EASY_STOPS: f64 = 5.0;
/// Stops from the land up to the disc that one exposure just holds, to 0.61: the
/// disc 2.5 above mid-tone and still with its seas, the land 4.5 below. Common
/// practice, no source.
pub const HELD_STOPS: f64 = 7.0;

/// Where a frame of the Moon puts its disc, stops above mid-tone: bright, with
/// its seas. Common practice, no source.
pub const DISC_PLACEMENT_STOPS: f64 = 2.0;

/// How nearly one exposure holds the Moon's disc and the land, 0 to 1.
///
/// From the stops that the disc, with the light of the air before it, is
/// brighter than the land and than the sky beside it: whole up to 5 stops over
/// the land, 0.61 at 7, 0.14 at 9; times how well the disc shows, 0.63 a stop
/// over the sky, 0.95 at three.
pub fn one_exposure(over_land_stops: f64, over_sky_stops: f64) -> f64 {
    let beyond = ((over_land_stops - EASY_STOPS) / (HELD_STOPS - EASY_STOPS)).max(0.0);
    let shows = -(-over_sky_stops.max(0.0) / SHOWS_STOPS).exp_m1();
    (-0.5 * beyond * beyond).exp() * shows
}

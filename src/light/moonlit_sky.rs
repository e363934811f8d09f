//! The moonlit sky in any air, by molecules and haze.
//!
//! A rival of Krisciunas and Schaefer's law in [`scattered`](super::scattered):
//! theirs was fitted in one air (extinction 0.172), this one counts molecules,
//! ozone and haze apart.

use std::f64::consts::PI;

use super::air_mass;

/// Molecules over a place at the sea, optical depth in V.
const MOLECULES: f64 = 0.0976;
/// Height over which they thin, km.
const MOLECULES_KM: f64 = 8.0;
/// Ozone, optical depth in V: it takes light and scatters none.
const OZONE: f64 = 0.025;
/// Part of what haze takes out of a beam that it scatters.
const HAZE_ALBEDO: f64 = 0.95;
/// How far haze throws light forward: mean cosine of its scattering.
const HAZE_ASYMMETRY: f64 = 0.7;

/// The Moon, the target and the air between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scattering {
    /// Apparent altitude of the Moon, degrees; below the horizon as at it.
    pub moon_altitude_deg: f64,
    /// Apparent altitude of the target, degrees; below the horizon as at it.
    pub target_altitude_deg: f64,
    /// Angle between them, degrees, 0 to 180.
    pub separation_deg: f64,
    /// Extinction, V magnitudes per air mass, 0 to 3.
    pub extinction_mag: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
}

/// Luminance of the moonlit sky for each lux of the Moon outside the air.
///
/// To cd/m2 for each lux, which is one over steradians. Spread 5.8 % rms
/// about its reference for a Moon more than 10 deg from the target in air of
/// any extinction; nearer, the halo of real haze is steeper. Continuous.
///
/// # Source
/// Single scattering by Rayleigh's and Henyey and Greenstein's (*ApJ* 93, 70,
/// 1941) phase functions in mixed layers, closed form, along
/// [`air_mass::extinction_path`]; the factor and the second term for light
/// scattered more than once are the project's fit to a computation that
/// follows light through a spherical atmosphere (backward Monte Carlo, all
/// orders of scattering).
pub fn luminance_over_illuminance(scene: &Scattering) -> f64 {
    let depth = scene.extinction_mag.clamp(0.0, 3.0) * 0.4 * std::f64::consts::LN_10;
    let molecules = (MOLECULES * (-scene.elevation_m / 1000.0 / MOLECULES_KM).exp()).min(depth);
    let haze = HAZE_ALBEDO * (depth - molecules - OZONE).max(0.0);
    let scatters = molecules + haze;

    let moon_path = air_mass::extinction_path(scene.moon_altitude_deg);
    let path = air_mass::extinction_path(scene.target_altitude_deg);
    let cos = scene.separation_deg.clamp(0.0, 180.0).to_radians().cos();
    let phase = molecules * rayleigh(cos) + haze * henyey_greenstein(cos);

    let once = phase
        * path
        * (-depth * path).exp()
        * mean_fall(depth * (moon_path - path))
        * (1.0 + 0.320 * scatters);
    let often = 1.797
        * scatters.powf(1.939)
        * path.powf(1.320)
        * (-0.631 * depth * path).exp()
        * mean_fall(1.490 * depth * moon_path)
        / (4.0 * PI);
    once + often
}

/// Rayleigh's phase function of the cosine, per steradian.
fn rayleigh(cos: f64) -> f64 {
    3.0 / (16.0 * PI) * (1.0 + cos * cos)
}

/// Henyey and Greenstein's phase function of the cosine, per steradian.
fn henyey_greenstein(cos: f64) -> f64 {
    const G: f64 = HAZE_ASYMMETRY;
    let nearness = 1.0 + G * (G - 2.0 * cos);
    (1.0 - G * G) / (4.0 * PI * nearness * nearness.sqrt())
}

/// Mean of e^-x over x from 0 to `depth`, of either sign.
fn mean_fall(depth: f64) -> f64 {
    if depth.abs() < 1e-9 {
        1.0
    } else {
        -(-depth).exp_m1() / depth
    }
}

//! How the Milky Way stands out from the sky before it.

use super::{air_mass, photometry};
use crate::scene::TownDome;

/// Surface brightness of the core region above the air, V mag/arcsec2.
///
/// The mean of [`CORE_FIELD`](super::starlight::CORE_FIELD), 10 by 6 degrees of
/// the bright half below the plane; uncertain by 0.25 mag. The star clouds at
/// their brightest are nearer 20.4, the plane itself behind its dust 21.6.
///
/// # Source
/// [`CORE_FIELD_S10`](super::starlight::CORE_FIELD_S10), with 1 S10 = 27.78 mag/arcsec2.
pub const CORE_MAG_ARCSEC2: f64 = 20.65;

/// Contrast below which the Milky Way is washed out. The project's choice.
pub const WASHED_OUT_BELOW: f64 = 0.3;

/// Contrast below which there is no point in trying. The project's choice.
pub const HOPELESS_BELOW: f64 = 0.1;

/// A contrast put into words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Visibility {
    /// Contrast of 0.3 or more.
    Clear,
    /// From 0.1 to 0.3.
    WashedOut,
    /// Below 0.1.
    Hopeless,
}

/// Luminance of the Milky Way as it reaches the ground.
///
/// From V mag/arcsec2 above the air, apparent altitude (degrees; below the
/// horizon as at it) and extinction (V mag per air mass) to cd/m2, dimmed
/// along [`air_mass::extinction_path`].
pub fn luminance_cd_m2(
    above_air_mag_arcsec2: f64,
    apparent_altitude_deg: f64,
    extinction_mag: f64,
) -> f64 {
    photometry::luminance_cd_m2(
        above_air_mag_arcsec2 + extinction_mag * air_mass::extinction_path(apparent_altitude_deg),
    )
}

/// Contrast of the Milky Way: its luminance over that of the sky before it.
///
/// From two luminances in cd/m2 (the sky's positive) to a ratio; about 1 under
/// a natural sky.
pub fn contrast(milky_way_cd_m2: f64, sky_cd_m2: f64) -> f64 {
    milky_way_cd_m2 / sky_cd_m2
}

/// Contrast of the core low over a town: at [`TownDome::SAID_AT_DEG`], toward
/// the middle of its dome, without Moon and twilight.
///
/// `extinction_mag` in V mag per air mass; a ratio as [`contrast`].
pub fn core_contrast_over(dome: &TownDome, extinction_mag: f64) -> f64 {
    let core = luminance_cd_m2(CORE_MAG_ARCSEC2, TownDome::SAID_AT_DEG, extinction_mag);
    contrast(core, photometry::luminance_cd_m2(dome.sky_mag_arcsec2))
}

/// A contrast in words.
///
/// Thresholds: [`WASHED_OUT_BELOW`], [`HOPELESS_BELOW`].
pub fn visibility(contrast: f64) -> Visibility {
    if contrast >= WASHED_OUT_BELOW {
        Visibility::Clear
    } else if contrast >= HOPELESS_BELOW {
        Visibility::WashedOut
    } else {
        Visibility::Hopeless
    }
}

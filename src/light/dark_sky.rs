//! The moonless sky of the site at any altitude.

use super::{air_mass, photometry::dimmed_by_mag};

/// Part of the dark zenith sky that grows with the air path, as airglow does.
///
/// # Source
/// Patat, F., *A&A* 400, 1183 (2003), app. C: about 0.6.
pub const AIRGLOW_PART: f64 = 0.6;

/// How much brighter the dark sky is than at the zenith.
///
/// From the altitude (degrees; below the horizon as at it), the extinction (V
/// mag per air mass) and the part that grows with the path (0 to 1) to a
/// luminance ratio, never below 1.
///
/// With `airglow_part = 1` and no floor this is Krisciunas and Schaefer's
/// eq. 2.
///
/// # Source
/// Patat, F., *A&A* 400, 1183 (2003), app. C. The floor is the project's
/// choice: in haze the formula would let the horizon grow darker than the
/// zenith, for it counts light scattered out of the way and none scattered in.
pub fn growth(altitude_deg: f64, extinction_mag: f64, airglow_part: f64) -> f64 {
    growth_along(
        air_mass::shell_path(altitude_deg),
        extinction_mag,
        airglow_part,
    )
}

/// [`growth`] for a known [`air_mass::shell_path`].
pub(crate) fn growth_along(path: f64, extinction_mag: f64, airglow_part: f64) -> f64 {
    let longer = 1.0 - airglow_part + airglow_part * path;
    (longer * dimmed_by_mag(extinction_mag * (path - 1.0))).max(1.0)
}

/// The least and the greatest [`growth`] for shell paths between two.
pub(crate) fn growth_between(
    [shortest, longest]: [f64; 2],
    extinction_mag: f64,
    airglow_part: f64,
) -> [f64; 2] {
    let at = |path| growth_along(path, extinction_mag, airglow_part);
    // It grows up to where the air takes as much as a longer path adds.
    let turns = 1.0 / (0.4 * std::f64::consts::LN_10 * extinction_mag)
        - (1.0 - airglow_part) / airglow_part;
    let (first, last) = (at(shortest), at(longest));
    let most = if shortest < turns && turns < longest {
        at(turns)
    } else {
        first.max(last)
    };
    [first.min(last), most]
}

/// The dark sky of nature behind a target: that of airglow and starlight, and what
/// zodiacal light adds to it, cd/m2. It goes up with both.
///
/// Where subtracting zodiacal light that the zenith reading holds would take more,
/// a part of the even sky is left.
pub(crate) fn natural_cd_m2(even_cd_m2: f64, zodiacal_cd_m2: f64) -> f64 {
    (even_cd_m2 + zodiacal_cd_m2).max(LEAST_DARK_PART * even_cd_m2)
}

/// Part of the even sky that is left at the least.
const LEAST_DARK_PART: f64 = 0.25;

/// Extinctions beyond this count as it in the two factors below: the fits end
/// there, and the sky is nearly even by then.
const FACTORS_TO_MAG: f64 = 0.4;

/// Light of the dark sky on level ground over that of an even sky of the
/// zenith's brightness.
///
/// From the extinction (V mag per air mass) to a ratio over pi times the
/// zenith's luminance; 1.24 at 0.15. Within 0.0014 to 0.40; held beyond, within
/// 0.06.
///
/// # Source
/// The project's fit to the integral of [`growth`] with [`AIRGLOW_PART`] over
/// the sky.
pub fn level_ground_factor(extinction_mag: f64) -> f64 {
    let k = extinction_mag.clamp(0.0, FACTORS_TO_MAG);
    1.400 - k * (1.146 - 0.715 * k)
}

/// The same on an upright face with a free horizon.
///
/// 0.75 at 0.15; an even sky gives half. Within 0.0047 to 0.40; held beyond,
/// within 0.03.
pub fn upright_factor(extinction_mag: f64) -> f64 {
    let k = extinction_mag.clamp(0.0, FACTORS_TO_MAG);
    0.981 - k * (1.791 - 1.626 * k)
}

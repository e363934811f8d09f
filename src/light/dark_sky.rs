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

//! How clear the air is where nobody has measured it.

/// Elevations outside this count as the nearer end, m.
const ELEVATION_RANGE_M: (f64, f64) = (-500.0, 9000.0);

/// Optical thickness of the ozone layer and of old, high aerosol, V mag.
const OZONE_AND_OLD_AEROSOL_MAG: f64 = 0.035;

/// Extinction of a clear night by the elevation of the place.
///
/// From metres above the sea (held to -500..9000) to V magnitudes per air
/// mass: 0.200 at the sea, 0.133 at 2000 m. A default for where none is
/// measured; haze, smoke and dust raise it.
///
/// # Source
/// Molecules (0.106 at the sea, thinning over 8 km), ozone and old aerosol
/// (0.035), haze (0.059, thinning over 1.5 km): the project's sum, after
/// 0.12-0.13 at observatories at 2600 m and 0.11 at 4200 m (from memory).
pub fn extinction_at_elevation_mag(elevation_m: f64) -> f64 {
    let z_km = elevation_m.clamp(ELEVATION_RANGE_M.0, ELEVATION_RANGE_M.1) / 1000.0;
    0.106 * (-z_km / 8.0).exp() + OZONE_AND_OLD_AEROSOL_MAG + 0.059 * (-z_km / 1.5).exp()
}

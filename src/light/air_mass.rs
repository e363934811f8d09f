//! How much air a ray passes through.

/// Relative optical air mass along a ray that arrives at an apparent altitude.
///
/// Dimensionless, 1 at the zenith, 37.92 at the horizon; an altitude below the
/// horizon counts as 0, one above 90 as 90. Falls monotonically with altitude.
/// Used for whatever shines *through* the air: the Moon's beam, the Milky Way.
///
/// # Source
/// Kasten, F. & Young, A.T., *Applied Optics* 28, 4735-4738 (1989), held at
/// 1 where the fit gives 0.9997.
pub fn extinction_path(apparent_altitude_deg: f64) -> f64 {
    let altitude_deg = apparent_altitude_deg.clamp(0.0, 90.0);
    extinction_path_by(altitude_deg, altitude_deg.to_radians().sin())
}

/// The same for an altitude of 0 to 90 degrees with its sine.
pub(super) fn extinction_path_by(altitude_deg: f64, sin: f64) -> f64 {
    let path = 1.0 / (sin + 0.50572 * (altitude_deg + 6.07995).powf(-1.6364));
    path.max(1.0)
}

/// How fast [`extinction_path`] falls with altitude.
///
/// From apparent altitude (degrees) to air masses per degree, 0 or more; the
/// steeper the lower.
pub(crate) fn extinction_path_slope(apparent_altitude_deg: f64) -> f64 {
    let altitude_deg = apparent_altitude_deg.clamp(0.0, 90.0);
    let (sin, cos) = altitude_deg.to_radians().sin_cos();
    let lifted = altitude_deg + 6.07995;
    let below = sin + 0.50572 * lifted.powf(-1.6364);
    let slope = cos.to_radians() - 0.50572 * 1.6364 * lifted.powf(-2.6364);
    (slope / (below * below)).max(0.0)
}

/// Path length through a high thin shell, for light made or scattered *in* the
/// air.
///
/// Dimensionless, 1 at the zenith, exactly 5 at the horizon and below it. Not
/// an extinction path: the published scattered-moonlight formula was fitted
/// with it and must keep it.
///
/// # Source
/// Krisciunas, K. & Schaefer, B.E., *PASP* 103, 1033-1039 (1991), eq. 3.
pub fn shell_path(altitude_deg: f64) -> f64 {
    shell_path_by(altitude_deg.clamp(0.0, 90.0).to_radians().cos())
}

/// The same by the cosine of an altitude of 0 to 90 degrees.
pub(super) fn shell_path_by(cos: f64) -> f64 {
    1.0 / (1.0 - 0.96 * cos * cos).sqrt()
}

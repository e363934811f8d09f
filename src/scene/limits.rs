//! The limits of a site's numbers, wherever they come from.

use super::value_error::ValueError;
use crate::terrain::GROUND_HEIGHTS_M;

/// A lowest and a highest value, both allowed.
pub(crate) type Limits = (f64, f64);

/// Elevation of a camera or of a subject's foot, metres.
pub(crate) const ELEVATIONS_M: Limits = (GROUND_HEIGHTS_M.0 as f64, GROUND_HEIGHTS_M.1 as f64);
/// Distance to a subject, metres.
pub(crate) const DISTANCES_M: Limits = (0.1, 200_000.0);
/// Height of a subject, metres.
pub(crate) const HEIGHTS_M: Limits = (0.01, 9000.0);
/// Width of a subject, metres.
pub(crate) const WIDTHS_M: Limits = (0.01, 20_000.0);
/// Focal length of a lens, millimetres.
pub(crate) const FOCAL_LENGTHS_MM: Limits = (1.0, 3000.0);
/// Diffuse reflectance.
pub(crate) const REFLECTANCES: Limits = (0.0, 1.0);
/// Zenith brightness of the dark sky, V mag/arcsec2.
pub(crate) const ZENITH_MAGS: Limits = (14.0, 22.5);
/// Extinction, V magnitudes per air mass.
pub(crate) const EXTINCTIONS_MAG: Limits = (0.05, 2.0);
/// Half width of a town's dome, degrees.
pub(crate) const GLOW_HALF_WIDTHS_DEG: Limits = (1.0, 90.0);
/// Altitude that a town's dome reaches, degrees.
pub(crate) const GLOW_ALTITUDES_DEG: Limits = (1.0, 90.0);
/// Brightness of the sky in a town's dome, V mag/arcsec2.
pub(crate) const GLOW_MAGS: Limits = (10.0, 22.0);
/// Air pressure, hPa.
pub(crate) const PRESSURES_HPA: Limits = (200.0, 1100.0);
/// Air temperature, degrees Celsius.
pub(crate) const TEMPERATURES_C: Limits = (-90.0, 60.0);

/// A site's number that is outside its limits or NaN.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {error}")]
#[non_exhaustive]
pub struct SiteError {
    /// The key of the site file that it would be read from.
    pub key: &'static str,
    /// What is wrong with it.
    pub error: ValueError,
}

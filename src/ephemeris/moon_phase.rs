//! How much of the Moon is lit.

use super::{Ephemeris, Moment, separation_deg};
use glam::DVec3;

/// The Moon's phase as almanacs print it: geocentric.
///
/// From the *apparent* places of Sun and Moon (light time and aberration
/// included). From astrometric places the same illuminated fraction falls up to
/// 41 s earlier or later; both conventions are in use.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct MoonPhase {
    /// Illuminated fraction of the disc, 0 to 1.
    pub illuminated_fraction: f64,
    /// Angle Sun-Moon-Earth, degrees: 0 full, 180 new.
    pub phase_angle_deg: f64,
    /// Angle Sun-Earth-Moon, degrees.
    pub elongation_deg: f64,
    /// Whether the Moon stands east of the Sun, along the ecliptic.
    pub waxing: bool,
}

/// Illuminated fraction of the Moon from geocentric vectors of Sun and Moon:
/// `(1 + cos phase angle) / 2`, Meeus, *Astronomical Algorithms*, 2nd ed.,
/// eqs. 48.1 and 48.3.
#[inline]
pub(crate) fn illuminated_fraction(sun_km: DVec3, moon_km: DVec3) -> f64 {
    let to_sun = sun_km - moon_km;
    let cosine = -to_sun.dot(moon_km) / (to_sun.length_squared() * moon_km.length_squared()).sqrt();
    0.5 * (1.0 + cosine)
}

/// Angle Sun-Moon-Earth, degrees, from geocentric vectors of Sun and Moon.
pub(crate) fn phase_angle_deg(sun_km: DVec3, moon_km: DVec3) -> f64 {
    separation_deg(sun_km - moon_km, -moon_km)
}

impl Ephemeris {
    /// The Moon's phase at `moment`.
    pub fn moon_phase(&self, moment: Moment) -> MoonPhase {
        let (sun, moon) = (self.sun_km(moment), self.moon_km(moment));
        MoonPhase {
            illuminated_fraction: illuminated_fraction(sun, moon),
            phase_angle_deg: phase_angle_deg(sun, moon),
            elongation_deg: separation_deg(sun, moon),
            waxing: sun.cross(moon).dot(self.ecliptic_pole(moment)) > 0.0,
        }
    }
}

//! The arch that the Milky Way makes over the horizon.

use super::{altitude_deg, azimuth_deg};
use glam::DVec3;

/// The galactic equator above the horizon: a half circle from foot to foot.
///
/// Geometric (no refraction) and without aberration (20"); the arch is degrees
/// wide.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Arch {
    /// Geometric altitude of its highest point, degrees, 0 to 90.
    pub top_altitude_deg: f64,
    /// Azimuth of its highest point, degrees.
    pub top_azimuth_deg: f64,
    /// Galactic longitude of its highest point, degrees, 0 to 360.
    pub top_galactic_longitude_deg: f64,
    /// Where it meets the horizon; the foot with the smaller azimuth first.
    pub feet: [Foot; 2],
}

/// Where the galactic equator meets the horizon.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Foot {
    /// Azimuth, degrees.
    pub azimuth_deg: f64,
    /// Galactic longitude, degrees, 0 to 360.
    pub galactic_longitude_deg: f64,
}

impl Arch {
    /// The arch whose galactic north pole and whose point at galactic
    /// longitude and latitude 0 stand at these local directions; `None` where
    /// the pole is in the zenith or nadir and the arch lies on the horizon.
    pub(crate) fn from_pole(pole: DVec3, origin: DVec3) -> Option<Self> {
        let top = top_of_arch(pole)?;
        let foot = pole.cross(DVec3::Z).try_normalize()?;
        let ninety = pole.cross(origin);
        let longitude = |v: DVec3| {
            let l = v
                .dot(ninety)
                .atan2(v.dot(origin))
                .to_degrees()
                .rem_euclid(360.0);
            if l >= 360.0 { 0.0 } else { l }
        };
        let mut feet = [foot, -foot].map(|v| Foot {
            azimuth_deg: azimuth_deg(v),
            galactic_longitude_deg: longitude(v),
        });
        if feet[1].azimuth_deg < feet[0].azimuth_deg {
            feet.swap(0, 1);
        }
        Some(Self {
            top_altitude_deg: altitude_deg(top),
            top_azimuth_deg: azimuth_deg(top),
            top_galactic_longitude_deg: longitude(top),
            feet,
        })
    }
}

/// The highest point of the arch of a galactic pole; see [`Arch::from_pole`].
pub(crate) fn top_of_arch(pole: DVec3) -> Option<DVec3> {
    (DVec3::Z - pole * pole.z).try_normalize()
}

/// Angle between the Milky Way's plane and the horizontal at `target`, degrees,
/// 0 (lying) to 90 (upright); `None` in the zenith or at a galactic pole.
///
/// The plane's direction there is that of the circle of constant galactic
/// latitude through the target.
pub(crate) fn tilt_deg(target: DVec3, pole: DVec3) -> Option<f64> {
    let along = pole.cross(target).try_normalize()?;
    let level = DVec3::Z.cross(target).try_normalize()?;
    let cosine = along.dot(level).abs();
    Some(along.cross(level).length().atan2(cosine).to_degrees())
}

//! From where, as far from the subject as the camera is, the target stands
//! straight above it.

use crate::{
    rule::{Conditions, offset_deg},
    scene::Site,
};

/// Farther from the subject's bearing than this the way is too long to walk for
/// one picture, degrees. The project's choice.
const FARTHEST_DEG: f64 = 60.0;

/// A place as far from the subject as the camera, with the target straight above
/// the subject.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct StraightAbove {
    /// True bearing of the subject from there, degrees: the target's azimuth.
    pub bearing_deg: f64,
    /// How far it is from the camera, metres.
    pub from_camera_m: f64,
    /// Whether it lies to the left of the line from the camera to the subject.
    pub to_left: bool,
}

impl StraightAbove {
    /// That of an instant; `None` where the subject's distance is not known, the
    /// target is down, or more than 60 degrees of azimuth from the subject.
    ///
    /// On a level plane: the chord of a circle about the subject. The target's
    /// direction is taken as that from the camera, which for the Moon at 1 km is
    /// good to 0.0002 degrees.
    pub fn of(site: &Site, instant: &Conditions) -> Option<Self> {
        let distance_m = site.subject_distance_m()?;
        let target = &instant.sky.target;
        let turn_deg = offset_deg(target.azimuth_deg, site.subject_bearing_deg()?);
        let reached = target.apparent_altitude_deg > 0.0 && turn_deg.abs() <= FARTHEST_DEG;
        reached.then(|| Self {
            bearing_deg: target.azimuth_deg,
            from_camera_m: 2.0 * distance_m * (0.5 * turn_deg).to_radians().sin().abs(),
            to_left: turn_deg > 0.0,
        })
    }
}

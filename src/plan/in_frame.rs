//! What a camera has in its frame in the direction it points.

use crate::{
    light::{FramePosition, Optics, Orientation, Pointing, View},
    rule::Conditions,
    scene::Site,
    search::half_way_to_target,
};

/// Where a camera points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Aimed {
    /// Level, in the camera direction.
    Level,
    /// Half-way between that and the target.
    HalfWay,
}

/// What a camera has in its frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct InFrame {
    /// Where it points.
    pub aimed: Aimed,
    /// Landscape or portrait.
    pub orientation: Orientation,
    /// Whether the target is in the frame.
    pub target: bool,
    /// Whether the Moon is in the frame, even below the horizon.
    pub moon: bool,
    /// Whether the subject's foot is in the frame; `None` without a subject.
    pub subject: Option<bool>,
}

impl InFrame {
    /// Every direction and orientation of the camera that is worth a try at an
    /// instant.
    pub fn each(site: &Site, optics: &Optics, instant: &Conditions) -> Vec<Self> {
        let sky = &instant.sky;
        let level = Pointing::new(instant.facing_deg, 0.0);
        let target = Pointing::new(sky.target.azimuth_deg, sky.target.apparent_altitude_deg);
        let moon = Pointing::new(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
        let subject = site.subject_bearing_deg();
        let half_way = half_way_to_target(instant).map(|at| (Aimed::HalfWay, at));
        std::iter::once((Aimed::Level, level))
            .chain(half_way)
            .flat_map(|(aimed, pointing)| {
                [Orientation::Landscape, Orientation::Portrait].map(|orientation| {
                    let view = View::new(optics, orientation, pointing);
                    let holds = |thing| {
                        let at = view.position(thing);
                        at.as_ref().is_some_and(FramePosition::is_in_frame)
                    };
                    Self {
                        aimed,
                        orientation,
                        target: holds(target),
                        moon: holds(moon),
                        subject: subject.map(|bearing| holds(Pointing::new(bearing, 0.0))),
                    }
                })
            })
            .collect()
    }
}

//! The frames that a picture is made of, and what they hold.

use super::{
    frame_plan::{FramePlan, FramedAs},
    planner::Planner,
};
use crate::{
    light::{
        Optics, Orientation, Panorama, PanoramaSpan, Pointing, View,
        milky_way::{Visibility, visibility},
        panorama::{DEFAULT_ARCH_MARGIN_DEG, DEFAULT_OVERLAP},
        subject_frames::{MOST_COLUMNS, MOST_ROWS},
    },
    rule::Conditions,
    scene::{Facing, Site},
};

/// The frames that a picture of land and target is made of: one, or the rows of
/// a panorama with the same bearings.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PictureFrames {
    /// How the camera is held.
    pub orientation: Orientation,
    /// True bearings of the frames of a row, degrees, from left to right.
    pub bearings_deg: Vec<f64>,
    /// Pitches of the rows, degrees, the lowest first.
    pub pitches_deg: Vec<f64>,
    optics: Optics,
}

/// Part of the height of a frame that a level horizon leaves to the land, where no
/// target asks for more. Common practice, no source.
const LAND_PART: f64 = 0.2;

impl PictureFrames {
    /// One frame in landscape in the camera direction, as one frames the land
    /// while its target is down.
    fn of_land(optics: Optics, facing_deg: f64) -> Self {
        let level = Pointing::new(facing_deg, 0.0);
        let height_deg = View::new(&optics, Orientation::Landscape, level).height_deg();
        let half_height = (0.5 * height_deg).to_radians().tan();
        let pitch_deg = ((1.0 - 2.0 * LAND_PART) * half_height).atan().to_degrees();
        Self {
            orientation: Orientation::Landscape,
            bearings_deg: vec![facing_deg.rem_euclid(360.0)],
            // As one sets it by hand.
            pitches_deg: vec![pitch_deg.round()],
            optics,
        }
    }

    fn of_plan(optics: Optics, plan: &FramePlan) -> Option<Self> {
        let last = plan.columns.saturating_sub(1);
        let turn = |column: u32| (f64::from(column) - 0.5 * f64::from(last)) * plan.yaw_step_deg;
        let pitch = |row: u32| plan.pitch_deg + f64::from(row) * plan.pitch_step_deg;
        plan.is_possible().then(|| Self {
            orientation: plan.orientation,
            bearings_deg: (0..=last)
                .map(|column| (plan.bearing_deg + turn(column)).rem_euclid(360.0))
                .collect(),
            pitches_deg: (0..plan.rows.max(1)).map(pitch).collect(),
            optics,
        })
    }

    /// The fewest frames that hold the whole arch; `None` beyond what one turns
    /// at night.
    fn of_arch(optics: Optics, instant: &Conditions) -> Option<Self> {
        let arch = instant.sky.arch?;
        let span = PanoramaSpan::arch(
            arch.feet.map(|foot| foot.azimuth_deg),
            arch.top_azimuth_deg,
            arch.top_altitude_deg,
            DEFAULT_ARCH_MARGIN_DEG,
        );
        let most = [MOST_COLUMNS, MOST_ROWS];
        let cover = |orientation| {
            Panorama::cover_within(&optics, orientation, &span, DEFAULT_OVERLAP, most).ok()
        };
        let held = [Orientation::Portrait, Orientation::Landscape];
        let plans = held.into_iter().filter_map(cover);
        let plan = plans.min_by_key(Panorama::frames)?;
        Some(Self {
            orientation: plan.orientation,
            bearings_deg: plan
                .offsets_deg()
                .map(|offset| (arch.top_azimuth_deg + offset).rem_euclid(360.0))
                .collect(),
            pitches_deg: plan.pitches_deg().collect(),
            optics,
        })
    }

    /// Lens and sensor.
    pub fn optics(&self) -> &Optics {
        &self.optics
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.bearings_deg.len() * self.pitches_deg.len()
    }

    /// The view of the only frame; `None` of a panorama.
    pub fn one(&self) -> Option<View> {
        self.views().next().filter(|_| self.count() == 1)
    }

    /// The views of the frames, row by row.
    pub fn views(&self) -> impl Iterator<Item = View> + '_ {
        self.pitches_deg.iter().flat_map(move |pitch| {
            self.bearings_deg.iter().map(move |bearing| {
                let pointing = Pointing::new(*bearing, *pitch);
                View::new(&self.optics, self.orientation, pointing)
            })
        })
    }

    /// Whether a direction is in one of them.
    pub fn hold(&self, direction: Pointing) -> bool {
        self.views().any(|view| view.holds(direction))
    }
}

/// Whether something can be seen in the picture, and if not, why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum InPicture {
    /// It is in a frame, or in sight where no frame is known.
    Yes,
    /// It is in sight outside every frame.
    Outside,
    /// The skyline hides it.
    BehindRidge,
    /// The subject hides it.
    BehindSubject,
    /// The sky is too bright for it.
    Lost,
    /// It is below the level horizon.
    BelowHorizon,
}

impl InPicture {
    /// Of a direction as a camera at a site sees it.
    fn of_direction(site: &Site, frames: Option<&PictureFrames>, at: Pointing) -> Self {
        let skyline = site.skyline.as_ref();
        let ridge_deg = skyline.map(|skyline| skyline.altitude_deg_at(at.azimuth_deg));
        if ridge_deg.is_some_and(|ridge_deg| at.altitude_deg < ridge_deg) {
            return Self::BehindRidge;
        }
        let shape = site.subject_shape();
        if shape.is_some_and(|shape| shape.hides(at.azimuth_deg, at.altitude_deg)) {
            return Self::BehindSubject;
        }
        match frames.is_none_or(|frames| frames.hold(at)) {
            true => Self::Yes,
            false => Self::Outside,
        }
    }

    /// Of the Moon at an instant.
    pub fn of_moon(site: &Site, frames: Option<&PictureFrames>, instant: &Conditions) -> Self {
        let moon = &instant.sky.moon;
        if !instant.moon_is_up() {
            return Self::BelowHorizon;
        }
        let at = Pointing::new(moon.azimuth_deg, moon.apparent_altitude_deg);
        Self::of_direction(site, frames, at)
    }

    /// Of the target at an instant. A target in the sky counts as lost below the
    /// contrast at which it is hopeless (see [`visibility`]), if it is otherwise
    /// in the picture.
    pub fn of_target(site: &Site, frames: Option<&PictureFrames>, instant: &Conditions) -> Self {
        if instant.target.is_moon() {
            return Self::of_moon(site, frames, instant);
        }
        let target = &instant.sky.target;
        if target.apparent_altitude_deg < 0.0 {
            return Self::BelowHorizon;
        }
        let at = Pointing::new(target.azimuth_deg, target.apparent_altitude_deg);
        let contrast = instant.light.milky_way_contrast;
        let lost = contrast.is_some_and(|contrast| visibility(contrast) == Visibility::Hopeless);
        match Self::of_direction(site, frames, at) {
            Self::Yes if lost => Self::Lost,
            other => other,
        }
    }

    /// Of the middle of the subject; `None` without one.
    pub fn of_subject(site: &Site, frames: Option<&PictureFrames>) -> Option<Self> {
        let shape = site.subject_shape()?;
        let middle_deg = 0.5 * (shape.foot_deg + shape.top_deg);
        let at = Pointing::new(shape.bearing_deg, middle_deg);
        // Its own skyline lies behind it.
        Some(match frames.is_none_or(|frames| frames.hold(at)) {
            true => Self::Yes,
            false => Self::Outside,
        })
    }
}

impl Planner {
    /// The frames of the site's camera at an instant: those of the frame plan, or
    /// those that hold the whole arch where the camera faces it; one of the land
    /// while the target is below the horizon. `None` without a camera, and where
    /// no frames hold land and target.
    pub fn picture_frames(&self, instant: &Conditions) -> Option<PictureFrames> {
        let optics = Optics::try_from(self.site.camera.as_ref()?).ok()?;
        if self.rules.facing == Facing::Arch {
            return PictureFrames::of_arch(optics, instant);
        }
        if instant.sky.target.apparent_altitude_deg < 0.0 {
            return Some(PictureFrames::of_land(optics, instant.facing_deg));
        }
        let plan = self.frame_plan(instant)?;
        PictureFrames::of_plan(optics, &plan).filter(|_| plan.framed_as != FramedAs::Neither)
    }
}

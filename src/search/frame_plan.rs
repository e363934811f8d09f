//! How a picture of land and target is framed.

use super::planner::Planner;
use crate::{
    light::{Aim, NotOneFrame, Optics, Orientation, Pointing, Seen, SubjectFrames, View},
    rule::{Conditions, FrameWatch, MOON_IN_FRAME, offset_deg},
    scene::MoonInFrame,
};

/// How land and target get into a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[non_exhaustive]
pub enum FramedAs {
    /// In one frame.
    One,
    /// In a panorama.
    Panorama,
    /// In neither.
    Neither,
}

/// How a camera is held and pointed so that its picture holds land and target.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct FramePlan {
    /// One frame, a panorama or neither.
    pub framed_as: FramedAs,
    /// Landscape or portrait; of each frame of a panorama.
    pub orientation: Orientation,
    /// True bearing of the frame's or the panorama's centre, degrees.
    pub bearing_deg: f64,
    /// Pitch of the frame, or of the panorama's lowest row, degrees.
    pub pitch_deg: f64,
    /// Frames side by side.
    pub columns: u32,
    /// Frames one above the other.
    pub rows: u32,
    /// Turn from frame to frame, degrees of azimuth; 0 for one.
    pub yaw_step_deg: f64,
    /// Pitch from row to row, degrees; 0 for one row.
    pub pitch_step_deg: f64,
    /// Whether a level camera in landscape holds land and target.
    pub level_landscape: bool,
    /// Whether a level camera in portrait does.
    pub level_portrait: bool,
    /// Whether the camera sees the Moon in the frame, or in azimuth within the
    /// panorama.
    pub moon: bool,
    /// Why one frame does not do; `None` where it does.
    pub why_not_one: Option<NotOneFrame>,
}

impl FrameWatch {
    /// Bearing of the land, and the target as the frames see it.
    pub(super) fn target_of(&self, instant: &Conditions) -> (f64, Seen) {
        let target = &instant.sky.target;
        if self.follows_target() {
            let below = Seen::new(0.0, target.apparent_altitude_deg);
            return (target.azimuth_deg, below);
        }
        let offset_deg = instant.target_offset_deg();
        let seen = Seen::new(offset_deg, target.apparent_altitude_deg);
        (instant.facing_deg, seen)
    }

    /// The Moon as the frames see it; `None` where the camera does not see it.
    fn moon_of(
        &self,
        instant: &Conditions,
        land_bearing_deg: f64,
        asked: MoonInFrame,
    ) -> Option<Seen> {
        let moon = &instant.sky.moon;
        let offset_deg = moon.azimuth_deg - land_bearing_deg;
        self.sees(moon, asked)
            .then(|| Seen::new(offset_deg, moon.apparent_altitude_deg))
    }

    /// The plan of a picture at an instant.
    pub(super) fn plan(&self, instant: &Conditions, moon: MoonInFrame) -> FramePlan {
        let (bearing_deg, seen) = self.target_of(instant);
        let frames = self.frames();
        let moon_seen = self.moon_of(instant, bearing_deg, moon);
        let other = match moon {
            MoonInFrame::Any => None,
            MoonInFrame::No => moon_seen.map(|seen| (seen, false)),
            MoonInFrame::Only => moon_seen.map(|seen| (seen, true)),
        };
        match frames.best(seen, other) {
            Some(aim) => {
                let plan = self.blank(instant).aimed(bearing_deg, &aim);
                self.with_moon(plan, instant, moon)
            }
            None => self.plan_without_one(instant, moon),
        }
    }

    /// The plan where one frame does not do.
    pub(super) fn plan_without_one(&self, instant: &Conditions, moon: MoonInFrame) -> FramePlan {
        let (bearing_deg, seen) = self.target_of(instant);
        let blank = self.blank(instant);
        let plan = blank.without_one(self.frames(), bearing_deg, seen);
        self.with_moon(plan, instant, moon)
    }

    /// The plan with whether it holds the Moon.
    fn with_moon(&self, plan: FramePlan, instant: &Conditions, asked: MoonInFrame) -> FramePlan {
        let seen = self.sees(&instant.sky.moon, asked);
        FramePlan {
            moon: seen && plan.reaches_moon(self.frames().optics(), instant),
            ..plan
        }
    }

    /// A plan in which the camera is not aimed yet.
    fn blank(&self, instant: &Conditions) -> FramePlan {
        let (bearing_deg, seen) = self.target_of(instant);
        let level = |orientation| self.frames().holds_level(orientation, seen);
        FramePlan {
            framed_as: FramedAs::One,
            orientation: Orientation::Landscape,
            bearing_deg,
            pitch_deg: 0.0,
            columns: 1,
            rows: 1,
            yaw_step_deg: 0.0,
            pitch_step_deg: 0.0,
            level_landscape: level(Orientation::Landscape),
            level_portrait: level(Orientation::Portrait),
            moon: false,
            why_not_one: None,
        }
    }
}

impl FramePlan {
    /// Whether a frame or a panorama holds land and target.
    pub fn is_possible(&self) -> bool {
        self.framed_as != FramedAs::Neither
    }

    /// Whether the Moon is in the frame, or in azimuth within the panorama,
    /// were it up.
    fn reaches_moon(&self, optics: &Optics, instant: &Conditions) -> bool {
        let moon = &instant.sky.moon;
        let view = View::new(
            optics,
            self.orientation,
            Pointing::new(self.bearing_deg, self.pitch_deg),
        );
        match self.framed_as {
            FramedAs::One => {
                view.holds(Pointing::new(moon.azimuth_deg, moon.apparent_altitude_deg))
            }
            FramedAs::Panorama => {
                let further = 0.5 * f64::from(self.columns.saturating_sub(1)) * self.yaw_step_deg;
                let offset_deg = offset_deg(moon.azimuth_deg, self.bearing_deg);
                offset_deg.abs() <= 0.5 * view.width_deg() + further
            }
            FramedAs::Neither => false,
        }
    }

    fn aimed(self, land_bearing_deg: f64, aim: &Aim) -> Self {
        Self {
            orientation: aim.orientation,
            bearing_deg: (land_bearing_deg + aim.turn_deg).rem_euclid(360.0),
            pitch_deg: aim.pitch_deg,
            ..self
        }
    }

    /// The plan where no single frame holds both.
    fn without_one(self, frames: &SubjectFrames, land_bearing_deg: f64, seen: Seen) -> Self {
        let neither = Self {
            framed_as: FramedAs::Neither,
            why_not_one: Some(frames.why_not(seen)),
            ..self
        };
        let panorama = frames
            .panorama(seen)
            .filter(|_| frames.panorama_reaches(seen));
        panorama.map_or(neither, |(centre_deg, cover)| Self {
            framed_as: FramedAs::Panorama,
            orientation: cover.orientation,
            bearing_deg: (land_bearing_deg + centre_deg).rem_euclid(360.0),
            pitch_deg: cover.lowest_pitch_deg,
            // One frame at a pitch between two steps; a second makes it sure.
            columns: cover
                .frames_per_row
                .max(if cover.rows == 1 { 2 } else { 1 }),
            rows: cover.rows,
            yaw_step_deg: cover.yaw_step_deg,
            pitch_step_deg: cover.pitch_step_deg,
            ..neither
        })
    }
}

impl Planner {
    /// Whether there are frames to plan: the site has a camera that does not face
    /// the arch.
    pub fn has_frames(&self) -> bool {
        self.frames.is_some()
    }

    /// How a picture of land and target at an instant is framed by the site's
    /// camera; `None` where the site has none, or it faces the arch.
    pub fn frame_plan(&self, instant: &Conditions) -> Option<FramePlan> {
        let frames = self.frames.as_ref()?;
        Some(frames.plan(instant, self.moon_in_frame()))
    }

    /// The same with another lens; `None` where the camera faces the arch, which is
    /// a panorama of its own.
    pub fn frame_plan_with(&self, optics: &Optics, instant: &Conditions) -> Option<FramePlan> {
        let frames = FrameWatch::with(optics, &self.site, self.rules.facing)?;
        Some(frames.plan(instant, self.moon_in_frame()))
    }

    /// What the rules ask of the Moon in the frame.
    pub(super) fn moon_in_frame(&self) -> MoonInFrame {
        self.rules.get(&MOON_IN_FRAME).unwrap_or(MoonInFrame::Any)
    }
}

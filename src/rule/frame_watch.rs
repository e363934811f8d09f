//! What the site's camera can hold at any instant.

use super::{
    Limits, Ridge, Wall,
    sector::{Bearing, Sector, around, around_moving},
};
use crate::{
    ephemeris::{Foreseen, Horizontal, LocalVector, Reading, Refraction, SKY_RATE, Sky},
    light::{LandInFrame, Optics, Orientation, Seen, SubjectFrames, subject_frames::EDGE_SHARE},
    scene::{Band, Facing, MoonInFrame, Site, SubjectShape},
};
use std::sync::Arc;

/// No direction moves faster over the sky, radians a second: its rotation, the
/// Moon's own motion, and the change of refraction below the horizon.
const FASTEST: f64 = 1.35 * SKY_RATE;
/// Below this apparent altitude no part of the Moon's disc is above a level
/// horizon, degrees.
const MOON_GONE_DEG: f64 = -0.3;
/// How close to it counts as on it, degrees: edges in time are found to a tenth
/// of a second.
const ON_LIMIT_DEG: f64 = 1e-2;

/// What surely holds so long is no edge, seconds.
const LONG_SECONDS: f64 = 60.0;

/// How far a panorama may reach beside land and target, in frames in portrait:
/// it has whole frames. At least [`EDGE_SHARE`] is free there.
const MOST_BESIDE: f64 = 0.5;

/// The frames of a site's camera, toward the camera direction.
#[derive(Debug, Clone)]
pub(crate) struct FrameWatch {
    air: Refraction,
    facing: Bearing,
    frames: Arc<SubjectFrames>,
    /// How far a panorama goes; `None` where not even the land fits.
    panorama: Option<Reach>,
    /// What can hide the Moon from the camera.
    ridge: Option<Ridge>,
    wall: Option<Wall>,
    shape: Option<SubjectShape>,
    /// Width of a frame in portrait, degrees.
    portrait_deg: f64,
}

/// How far to the side and how high a panorama goes.
#[derive(Debug, Clone, Copy)]
struct Reach {
    side: Sector,
    sine: f64,
}

impl FrameWatch {
    /// The frames of a site's camera; `None` if it is not known or impossible, or
    /// faces the arch.
    pub fn of(site: &Site, facing: Facing) -> Option<Self> {
        let optics = Optics::try_from(site.camera.as_ref()?).ok()?;
        Self::with(&optics, site, facing)
    }

    /// The frames of any camera at a site; `None` if it faces the arch, which is a
    /// panorama of its own.
    pub fn with(optics: &Optics, site: &Site, facing: Facing) -> Option<Self> {
        if facing == Facing::Arch {
            return None;
        }
        let (shape, air) = (site.subject_shape(), site.air.refraction());
        let bearing_deg = shape.map(|shape| shape.bearing_deg);
        let land = match (facing, shape) {
            (Facing::Subject, Some(shape)) => LandInFrame {
                foot_deg: shape.foot_deg,
                top_deg: shape.top_deg,
                half_width_deg: shape.half_width_deg,
            },
            _ => LandInFrame::LEVEL,
        };
        let facing = Bearing::of(facing, bearing_deg);
        let frames = SubjectFrames::new(optics, land);
        let reach_deg = frames.panorama_reach_deg();
        Some(Self {
            air,
            facing,
            panorama: reach_deg.map(|(side_deg, top_deg)| Reach {
                side: Sector::new(-side_deg, 2.0 * side_deg),
                sine: air.true_deg(top_deg).to_radians().sin(),
            }),
            ridge: site
                .skyline
                .clone()
                .map(|skyline| Ridge::new(Arc::new(skyline))),
            wall: Wall::of(site),
            shape,
            portrait_deg: frames.field_deg(Orientation::Portrait).0,
            frames: Arc::new(frames),
        })
    }

    /// The frames.
    pub fn frames(&self) -> &SubjectFrames {
        &self.frames
    }

    /// Whether the land is whatever lies below the target.
    pub fn follows_target(&self) -> bool {
        !matches!(self.facing, Bearing::Fixed { .. })
    }

    /// Whether the camera sees a part of the Moon's disc at a place. A Moon at the
    /// limit counts as what the rule asks for, so that the first and the last
    /// instant of a window keep the rule.
    pub fn sees(&self, moon: &Horizontal, asked: MoonInFrame) -> bool {
        let leeway_deg = match asked {
            MoonInFrame::Only => ON_LIMIT_DEG,
            MoonInFrame::No => -ON_LIMIT_DEG,
            MoonInFrame::Any => 0.0,
        };
        let (azimuth_deg, altitude_deg) = (moon.azimuth_deg, moon.apparent_altitude_deg);
        let over = |lowest_deg: f64| altitude_deg >= lowest_deg - leeway_deg;
        let hidden = self
            .shape
            .is_some_and(|shape| shape.hides(azimuth_deg, altitude_deg + leeway_deg));
        let ridge = self.ridge.as_ref();
        over(MOON_GONE_DEG)
            && ridge.is_none_or(|ridge| over(ridge.altitude_deg_at(azimuth_deg)))
            && !hidden
    }

    /// A body as the frames see it.
    fn seen(&self, target: LocalVector, body: LocalVector) -> Seen {
        let (east, north, up) = (body.east.value, body.north.value, body.up.value);
        let level = east.hypot(north);
        let (ahead_east, ahead_north) = match self.facing {
            Bearing::Fixed { east, north } => (east, north),
            Bearing::Target | Bearing::Arch => {
                let (east, north) = (target.east.value, target.north.value);
                let length = east.hypot(north);
                if length > 0.0 {
                    (east / length, north / length)
                } else {
                    (0.0, 1.0)
                }
            }
        };
        let apparent_deg = self.air.apparent_deg(up.atan2(level).to_degrees());
        let (up, lifted) = apparent_deg.to_radians().sin_cos();
        let scale = if level > 0.0 { lifted / level } else { 0.0 };
        Seen {
            ahead: scale * (east * ahead_east + north * ahead_north),
            right: scale * (east * ahead_north - north * ahead_east),
            up,
        }
    }

    /// Land and target in one frame.
    pub fn one(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let target = sky.target(t);
        reading(self.frames.room(self.seen(target, target)))
    }

    /// Whether one frame holds land and target at all times between two, by its
    /// room in the middle.
    pub fn one_foreseen(&self, sky: &Sky<'_>, [from, to]: [f64; 2]) -> Foreseen {
        let target = sky.target(0.5 * (from + to));
        let moves = 0.5 * (to - from) * FASTEST;
        let seen = self.seen(target, target);
        let mut held = [Orientation::Landscape, Orientation::Portrait].into_iter();
        let holds = held.any(|orientation| self.frames.has_room(orientation, seen, moves));
        Foreseen::from(holds.then_some(true))
    }

    /// Land and target in one frame or in a panorama.
    pub fn panorama(&self, sky: &Sky<'_>, t: f64) -> Reading {
        match self.panorama_alone(sky, t) {
            // Where a panorama holds for long, a single frame adds nothing.
            Some(wide) if wide.margin >= 0.0 && wide.safe_seconds > LONG_SECONDS => wide,
            Some(wide) => wide.or(self.one(sky, t)),
            None => self.one(sky, t),
        }
    }

    /// Land and target in a panorama; `None` where not even the land fits.
    pub fn panorama_alone(&self, sky: &Sky<'_>, t: f64) -> Option<Reading> {
        let reach = self.panorama?;
        let target = sky.target(t);
        let low_enough = Limits {
            low: None,
            high: (reach.sine < 1.0).then_some(reach.sine),
        };
        let turned = match self.facing {
            Bearing::Fixed { .. } => around(self.facing, &[reach.side], sky, t, target),
            Bearing::Target | Bearing::Arch => Reading::constant(1.0),
        };
        Some(turned.and(low_enough.read(target.up)))
    }

    /// The Moon outside a frame, or a panorama, that holds land and target.
    pub fn moon_out(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let (target, moon) = (sky.target(t), sky.moon(t).0);
        let (seen, moon_seen) = (self.seen(target, target), self.seen(target, moon));
        let one = reading(self.frames.room_with(seen, moon_seen, false));
        let panorama = || {
            let needed = reading(self.frames.room(seen)).negated();
            needed.and(self.moon_beside(MOST_BESIDE, sky, t).negated())
        };
        self.moon_seen(sky, t, moon)
            .negated()
            .or(one.or(panorama()))
    }

    /// The Moon inside.
    pub fn moon_in(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let (target, moon) = (sky.target(t), sky.moon(t).0);
        let (seen, moon_seen) = (self.seen(target, target), self.seen(target, moon));
        let one = reading(self.frames.room_with(seen, moon_seen, true));
        let panorama = || {
            let needed = reading(self.frames.room(seen)).negated();
            needed.and(self.moon_beside(EDGE_SHARE, sky, t))
        };
        self.moon_seen(sky, t, moon).and(one.or(panorama()))
    }

    /// Whether the camera sees the Moon: above the horizon and the ridge, and not
    /// behind the subject.
    fn moon_seen(&self, sky: &Sky<'_>, t: f64, moon: LocalVector) -> Reading {
        let up = Band::from(MOON_GONE_DEG);
        let up = Limits::of_altitudes(up, |apparent_deg| self.air.true_deg(apparent_deg));
        let mut seen = up.read(moon.up);
        if let Some(ridge) = &self.ridge {
            seen = seen.and(ridge.read(self.air, moon.values()));
        }
        if let Some(wall) = &self.wall {
            seen = seen.and(wall.hides(sky, t, moon).negated());
        }
        seen
    }

    /// Whether the Moon's azimuth is between those of land and target, or no
    /// more than this share of a frame beside.
    fn moon_beside(&self, share: f64, sky: &Sky<'_>, t: f64) -> Reading {
        let (target, moon) = (sky.target(t), sky.moon(t).0);
        let target_deg = share * self.portrait_deg;
        let land_deg = target_deg + self.frames.land().half_width_deg;
        let from_land = |from_deg: f64, width_deg: f64, body: LocalVector| {
            let sector = [Sector::new(from_deg, width_deg)];
            around(self.facing, &sector, sky, t, body)
        };
        let from_target = |from_deg: f64, width_deg: f64| {
            let sector = [Sector::new(from_deg, width_deg)];
            around_moving(Bearing::Target, &sector, sky, t, moon)
        };
        let right = from_land(0.0, 180.0, target);
        let between_right = from_land(-land_deg, 180.0 + land_deg, moon)
            .and(from_target(-180.0, 180.0 + target_deg));
        let between_left = from_land(-180.0, 180.0 + land_deg, moon)
            .and(from_target(-target_deg, 180.0 + target_deg));
        right
            .and(between_right)
            .or(right.negated().and(between_left))
    }
}

/// A room changes by no more than the angle that a body moves.
fn reading(room: f64) -> Reading {
    Reading {
        margin: room,
        safe_seconds: room.abs() / FASTEST,
    }
}

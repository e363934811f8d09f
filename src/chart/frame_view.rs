//! What the view from the camera shows, and where on the sheet.

use super::placer::Room;
use crate::{
    ephemeris::{Galaxy, Horizontal, Moment},
    light::{
        Optics, Orientation, Panorama, Pointing, View,
        panorama::{DEFAULT_ARCH_MARGIN_DEG, DEFAULT_OVERLAP, PanoramaSpan},
        subject_frames::{MOST_COLUMNS, MOST_ROWS},
    },
    rule::{Conditions, Rules, offset_deg},
    scene::{Facing, Site, SubjectShape},
    search::{FramePlan, FramedAs, PlanError, Planner},
};

/// The view at one instant.
#[derive(Debug, Clone, Copy)]
pub struct FrameChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules, which set the target and the camera direction.
    pub rules: &'a Rules,
    /// Sky and light.
    pub instant: Conditions,
    /// How the site's camera gets land and target into the picture.
    pub plan: Option<FramePlan>,
    /// Direction of the Moon's bright limb, degrees clockwise from straight
    /// up.
    pub bright_limb_from_zenith_deg: f64,
    /// The galactic frame.
    pub galaxy: Galaxy,
    /// Magnetic declination, degrees, east positive, if it is known.
    pub magnetic_declination_deg: Option<f64>,
}

/// Width of the sheet; left, right and upper edges of the view, pixels.
pub const WIDTH: f64 = 1000.0;
pub const LEFT: f64 = 74.0;
pub const RIGHT: f64 = 974.0;
pub const TOP: f64 = 80.0;
/// Lowest altitude shown, degrees, unless the Moon is the target.
pub const LOWEST_DEG: f64 = -12.0;
/// Least azimuth shown to either side, degrees.
pub const NARROWEST_DEG: f64 = 60.0;
/// Room about Moon and subject in a picture of the Moon, degrees. The project's
/// choice.
const MOON_ROOM_DEG: f64 = 3.0;
/// Part of the frame's height below a level horizon. Common practice, no
/// source.
pub const LAND_PART: f64 = 0.2;

/// Where directions are on the sheet; azimuth and altitude have the same scale.
#[derive(Debug, Clone, Copy)]
pub struct Outlines {
    /// True bearing of the middle, degrees.
    pub facing_deg: f64,
    /// Azimuth shown to either side, degrees.
    pub half_deg: f64,
    /// Highest altitude shown, degrees.
    pub top_deg: f64,
    /// Lowest altitude shown, degrees.
    pub lowest_deg: f64,
}

impl Outlines {
    /// Pixels per degree, in both directions.
    pub fn scale(&self) -> f64 {
        (RIGHT - LEFT) / (2.0 * self.half_deg)
    }

    /// The point of an offset from the camera direction and an altitude.
    pub fn at_offset(&self, offset_deg: f64, altitude_deg: f64) -> (f64, f64) {
        (
            0.5 * (LEFT + RIGHT) + self.scale() * offset_deg,
            TOP + self.scale() * (self.top_deg - altitude_deg),
        )
    }

    /// The point of a direction.
    pub fn at(&self, azimuth_deg: f64, altitude_deg: f64) -> (f64, f64) {
        self.at_offset(offset_deg(azimuth_deg, self.facing_deg), altitude_deg)
    }

    /// The rectangle of the view.
    pub fn room(&self) -> Room {
        Room {
            left: LEFT,
            top: TOP,
            width: RIGHT - LEFT,
            height: self.scale() * (self.top_deg - self.lowest_deg),
        }
    }

    /// Whether a point is in the view.
    pub fn shows(&self, (x, y): (f64, f64)) -> bool {
        let room = self.room();
        (LEFT..=RIGHT).contains(&x) && (TOP..=TOP + room.height).contains(&y)
    }

    /// A line of directions in pieces, cut at the seam behind the camera.
    pub fn pieces(&self, directions: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
        let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
        let mut before: Option<f64> = None;
        for (azimuth, altitude) in directions {
            let offset = offset_deg(*azimuth, self.facing_deg);
            if before.is_some_and(|before| (offset - before).abs() > 180.0) {
                pieces.push(Vec::new());
            }
            before = Some(offset);
            if let Some(piece) = pieces.last_mut() {
                piece.push(self.at_offset(offset, *altitude));
            }
        }
        pieces.retain(|piece| piece.len() > 1);
        pieces
    }
}

impl<'a> FrameChart<'a> {
    /// The view that a planner's site has at `moment`.
    ///
    /// # Errors
    ///
    /// A moment outside the planner's season.
    pub fn at(planner: &'a Planner, moment: Moment) -> Result<Self, PlanError> {
        let (site, sky) = (planner.site(), planner.sky());
        let instant = planner.at(moment)?;
        Ok(Self {
            site,
            rules: planner.rules(),
            plan: planner.frame_plan(&instant),
            instant,
            bright_limb_from_zenith_deg: sky.bright_limb_from_zenith_deg(moment),
            galaxy: sky.galaxy(moment),
            magnetic_declination_deg: site.magnetic_declination_deg(moment),
        })
    }
}

impl FrameChart<'_> {
    /// The plan, if one frame holds land and target.
    pub(super) fn one_frame(&self) -> Option<FramePlan> {
        self.plan.filter(|plan| plan.framed_as == FramedAs::One)
    }

    /// The camera's view: the one frame that holds land and target, else one in
    /// the camera direction with the level horizon at a fifth of its height.
    pub(super) fn view(&self) -> Option<View> {
        let optics = self.optics()?;
        if let Some(plan) = self.one_frame() {
            let pointing = Pointing::new(plan.bearing_deg, plan.pitch_deg);
            return Some(View::new(&optics, plan.orientation, pointing));
        }
        let facing = self.instant.facing_deg;
        let level = View::new(&optics, Orientation::Landscape, Pointing::new(facing, 0.0));
        let half_height_tan = (0.5 * level.height_deg()).to_radians().tan();
        let pitch = ((1.0 - 2.0 * LAND_PART) * half_height_tan)
            .atan()
            .to_degrees();
        Some(View::new(
            &optics,
            Orientation::Landscape,
            Pointing::new(facing, pitch),
        ))
    }

    pub(super) fn optics(&self) -> Option<Optics> {
        Optics::try_from(&self.site.camera?).ok()
    }

    /// The fewest frames that hold the whole arch, with the offset of their middle
    /// from the camera direction; `None` beyond what one turns at night.
    pub(super) fn panorama(&self) -> Option<(Panorama, f64)> {
        // The arch plays no part in a picture of the Moon.
        let arch = self
            .instant
            .sky
            .arch
            .filter(|_| !self.rules.target.is_moon())?;
        let span = PanoramaSpan::arch(
            arch.feet.map(|foot| foot.azimuth_deg),
            arch.top_azimuth_deg,
            arch.top_altitude_deg,
            DEFAULT_ARCH_MARGIN_DEG,
        );
        let optics = self.optics()?;
        let most = [MOST_COLUMNS, MOST_ROWS];
        let cover = |orientation| {
            Panorama::cover_within(&optics, orientation, &span, DEFAULT_OVERLAP, most).ok()
        };
        let held = [Orientation::Portrait, Orientation::Landscape];
        let plans = held.into_iter().filter_map(cover);
        let plan = plans.min_by_key(Panorama::frames)?;
        let middle = offset_deg(arch.top_azimuth_deg, self.instant.facing_deg);
        Some((plan, middle))
    }

    /// The part of the view that a picture of the Moon is about: the disc, to
    /// scale, and the subject.
    fn outlines_of_moon(&self) -> Outlines {
        let instant = self.instant;
        let offset_deg = instant.target_offset_deg().abs();
        let altitude_deg = instant.sky.moon.apparent_altitude_deg.max(0.0);
        let mut outlines = Outlines {
            facing_deg: instant.facing_deg,
            half_deg: (offset_deg + MOON_ROOM_DEG).max(2.0 * MOON_ROOM_DEG),
            top_deg: altitude_deg + MOON_ROOM_DEG,
            lowest_deg: -0.5 * MOON_ROOM_DEG,
        };
        if let Some(shape) = self.site.subject_shape().filter(SubjectShape::is_solid) {
            let away_deg = self::offset_deg(shape.bearing_deg, instant.facing_deg).abs();
            let side_deg = away_deg + shape.half_width_deg + MOON_ROOM_DEG;
            outlines.half_deg = outlines.half_deg.max(side_deg);
            outlines.top_deg = outlines.top_deg.max(shape.top_deg + MOON_ROOM_DEG);
            outlines.lowest_deg = outlines.lowest_deg.min(shape.foot_deg - 1.0);
        }
        if outlines.half_deg > 150.0 {
            outlines.half_deg = 180.0;
        }
        Outlines {
            half_deg: outlines.half_deg.ceil(),
            top_deg: outlines.top_deg.min(90.0).ceil(),
            lowest_deg: outlines.lowest_deg.max(LOWEST_DEG).floor(),
            ..outlines
        }
    }

    /// Whether the camera's frame lies within the picture.
    pub(super) fn shows_corners(&self, view: &View) -> bool {
        view.width_deg() <= 2.0 * self.outlines().half_deg
    }

    pub(super) fn outlines(&self) -> Outlines {
        if self.rules.target.is_moon() {
            return self.outlines_of_moon();
        }
        let instant = self.instant;
        let sky = &instant.sky;
        let mut half = NARROWEST_DEG;
        let mut top: f64 = 45.0;
        if let Some(view) = self.view() {
            let one = self.one_frame();
            let aside = one.map_or(0.0, |plan| {
                offset_deg(plan.bearing_deg, instant.facing_deg).abs()
            });
            let up = one.map_or(0.3 * view.height_deg(), |plan| plan.pitch_deg);
            half = half.max(aside + 0.5 * view.width_deg() + 12.0);
            top = top.max(up + 0.5 * view.height_deg() + 6.0);
        }
        if sky.moon.apparent_altitude_deg > -1.0 {
            half = half.max(instant.signed_light_angle_deg().abs() + 20.0);
            top = top.max(sky.moon.apparent_altitude_deg + 10.0);
        }
        if sky.target.apparent_altitude_deg > 0.0 {
            half = half.max(instant.target_offset_deg().abs() + 15.0);
            top = top.max(sky.target.apparent_altitude_deg + 10.0);
        }
        if self.rules.facing == Facing::Arch {
            half = half.max(110.0);
            if let Some(arch) = sky.arch {
                top = top.max(arch.top_altitude_deg + 10.0);
            }
        }
        if half > 150.0 {
            half = 180.0;
        }
        Outlines {
            facing_deg: instant.facing_deg,
            half_deg: half.ceil(),
            top_deg: if top > 75.0 { 90.0 } else { top.ceil() },
            lowest_deg: LOWEST_DEG,
        }
    }

    /// Whether a body stands behind the subject.
    pub(super) fn behind_subject(&self, body: &Horizontal) -> bool {
        let shape = self.site.subject_shape();
        shape.is_some_and(|shape| shape.hides(body.azimuth_deg, body.apparent_altitude_deg))
    }

    /// Whether the Moon is behind the terrain that the camera sees.
    pub(super) fn moon_behind_terrain(&self) -> bool {
        let moon = &self.instant.sky.moon;
        self.site.skyline.as_ref().is_some_and(|skyline| {
            moon.apparent_altitude_deg < skyline.altitude_deg_at(moon.azimuth_deg)
        })
    }
}

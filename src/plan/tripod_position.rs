//! Where to put the tripod so that the target is over the subject.

use super::{
    no_tripod_position::NoTripodPosition,
    window_map::{camera_point, subject_point},
};
use crate::{
    ephemeris::{Direction, Horizontal, Moment, Observer, Sky},
    light::{LandInFrame, Orientation, Seen, SubjectFrames},
    scene::{LENS_HEIGHT_M, Site},
    search::{Interval, Lens, PlanError, Planner},
    terrain::{CurvedEarth, GeodesicLine, GroundPoint},
};

/// Where the target must be over the subject.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TripodAims {
    /// Apparent altitude of the target above the subject's top, degrees; of the
    /// Moon that of its lower limb, so that 0 has the disc stand on the top.
    pub clearance_deg: f64,
    /// Azimuth of the target relative to the subject, degrees, left negative.
    pub offset_deg: f64,
    /// Height of the lens above the ground, metres.
    pub eye_height_m: f64,
}

impl Default for TripodAims {
    /// Five degrees straight above the top, from 1.5 m. Common practice, no
    /// source.
    fn default() -> Self {
        Self {
            clearance_deg: 5.0,
            offset_deg: 0.0,
            eye_height_m: LENS_HEIGHT_M,
        }
    }
}

impl TripodAims {
    /// The usual for a target: [`TripodAims::default`], but the Moon's lower
    /// limb half a diameter above the top. Common practice, no source.
    pub fn of(target: Direction) -> Self {
        let usual = Self::default();
        Self {
            clearance_deg: match target.is_moon() {
                true => 0.25,
                false => usual.clearance_deg,
            },
            ..usual
        }
    }
}

/// How large the Moon's disc is in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DiscSize {
    /// Apparent altitude of its lower limb, degrees.
    pub lower_limb_deg: f64,
    /// Apparent diameter, degrees, without refraction.
    pub diameter_deg: f64,
    /// Diameter on the sensor in the middle of the frame, millimetres.
    pub on_sensor_mm: f64,
    /// The same in pixels.
    pub pixels: f64,
    /// Diameter over the subject's height in the picture.
    pub share_of_subject: f64,
}

/// Beyond this the subject is a speck and the ground unknown, metres. The
/// project's choice.
const FARTHEST_M: f64 = 30_000.0;
/// Closer than this a tripod has no room, metres. The project's choice.
const NEAREST_M: f64 = 1.0;
/// The position moves by metres per round; a few rounds settle it to a
/// micrometre.
const ROUNDS: usize = 12;

/// A tripod position for an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TripodPosition {
    /// When.
    pub moment: Moment,
    /// Where the tripod stands (WGS84).
    pub point: GroundPoint,
    /// Where the subject is.
    pub subject: GroundPoint,
    /// True bearing from there to the subject, degrees.
    pub subject_bearing_deg: f64,
    /// Distance from there to the subject over the ground, metres.
    pub subject_distance_m: f64,
    /// The path there from the site's camera; `None` if it is the same place.
    pub from_camera: Option<GeodesicLine>,
    /// Height assumed for the ground there, metres.
    pub ground_m: f64,
    /// Apparent altitude of the subject's top from there, degrees.
    pub top_altitude_deg: f64,
    /// Apparent altitude of its foot, degrees.
    pub foot_altitude_deg: f64,
    /// The target's position as seen from there.
    pub target: Horizontal,
    /// The disc of a Moon that is the target; `None` for another.
    pub moon: Option<DiscSize>,
    /// How fast the tripod position moves over the ground, metres a minute.
    pub speed_m_min: f64,
    /// In which direction it moves, true bearing, degrees; `None` if it does
    /// not.
    pub moves_toward_deg: Option<f64>,
    /// Whether the subject, which is solid, hides the target, or a part of the
    /// Moon's disc.
    pub behind_subject: bool,
    /// Height of the subject on the sensor, millimetres.
    pub subject_mm: f64,
    /// The same as a share of the frame's height in landscape.
    pub frame_share: f64,
    /// Whether a portrait frame holds foot and target.
    pub fits_upright: bool,
    /// Whether a landscape frame does.
    pub fits_level: bool,
}

impl Planner {
    /// The tripod position at `moment` from which the target is over the
    /// subject's top as `aims` say.
    ///
    /// The ground is assumed level with the camera's, or with the subject's
    /// foot if its elevation is given; the Earth is curved and the air lifts
    /// the top as in [`CurvedEarth`]. The target's direction is that from the
    /// tripod.
    ///
    /// # Errors
    ///
    /// What is missing from the site, why there is no such position, or an
    /// instant outside the season.
    pub fn tripod(
        &self,
        lens: &Lens,
        aims: &TripodAims,
        moment: Moment,
    ) -> Result<TripodPosition, NoTripodPosition> {
        // The motion comes from half a minute to either side.
        for seconds in [-30.0, 30.0] {
            self.check_known(moment.plus_seconds(seconds))?;
        }
        stand(&self.sky(), self.site(), lens, aims, moment)
    }

    /// When, within twelve hours to either side of `moment`, there is a tripod
    /// position; good to a minute, by day or night.
    ///
    /// # Errors
    ///
    /// Hours that the season's sky does not reach.
    pub fn tripod_hours(
        &self,
        aims: &TripodAims,
        moment: Moment,
    ) -> Result<Vec<Interval>, PlanError> {
        for seconds in [-43_200.0, 43_200.0] {
            self.check_known(moment.plus_seconds(seconds))?;
        }
        Ok(position_hours(&self.sky(), self.site(), aims, moment))
    }
}

fn stand(
    sky: &Sky<'_>,
    site: &Site,
    lens: &Lens,
    aims: &TripodAims,
    moment: Moment,
) -> Result<TripodPosition, NoTripodPosition> {
    let ground = Ground::of(site, aims)?;
    let (point, Aimed { target, lowest_deg }) = ground.point(sky, site, aims, moment)?;
    let line = point.line_to(ground.subject);
    let (subject_bearing_deg, subject_distance_m) =
        line.map_or((0.0, 0.0), |line| (line.bearing_deg, line.distance_m));

    // The motion from half a minute before to half a minute after, or only one
    // of the two if the other has no position.
    let near = |seconds: f64| {
        let there = moment.plus_seconds(seconds);
        ground.point(sky, site, aims, there).ok().map(|(p, _)| p)
    };
    let (before, after) = (near(-30.0), near(30.0));
    let motion = match (before, after) {
        (Some(before), Some(after)) => before.line_to(after).map(|line| (line, 1.0)),
        (Some(before), None) => before.line_to(point).map(|line| (line, 2.0)),
        (None, Some(after)) => point.line_to(after).map(|line| (line, 2.0)),
        (None, None) => None,
    };

    let foot_altitude_deg =
        ground
            .earth
            .elevation_angle_deg(ground.eye_m, ground.foot_m, subject_distance_m);
    let top_altitude_deg =
        ground
            .earth
            .elevation_angle_deg(ground.eye_m, ground.top_m, subject_distance_m);
    let optics = lens.optics();
    let subject_mm =
        optics.focal_mm() * (ground.top_m - ground.foot_m) / subject_distance_m.max(NEAREST_M);
    let half_width_m = site.subject_width_m().map_or(0.0, |(width, _)| 0.5 * width);
    let near_m = subject_distance_m.max(NEAREST_M);
    let half_width_deg = half_width_m.atan2(near_m).to_degrees();
    let land = LandInFrame {
        foot_deg: foot_altitude_deg,
        top_deg: top_altitude_deg,
        half_width_deg,
    };
    let frames = SubjectFrames::new(optics, land);
    let diameter_deg = 2.0 * target.moon_radius_deg();
    let upper_deg = target.apparent_altitude_deg + 0.5 * diameter_deg;
    let seen = Seen::new(aims.offset_deg, upper_deg);
    let on_sensor_mm = optics.image_mm(diameter_deg);
    let moon = sky.target_is_moon().then(|| DiscSize {
        lower_limb_deg: lowest_deg,
        diameter_deg,
        on_sensor_mm,
        pixels: optics.image_px(diameter_deg),
        share_of_subject: on_sensor_mm / subject_mm,
    });
    Ok(TripodPosition {
        moment,
        point,
        subject: ground.subject,
        subject_bearing_deg,
        subject_distance_m,
        from_camera: camera_point(site).and_then(|camera| camera.line_to(point)),
        ground_m: ground.eye_m - aims.eye_height_m,
        top_altitude_deg,
        foot_altitude_deg,
        target,
        moon,
        speed_m_min: motion.map_or(0.0, |(line, share)| line.distance_m * share),
        moves_toward_deg: motion.map(|(line, _)| line.bearing_deg),
        subject_mm,
        frame_share: subject_mm / optics.sensor_height_mm(),
        behind_subject: aims.offset_deg.abs() < half_width_deg && lowest_deg < top_altitude_deg,
        fits_upright: frames.holds(Orientation::Portrait, seen),
        fits_level: frames.holds(Orientation::Landscape, seen),
    })
}

/// The step of [`position_hours`], seconds.
const LOOK_SECONDS: f64 = 60.0;

fn position_hours(sky: &Sky<'_>, site: &Site, aims: &TripodAims, moment: Moment) -> Vec<Interval> {
    let Ok(ground) = Ground::of(site, aims) else {
        return Vec::new();
    };
    let looks = (12.0 * 3600.0 / LOOK_SECONDS) as i32;
    let mut hours: Vec<Interval> = Vec::new();
    for look in -looks..=looks {
        let t = moment.seconds() + f64::from(look) * LOOK_SECONDS;
        let target = Aimed::of(sky, Moment::from_seconds(t));
        if ground.distance_m(&target, aims).is_err() {
            continue;
        }
        match hours.last_mut() {
            Some(last) if t - last.end < 1.5 * LOOK_SECONDS => last.end = t,
            _ => hours.push(Interval::new(t, t)),
        }
    }
    hours
}

/// The target as it is stood over the subject.
#[derive(Debug, Clone, Copy)]
struct Aimed {
    target: Horizontal,
    /// Apparent altitude of what counts as its lower edge, degrees: the Moon's
    /// lower limb, which the air lifts more than the centre; a star itself.
    lowest_deg: f64,
}

impl Aimed {
    fn of(sky: &Sky<'_>, moment: Moment) -> Self {
        let target = sky.at(moment).target;
        let lower_limb_deg = target.altitude_deg - target.moon_radius_deg();
        Self {
            target,
            lowest_deg: sky.refraction().apparent_deg(lower_limb_deg),
        }
    }
}

/// Heights and places of subject and lens.
struct Ground {
    earth: CurvedEarth,
    subject: GroundPoint,
    foot_m: f64,
    top_m: f64,
    eye_m: f64,
}

impl Ground {
    fn of(site: &Site, aims: &TripodAims) -> Result<Self, NoTripodPosition> {
        let name = || site.title().into_owned();
        let subject = site
            .subject
            .as_ref()
            .ok_or_else(|| NoTripodPosition::NoSubject { site: name() })?;
        let point =
            subject_point(site).ok_or_else(|| NoTripodPosition::NoPlace { site: name() })?;
        let height_m = subject
            .height_m
            .ok_or_else(|| NoTripodPosition::NoHeight { site: name() })?;
        let foot_m = site.subject_foot_m().unwrap_or(site.elevation_m);
        let eye_m = foot_m + aims.eye_height_m;
        let top_m = foot_m + height_m;
        if top_m <= eye_m {
            return Err(NoTripodPosition::TopBelowLens {
                below_m: eye_m - top_m,
                eye_m,
            });
        }
        Ok(Self {
            earth: CurvedEarth::default(),
            subject: point,
            foot_m,
            top_m,
            eye_m,
        })
    }

    /// The tripod position at `moment`, and the target's position from there.
    fn point(
        &self,
        sky: &Sky<'_>,
        site: &Site,
        aims: &TripodAims,
        moment: Moment,
    ) -> Result<(GroundPoint, Aimed), NoTripodPosition> {
        let from = |point: GroundPoint| {
            let observer = Observer::new(point.latitude_deg(), point.longitude_deg(), self.eye_m);
            Aimed::of(&sky.seen_from(observer), moment)
        };
        let mut point = camera_point(site).unwrap_or(self.subject);
        let mut aimed = from(point);
        // The azimuth at the subject that the last point lay in, less the
        // bearing wanted at the point: the meridians' convergence.
        let mut turn_deg = 0.0;
        for _ in 0..ROUNDS {
            let bearing_deg = aimed.target.azimuth_deg - aims.offset_deg;
            let distance_m = self.distance_m(&aimed, aims)?;
            let back_deg = bearing_deg + 180.0 + turn_deg;
            let there = self
                .subject
                .destination(back_deg, distance_m)
                .map_err(|_| NoTripodPosition::NoPlace {
                    site: site.title().into_owned(),
                })?;
            point = there.point;
            aimed = from(point);
            if let Some(line) = point.line_to(self.subject) {
                let wrong = bearing_deg - line.bearing_deg;
                turn_deg += (wrong + 180.0).rem_euclid(360.0) - 180.0;
            }
        }
        Ok((point, aimed))
    }

    /// The distance at which the subject's top appears where it should.
    fn distance_m(&self, aimed: &Aimed, aims: &TripodAims) -> Result<f64, NoTripodPosition> {
        let altitude_deg = aimed.target.apparent_altitude_deg;
        if altitude_deg < 0.0 {
            return Err(NoTripodPosition::TargetDown { altitude_deg });
        }
        let top_deg = aimed.lowest_deg - aims.clearance_deg;
        let appears = |distance_m: f64| {
            self.earth
                .elevation_angle_deg(self.eye_m, self.top_m, distance_m)
        };
        if top_deg > appears(NEAREST_M) {
            return Err(NoTripodPosition::TooHigh { top_deg });
        }
        if top_deg < appears(FARTHEST_M) {
            return Err(NoTripodPosition::TooLow {
                altitude_deg,
                clearance_deg: aims.clearance_deg,
                top_deg,
            });
        }
        // A top above the lens sinks steadily with distance: bisect.
        let (mut near, mut far) = (NEAREST_M, FARTHEST_M);
        for _ in 0..80 {
            let middle = 0.5 * (near + far);
            if appears(middle) > top_deg {
                near = middle;
            } else {
                far = middle;
            }
        }
        Ok(0.5 * (near + far))
    }
}

//! A tripod position in JSON.

use crate::{
    plan::{DiscSize, TripodAims, TripodPosition},
    report::row::{Field, Range, RowKind},
    scene::Site,
    search::Lens,
    terrain::{GeodesicLine, MagneticError, MagneticField},
};

type OfGeodesicLine = Field<GeodesicLine>;
type OfDiscSize = Field<DiscSize>;

/// A tripod position with what was asked.
#[derive(Debug, Clone, Copy)]
pub struct TripodReport<'a> {
    /// The site.
    pub site: &'a Site,
    /// The camera.
    pub lens: &'a Lens,
    /// What was asked for.
    pub aims: &'a TripodAims,
    /// The answer.
    pub stand: &'a TripodPosition,
    /// Where a compass points.
    pub compass: Result<MagneticField, MagneticError>,
    /// The target's word, such as `core`.
    pub target_word: &'a str,
}

/// Tripod positions.
#[derive(Debug, Clone, Copy)]
pub struct Tripods;

impl RowKind for Tripods {
    type Of<'a> = TripodReport<'a>;
}

type F = Field<Tripods>;

const LATITUDE: Range = Range::Within(-90.0, 90.0);
const LONGITUDE: Range = Range::Within(-180.0, 180.0);
const ALTITUDE: Range = Range::Within(-90.0, 90.0);
const AZIMUTH: Range = Range::Within(0.0, 360.0);

/// When.
pub static TIME: &[F] = &[
    F::utc("time_utc", |r| Some(r.stand.moment)).doc("RFC 3339 with Z"),
    F::local("time_local", |r| Some(r.site.zone.local(r.stand.moment))).doc("site's zone"),
    F::offset("utc_offset", |r| {
        Some(r.site.zone.offset_seconds_at(r.stand.moment))
    })
    .doc("+HH:MM"),
];

/// What was asked for.
pub static ASKED: &[F] = &[
    F::exact("clearance_deg", |r| Some(r.aims.clearance_deg))
        .doc("target over the subject's top, degrees; of the Moon its lower limb"),
    F::exact("offset_deg", |r| Some(r.aims.offset_deg))
        .doc("target beside it, degrees, left negative"),
    F::exact("eye_height_m", |r| Some(r.aims.eye_height_m)).doc("lens above ground, metres"),
];

/// Where the tripod goes.
pub static TRIPOD: &[F] = &[
    F::number("latitude_deg", 7, |r| Some(r.stand.point.latitude_deg()))
        .range(LATITUDE)
        .doc("WGS84, degrees"),
    F::number("longitude_deg", 7, |r| Some(r.stand.point.longitude_deg()))
        .range(LONGITUDE)
        .doc("WGS84, degrees"),
    F::number("ground_m", 2, |r| Some(r.stand.ground_m)).doc("elevation taken, metres"),
    F::number("subject_bearing_deg", 4, |r| {
        Some(r.stand.subject_bearing_deg)
    })
    .range(AZIMUTH)
    .doc("true, degrees"),
    F::number("subject_magnetic_bearing_deg", 2, |r| {
        let field = r.compass.as_ref().ok()?;
        Some(field.magnetic_bearing_deg(r.stand.subject_bearing_deg))
    })
    .range(AZIMUTH)
    .empty("outside the years of the model")
    .doc("by compass, degrees"),
    F::number("subject_distance_m", 3, |r| {
        Some(r.stand.subject_distance_m)
    })
    .range(Range::AtLeast(0.0))
    .doc("metres"),
    F::number("moves_m_per_minute", 3, |r| Some(r.stand.speed_m_min))
        .range(Range::AtLeast(0.0))
        .doc("speed of the place, metres a minute"),
    F::number("moves_toward_deg", 2, |r| r.stand.moves_toward_deg)
        .range(AZIMUTH)
        .empty("it does not move")
        .doc("true, degrees"),
];

impl RowKind for GeodesicLine {
    type Of<'a> = Self;
}

/// The way there from the site's camera.
pub static FROM_CAMERA: &[OfGeodesicLine] = &[
    OfGeodesicLine::number("bearing_deg", 4, |l| Some(l.bearing_deg))
        .range(AZIMUTH)
        .doc("true, degrees"),
    OfGeodesicLine::number("distance_m", 3, |l| Some(l.distance_m))
        .range(Range::AtLeast(0.0))
        .doc("metres"),
];

/// The target from there.
pub static TARGET: &[F] = &[
    F::number("apparent_altitude_deg", 5, |r| {
        Some(r.stand.target.apparent_altitude_deg)
    })
    .range(ALTITUDE)
    .doc("degrees"),
    F::number("azimuth_deg", 5, |r| Some(r.stand.target.azimuth_deg))
        .range(AZIMUTH)
        .doc("true, degrees"),
    F::flag("behind_subject", |r| Some(r.stand.behind_subject))
        .doc("whether the subject hides it, or a part of the Moon's disc"),
];

/// The disc of a Moon that is the target.
pub static MOON: &[OfDiscSize] = &[
    OfDiscSize::number("lower_limb_deg", 5, |d| Some(d.lower_limb_deg))
        .range(ALTITUDE)
        .doc("apparent altitude of its lower limb, degrees"),
    OfDiscSize::number("diameter_arcmin", 3, |d| Some(60.0 * d.diameter_deg))
        .range(Range::AtLeast(0.0))
        .doc("apparent diameter, arcminutes, without refraction"),
    OfDiscSize::number("on_sensor_mm", 4, |d| Some(d.on_sensor_mm))
        .range(Range::AtLeast(0.0))
        .doc("diameter on the sensor in the middle of the frame, mm"),
    OfDiscSize::number("pixels", 1, |d| Some(d.pixels))
        .range(Range::AtLeast(0.0))
        .doc("the same in pixels"),
    OfDiscSize::number("share_of_subject", 4, |d| Some(d.share_of_subject))
        .range(Range::AtLeast(0.0))
        .doc("diameter over the subject's height in the picture"),
];

impl RowKind for DiscSize {
    type Of<'a> = Self;
}

/// The subject from there.
pub static SUBJECT: &[F] = &[
    F::number("latitude_deg", 7, |r| Some(r.stand.subject.latitude_deg()))
        .range(LATITUDE)
        .doc("WGS84, degrees"),
    F::number("longitude_deg", 7, |r| {
        Some(r.stand.subject.longitude_deg())
    })
    .range(LONGITUDE)
    .doc("WGS84, degrees"),
    F::number("top_altitude_deg", 5, |r| Some(r.stand.top_altitude_deg))
        .range(ALTITUDE)
        .doc("apparent, degrees"),
    F::number("foot_altitude_deg", 5, |r| Some(r.stand.foot_altitude_deg))
        .range(ALTITUDE)
        .doc("apparent, degrees"),
    F::number("on_sensor_mm", 3, |r| Some(r.stand.subject_mm))
        .range(Range::AtLeast(0.0))
        .doc("height on the sensor, mm"),
    F::number("share_of_frame_height", 4, |r| Some(r.stand.frame_share))
        .range(Range::AtLeast(0.0))
        .doc("of the frame's height"),
];

/// Whether foot and target fit in one frame.
pub static FIT: &[F] = &[
    F::flag("landscape", |r| Some(r.stand.fits_level)).doc("with the camera in landscape"),
    F::flag("portrait", |r| Some(r.stand.fits_upright)).doc("with the camera in portrait"),
];

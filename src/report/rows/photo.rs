//! A photograph beside the sky at its instant, in JSON.

use crate::{
    plan::PhotoSettings,
    report::row::{Field, Range, RowKind},
    scene::{Photo, PhotoTime, PhotoTimeFrom},
};

/// A photograph, and how it compares with the plan.
#[derive(Debug, Clone, Copy)]
pub struct PhotoReport {
    /// What it says about itself.
    pub photo: Photo,
    /// When it was taken.
    pub time: PhotoTime,
    /// How far from the site, metres, where a site was given and the photograph
    /// has a place.
    pub away_m: Option<f64>,
    /// Its settings; `None` if neither it nor the site says which lens.
    pub settings: Option<PhotoSettings>,
}

impl RowKind for PhotoReport {
    type Of<'a> = &'a Self;
}

type F = Field<PhotoReport>;

const NOT_IN_IT: &str = "the photo does not say";
const NO_LENS: &str = "neither photo nor site gives a lens";
const NO_SETTINGS: &str = "the photo lacks shutter or ISO, or nothing gives the lens";
const POSITIVE: Range = Range::Above(0.0);

/// The photograph of `sky --photo`.
pub static PHOTO: &[F] = &[
    F::word("time_from", PhotoTimeFrom::WORDS, |p| {
        Some(p.time.from.word())
    })
    .doc(
        "which time counts: given (--time), gps (its satellite receiver), offset (the camera's \
         clock with the camera's offset), zone (that clock in the zone of the place)",
    ),
    F::local("camera_local", |p| p.photo.clock)
        .empty(NOT_IN_IT)
        .doc("what the camera's clock showed"),
    F::offset("camera_utc_offset", |p| {
        p.photo.offset_minutes.map(|minutes| 60 * minutes)
    })
    .empty(NOT_IN_IT)
    .doc("how far the camera thought it ahead of UTC"),
    F::offset("zone_utc_offset", |p| Some(p.time.zone_offset_s))
        .doc("how far the zone of the place was ahead of UTC"),
    F::number("clock_ahead_s", 0, |p| p.time.clock_ahead_s)
        .empty("the photo has no clock")
        .doc("by which the camera's clock was ahead of the time that counts, seconds"),
    F::exact("latitude_deg", |p| p.photo.place_deg.map(|place| place.0))
        .range(Range::Within(-90.0, 90.0))
        .empty(NOT_IN_IT)
        .doc("where it was taken, degrees, north positive"),
    F::exact("longitude_deg", |p| p.photo.place_deg.map(|place| place.1))
        .range(Range::Within(-180.0, 180.0))
        .empty(NOT_IN_IT)
        .doc("degrees, east positive"),
    F::number("elevation_m", 1, |p| p.photo.elevation_m)
        .empty(NOT_IN_IT)
        .doc("above the sea, metres"),
    F::number("from_site_m", 0, |p| p.away_m)
        .range(Range::AtLeast(0.0))
        .empty("the photo has no place, or no site was given")
        .doc("how far from the site it was taken, metres"),
    F::exact("focal_mm", |p| p.photo.focal_mm)
        .range(POSITIVE)
        .empty(NOT_IN_IT)
        .doc("focal length, millimetres"),
    F::exact("f_number", |p| p.photo.f_number)
        .range(POSITIVE)
        .empty(NOT_IN_IT)
        .doc("f-number"),
    F::number("shutter_s", 6, |p| p.photo.shutter_s)
        .range(POSITIVE)
        .empty(NOT_IN_IT)
        .doc("exposure time, seconds"),
    F::whole("iso", |p| p.photo.iso.map(i64::from))
        .range(Range::AtLeast(1.0))
        .empty(NOT_IN_IT)
        .doc("ISO"),
    F::number("longest_shutter_s", 2, |p| {
        Some(p.settings?.longest_shutter_s)
    })
    .range(POSITIVE)
    .empty(NO_LENS)
    .doc("the longest shutter without trails for its lens, seconds"),
    F::number("sky_placement_stops", 2, |p| {
        Some(p.settings?.placements_stops?.0)
    })
    .empty(NO_SETTINGS)
    .doc("where its settings put the sky behind the target, stops from mid-tone"),
    F::number("land_placement_stops", 2, |p| {
        Some(p.settings?.placements_stops?.1)
    })
    .empty(NO_SETTINGS)
    .doc("where they put the land, stops from mid-tone; the plan's are in `camera`"),
];

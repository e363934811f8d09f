//! Spare nights at any of several sites, in JSON.

use super::site::{LATITUDE, LONGITUDE, NO_VIEW, VIEW_DOC};
use crate::{
    report::row::{Field, Range, RowKind},
    scene::LightKind,
    search::{SparePlace, SparePlaces},
};

impl RowKind for SparePlaces<'static> {
    type Of<'a> = &'a SparePlaces<'a>;
}

impl RowKind for SparePlace<'static> {
    type Of<'a> = SparePlace<'a>;
}

type OfPlaces = Field<SparePlaces<'static>>;
type OfPlace = Field<SparePlace<'static>>;

/// The window that others can stand in for.
pub static PLACE: &[OfPlaces] = &[
    OfPlaces::date("night", |s| Some(s.window.night)).doc("evening"),
    OfPlaces::whole("rank", |s| i64::try_from(s.window.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("rank of the window"),
];

/// A window that can stand in for another, perhaps elsewhere.
pub static SPARE_PLACE: &[OfPlace] = &[
    OfPlace::date("night", |s| Some(s.window.night)).doc("evening"),
    OfPlace::whole("rank", |s| i64::try_from(s.window.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("its rank"),
    OfPlace::number("score", 1, |s| Some(s.window.score))
        .range(Range::Within(0.0, 100.0))
        .doc("0 to 100"),
    OfPlace::word("light", LightKind::WORDS, |s| Some(s.window.light.word()))
        .doc("its kind of light"),
    OfPlace::text("site", |s| Some(&s.site.name)).doc("name of its site"),
    OfPlace::text("view", |s| s.site.view.as_deref())
        .empty(NO_VIEW)
        .doc(VIEW_DOC),
    OfPlace::exact("latitude_deg", |s| Some(s.site.latitude_deg))
        .range(LATITUDE)
        .doc("of its camera, WGS84, degrees, north positive"),
    OfPlace::exact("longitude_deg", |s| Some(s.site.longitude_deg))
        .range(LONGITUDE)
        .doc("of its camera, WGS84, degrees, east positive"),
    OfPlace::number("distance_km", 3, |s| s.distance_km)
        .range(Range::AtLeast(0.0))
        .empty("a position is none on Earth")
        .doc("from the window's camera to that one over the ellipsoid, km"),
];

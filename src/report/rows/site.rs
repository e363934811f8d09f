//! A site: its fields in JSON.

use crate::{
    report::row::{Field, Range, RowKind},
    scene::{NearTown, Site, SkyGlow, SubjectPlace, TownDome, ZoneFrom},
};

impl RowKind for Site {
    type Of<'a> = &'a Self;
}

type F = Field<Site>;

/// What the field `view` of a record is.
pub const VIEW_DOC: &str = "name of the view, which of the pictures of the place";
/// When it is empty.
pub const NO_VIEW: &str = "site without views";

pub(super) const LATITUDE: Range = Range::Within(-90.0, 90.0);
pub(super) const LONGITUDE: Range = Range::Within(-180.0, 180.0);

/// The place.
pub static SITE: &[F] = &[
    F::text("name", |s| Some(&s.name)).doc("its name"),
    F::text("view", |s| s.view.as_deref())
        .empty(NO_VIEW)
        .doc(VIEW_DOC),
    F::exact("latitude_deg", |s| Some(s.latitude_deg))
        .range(LATITUDE)
        .doc("WGS84, degrees, north positive"),
    F::exact("longitude_deg", |s| Some(s.longitude_deg))
        .range(LONGITUDE)
        .doc("WGS84, degrees, east positive"),
    F::exact("elevation_m", |s| Some(s.elevation_m)).doc("above mean sea level, metres"),
    F::text("time_zone", |s| Some(s.zone.name()))
        .doc("name in the IANA database, or an offset from UTC such as +05:30"),
    F::flag("time_zone_assumed", |s| {
        Some(s.zone_from != ZoneFrom::Given)
    })
    .doc("nobody gave a time zone"),
    F::word("time_zone_from", ZoneFrom::WORDS, |s| {
        Some(s.zone_from.word())
    })
    .doc(
        "who says so: the site, its place, the longitude (whole hours, where no zone holds the \
         place), or nobody (UTC)",
    ),
];

/// The subject of a site that has one.
pub static SUBJECT: &[F] = &[
    F::text("name", |s| s.subject.as_ref()?.name.as_deref())
        .empty("it has none")
        .doc("its name"),
    F::exact("bearing_deg", |s| s.subject_bearing_deg())
        .range(Range::Within(0.0, 360.0))
        .doc("true bearing from the camera, degrees"),
    F::exact("distance_m", |s| match s.subject.as_ref()?.place {
        SubjectPlace::Bearing { distance_m, .. } => distance_m,
        SubjectPlace::Coordinates { .. } => s.subject_distance_m(),
    })
    .range(Range::AtLeast(0.0))
    .empty("not known")
    .doc("from the camera, metres"),
    F::exact("height_m", |s| s.subject.as_ref()?.height_m)
        .range(Range::AtLeast(0.0))
        .empty("not known")
        .doc("its height, metres"),
    F::exact("width_m", |s| s.subject.as_ref()?.width_m)
        .range(Range::AtLeast(0.0))
        .empty("not given")
        .doc("its width as seen from the camera, metres"),
    F::exact("reflectance", |s| s.subject.as_ref()?.reflectance)
        .range(Range::Within(0.0, 1.0))
        .empty("the site gives none")
        .doc("0 to 1"),
];

/// The dark sky of a site.
pub static SKY: &[F] = &[
    F::exact("zenith_mag_arcsec2", |s| Some(s.sky.zenith_mag_arcsec2))
        .doc("V mag/arcsec2 at the zenith"),
    F::flag("approximate", |s| Some(s.sky.approximate)).doc("a guess or from a Bortle class"),
    F::exact("extinction_mag", |s| Some(s.sky.extinction_mag))
        .range(Range::AtLeast(0.0))
        .doc("at the zenith, V magnitudes"),
    F::flag("extinction_assumed", |s| Some(s.sky.extinction_assumed))
        .doc("the usual one of the elevation, because the site gives none"),
];

impl RowKind for SkyGlow {
    type Of<'a> = &'a Self;
}

type OfSkyGlow = Field<SkyGlow>;

/// The dome of a town.
pub static SKY_GLOW: &[OfSkyGlow] = &[
    OfSkyGlow::exact("bearing_deg", |g| Some(g.bearing_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("true bearing of its middle, degrees"),
    OfSkyGlow::exact("half_width_deg", |g| Some(g.half_width_deg))
        .range(Range::AtLeast(0.0))
        .doc("to either side, where half of it is left, degrees"),
    OfSkyGlow::exact("altitude_deg", |g| Some(g.top_altitude_deg))
        .range(Range::AtLeast(0.0))
        .doc("that it reaches, where a tenth is left, degrees"),
    OfSkyGlow::exact("mag_arcsec2", |g| Some(g.mag_arcsec2))
        .doc("the sky in it near the horizon, V mag/arcsec2"),
];

impl RowKind for NearTown {
    type Of<'a> = &'a Self;
}

type OfNearTown = Field<NearTown>;

/// The town by which people know a site.
pub static NEAR_TOWN: &[OfNearTown] = &[
    OfNearTown::text("name", |t| Some(t.town.name)).doc("its name in Latin letters"),
    OfNearTown::text("country", |t| Some(t.town.country)).doc("two letters of ISO 3166"),
    OfNearTown::whole("population", |t| Some(t.town.population.into()))
        .range(Range::AtLeast(0.0))
        .doc("its people, to ten"),
    OfNearTown::number("distance_km", 2, |t| Some(t.distance_km))
        .range(Range::AtLeast(0.0))
        .doc("of its middle, km"),
    OfNearTown::number("bearing_from_deg", 1, |t| Some(t.bearing_from_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("true bearing of the site from its middle, degrees"),
];

impl RowKind for TownDome {
    type Of<'a> = &'a Self;
}

type OfTownDome = Field<TownDome>;

/// The dome of a town by the law.
pub static TOWN_DOME: &[OfTownDome] = &[
    OfTownDome::text("name", |t| Some(t.town.name))
        .doc("the town that gives most of its light, in Latin letters"),
    OfTownDome::text("country", |t| Some(t.town.country)).doc("two letters of ISO 3166"),
    OfTownDome::whole("population", |t| Some(t.town.population.into()))
        .range(Range::AtLeast(0.0))
        .doc("that town's people, to ten"),
    OfTownDome::number("distance_km", 2, |t| Some(t.distance_km))
        .range(Range::AtLeast(0.0))
        .doc("of that town's middle, km"),
    OfTownDome::number("bearing_deg", 1, |t| Some(t.bearing_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("true bearing of that town's middle, degrees"),
    OfTownDome::whole("other_towns", |t| i64::try_from(t.others).ok())
        .range(Range::AtLeast(0.0))
        .doc("other towns in the dome"),
    OfTownDome::number("middle_deg", 1, |t| Some(t.dome.bearing_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("true bearing of the middle of all its light, degrees"),
    OfTownDome::exact("half_width_deg", |t| Some(t.dome.half_width_deg))
        .range(Range::AtLeast(0.0))
        .doc("to either side, where half of it is left, degrees"),
    OfTownDome::exact("altitude_deg", |t| Some(t.dome.top_altitude_deg))
        .range(Range::AtLeast(0.0))
        .doc("that it reaches, where a tenth is left, degrees"),
    OfTownDome::number("mag_arcsec2", 2, |t| Some(t.dome.mag_arcsec2))
        .doc("the sky in it near the horizon, with this dome alone, V mag/arcsec2"),
    OfTownDome::number("sky_at_15_deg_mag_arcsec2", 2, |t| Some(t.sky_mag_arcsec2)).doc(
        "the sky toward its middle 15 degrees up, with all domes, V mag/arcsec2; the towns' light          is uncertain by a factor of 2 to 3",
    ),
    OfTownDome::number("natural_at_15_deg_mag_arcsec2", 2, |t| {
        Some(t.natural_mag_arcsec2)
    })
    .doc("the natural sky there, V mag/arcsec2"),
];

/// The air of a site.
pub static AIR: &[F] = &[
    F::number("pressure_hpa", 2, |s| Some(s.air.pressure_hpa))
        .range(Range::AtLeast(0.0))
        .doc("hPa"),
    F::exact("temperature_c", |s| Some(s.air.temperature_c)).doc("degrees Celsius"),
];

//! One instant of a site in JSON: where everything is, and the light.

use super::{
    instant::{self, Instants},
    photo::PhotoReport,
    window_record::town_under,
};
use crate::{
    ephemeris::{Arch, Horizontal},
    light::LandRange,
    report::{
        row::{Field, Range, RowKind},
        words::{doubt_words, one_exposure_word},
    },
    rule::Conditions,
    scene::Site,
    search::{Caveats, FrameSettings},
};

type OfHorizontal = Field<Horizontal>;
type OfArch = Field<Arch>;
type OfFeet = Field<Feet>;
type OfInstants = Field<Instants>;
type OfFrameSettings = Field<FrameSettings>;

/// Where everything is at one instant, and how bright it is.
#[derive(Debug, Clone, Copy)]
pub struct SkyReport<'a> {
    /// The site.
    pub site: &'a Site,
    /// The instant.
    pub instant: Conditions,
    /// Days since the last new Moon, if known.
    pub age_days: Option<f64>,
    /// How sure the balance of land and sky is.
    pub land_range: LandRange,
    /// The settings of the site's own camera, if it has one.
    pub frame: Option<FrameSettings>,
    /// The photograph that was taken there and then, if one was given.
    pub photo: Option<PhotoReport>,
}

const ALTITUDE: Range = Range::Within(-90.0, 90.0);
const AZIMUTH: Range = Range::Within(0.0, 360.0);
const HALF_TURN: Range = Range::Within(0.0, 180.0);

impl RowKind for Horizontal {
    type Of<'a> = &'a Self;
}

/// A body.
pub static BODY: &[OfHorizontal] = &[
    OfHorizontal::number("altitude_deg", 5, |p| Some(p.altitude_deg))
        .range(ALTITUDE)
        .doc("geometric, topocentric, degrees"),
    OfHorizontal::number("apparent_altitude_deg", 5, |p| {
        Some(p.apparent_altitude_deg)
    })
    .range(ALTITUDE)
    .doc("with refraction, topocentric, degrees"),
    OfHorizontal::number("azimuth_deg", 5, |p| Some(p.azimuth_deg))
        .range(AZIMUTH)
        .doc("true, from north through east, degrees"),
];

/// Instants with what is reported about them.
#[derive(Debug, Clone, Copy)]
pub struct Skies;

impl RowKind for Skies {
    type Of<'a> = SkyReport<'a>;
}

type F = Field<Skies>;

/// When.
pub static TIME: &[F] = &[
    F::utc("time_utc", |r| Some(r.instant.moment())).doc("RFC 3339 with Z"),
    F::local("time_local", |r| {
        Some(r.site.zone.local(r.instant.moment()))
    })
    .doc("site's zone"),
    F::offset("utc_offset", |r| {
        Some(r.site.zone.offset_seconds_at(r.instant.moment()))
    })
    .doc("+HH:MM"),
];

/// What the Moon has besides its place.
pub static MOON: &[F] = &[
    F::number("distance_km", 1, |r| r.instant.sky.moon.distance_km)
        .range(Range::AtLeast(0.0))
        .doc("from the observer, km"),
    F::number("moon_fraction", 6, |r| {
        Some(r.instant.sky.phase.illuminated_fraction)
    })
    .range(Range::Within(0.0, 1.0))
    .doc("illuminated fraction, geocentric, 0 to 1"),
    F::number("phase_angle_deg", 4, |r| {
        Some(r.instant.sky.phase.phase_angle_deg)
    })
    .range(HALF_TURN)
    .doc("geocentric, apparent, degrees"),
    F::number("elongation_deg", 4, |r| {
        Some(r.instant.sky.phase.elongation_deg)
    })
    .range(HALF_TURN)
    .doc("geocentric, apparent, degrees"),
    F::flag("waxing", |r| Some(r.instant.sky.phase.waxing)).doc("whether the Moon waxes"),
    F::number("age_days", 3, |r| r.age_days)
        .range(Range::AtLeast(0.0))
        .empty("in exposure, and where it lies before the range")
        .doc("since the last new Moon, days"),
];

/// How far the Moon is from the target.
pub static SEPARATION: &[F] = &[F::of_instant(&SEPARATION_4, |r| Some(&r.instant))];
static SEPARATION_4: Field<Instants> = instant::MOON_TARGET_SEPARATION.decimals(4);

/// The Milky Way's slope and the camera's direction.
pub static FRAME: &[F] = &[
    F::of_instant(&TILT_4, |r| Some(&r.instant)),
    F::of_instant(&FACING_4, |r| Some(&r.instant)),
];
static TILT_4: Field<Instants> = instant::TILT.decimals(4);
static FACING_4: Field<Instants> = instant::FACING.decimals(4);

/// What makes the instant uncertain.
pub static DOUBTS: &[F] = &[F::text("doubts", |r| {
    doubt_words(Caveats::of(r.site, r.instant.target, &r.instant.sky))
})
.empty("no doubt")
.doc("words separated by a space")];

/// The town in whose glow the target stands.
pub static TOWN: &[F] = &[F::text("town_under_target", |r| {
    town_under(r.site, &r.instant.sky.target).map(|dome| dome.town.name)
})
.empty("none, or a site that does not use the list of towns")
.doc(
    "name of the town by the law of towns in whose glow the target stands, the brightest of them",
)];

/// How sure the balance of land and sky is.
pub static LAND_RANGE: &[F] = &[
    F::number("land_vs_sky_half_width_stops", 2, |r| {
        Some(r.land_range.half_width_stops)
    })
    .range(Range::AtLeast(0.0))
    .doc("how far light.land_vs_sky_stops may be off: half the range of 16 to 84 %, stops"),
    F::word("one_exposure", &["likely", "perhaps", "no"], |r| {
        Some(one_exposure_word(r.land_range.one_exposure))
    })
    .doc("whether one exposure holds land and sky"),
];

/// The arch's highest point.
pub static ARCH_TOP: &[OfArch] = &[
    OfArch::number("altitude_deg", 4, |a| Some(a.top_altitude_deg))
        .range(ALTITUDE)
        .doc("geometric, degrees"),
    OfArch::number("azimuth_deg", 4, |a| Some(a.top_azimuth_deg))
        .range(AZIMUTH)
        .doc("true, degrees"),
    OfArch::number("galactic_longitude_deg", 4, |a| {
        Some(a.top_galactic_longitude_deg)
    })
    .range(AZIMUTH)
    .doc("degrees"),
];

impl RowKind for Arch {
    type Of<'a> = &'a Self;
}

/// A foot of the arch: azimuth and galactic longitude, degrees.
#[derive(Debug, Clone, Copy)]
pub struct Feet;

impl RowKind for Feet {
    type Of<'a> = (f64, f64);
}

/// A foot of the arch.
pub static ARCH_FOOT: &[OfFeet] = &[
    OfFeet::number("azimuth_deg", 4, |f| Some(f.0))
        .range(AZIMUTH)
        .doc("true, degrees"),
    OfFeet::number("galactic_longitude_deg", 4, |f| Some(f.1))
        .range(AZIMUTH)
        .doc("degrees"),
];

/// The light.
pub static LIGHT: &[OfInstants] = &[
    instant::MOONLIGHT,
    OfInstants::number("beam_lux", 6, |i| Some(i.light.beam_lux))
        .range(Range::AtLeast(0.0))
        .doc("Moon's beam on a surface that faces it, lux"),
    instant::FACE_LUX,
    OfInstants::number("ambient_lux", 6, |i| Some(i.light.ambient_lux))
        .range(Range::AtLeast(0.0))
        .doc("dark sky, moonlit sky and twilight on level ground, lux"),
    instant::LIGHT_ANGLE.decimals(3),
    instant::LIGHT_SIDE,
    instant::LIT_SIDE,
    instant::SHADOW_AZIMUTH,
    instant::SHADOW_LENGTH.decimals(3),
    instant::SKY_MAG,
    OfInstants::number("sky_cd_m2", 9, |i| Some(i.light.sky_cd_m2))
        .range(Range::AtLeast(0.0))
        .doc("the same, cd/m2"),
    instant::SKY_LOSS,
    instant::MILKY_WAY_CONTRAST,
    instant::VISIBILITY,
    instant::CONTRAST_KEPT,
    instant::BALANCE.decimals(3),
    instant::LEVEL.decimals(3),
    instant::TOWARD_MOON.decimals(3),
    instant::AWAY.decimals(3),
    instant::MOON_DISC_VS_LAND,
    instant::MOON_DISC_VS_SKY,
    instant::MOON_DIAMETER,
];

impl RowKind for FrameSettings {
    type Of<'a> = &'a Self;
}

/// The settings of the site's camera.
pub static CAMERA: &[OfFrameSettings] = &[
    OfFrameSettings::exact("f_number", |f| Some(f.exposure.f_number))
        .range(Range::AtLeast(0.0))
        .doc("f-number"),
    OfFrameSettings::number("shutter_s", 4, |f| Some(f.exposure.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("shutter, seconds"),
    OfFrameSettings::whole("iso", |f| Some(f.exposure.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("ISO"),
    OfFrameSettings::number("sky_ev100", 2, |f| Some(f.exposure.sky_ev100))
        .doc("exposure value of the sky at ISO 100"),
    OfFrameSettings::number("land_ev100", 2, |f| Some(f.exposure.land_ev100))
        .doc("exposure value of the land at ISO 100"),
    OfFrameSettings::number("sky_placement_stops", 2, |f| {
        Some(f.exposure.sky_placement_stops)
    })
    .doc("where the sky falls, stops from mid-tone"),
    OfFrameSettings::number("land_placement_stops", 2, |f| {
        Some(f.exposure.land_placement_stops)
    })
    .doc("where the land falls, stops from mid-tone"),
];

//! What a night's JSON has besides its timetable and steps.

use super::weather::{CLEAR_DOC, NO_CLIMATE};
use crate::{
    plan::{Darkness, Depth, NightPlan},
    report::row::{Field, Range, RowKind},
    search::Interval,
    terrain::{CompassZone, MagneticField},
};

type OfPlans = Field<Plans>;
type OfDarkness = Field<Darkness>;
type OfMagneticField = Field<MagneticField>;
type OfInterval = Field<Interval>;

/// Plans of nights.
#[derive(Debug, Clone, Copy)]
pub struct Plans;

impl RowKind for Plans {
    type Of<'a> = &'a NightPlan<'a>;
}

/// When the night begins and ends.
pub static NIGHT: &[OfPlans] = &[
    OfPlans::date("date", |p| Some(p.night.date)).doc("civil date of the evening"),
    OfPlans::utc("start_utc", |p| Some(p.night.start)).doc("noon before"),
    OfPlans::utc("end_utc", |p| Some(p.night.end)).doc("noon after"),
    OfPlans::flag("clocks_change", |p| Some(p.clocks_change)).doc("the clocks change in it"),
    OfPlans::number("clear_chance", 4, |p| p.site.clear_chance(p.night.date))
        .range(Range::Within(0.0, 1.0))
        .empty(NO_CLIMATE)
        .doc(CLEAR_DOC),
];

/// The camera that the settings are for.
pub static CAMERA: &[OfPlans] = &[
    OfPlans::exact("focal_mm", |p| Some(p.lens.camera.focal_mm))
        .range(Range::AtLeast(0.0))
        .doc("focal length, mm"),
    OfPlans::exact("f_number", |p| Some(p.lens.camera.f_number))
        .range(Range::AtLeast(0.0))
        .doc("f-number"),
    OfPlans::exact("npf_factor", |p| Some(p.lens.npf_factor))
        .range(Range::AtLeast(0.0))
        .doc("factor of the NPF rule"),
];

/// Whether the camera is assumed because the site gives none.
pub static CAMERA_ASSUMED: &[OfPlans] =
    &[OfPlans::flag("assumed", |p| Some(p.lens.assumed)).doc("the site has none")];

impl RowKind for Darkness {
    type Of<'a> = &'a Self;
}

/// How dark the night gets.
pub static DARKNESS: &[OfDarkness] = &[
    OfDarkness::word(
        "reaches",
        &[
            "sun_up",
            "civil_twilight",
            "nautical_twilight",
            "astronomical_twilight",
            "night",
        ],
        |d| {
            Some(match d.depth {
                Depth::SunUp => "sun_up",
                Depth::Civil => "civil_twilight",
                Depth::Nautical => "nautical_twilight",
                Depth::Astronomical => "astronomical_twilight",
                Depth::Night => "night",
            })
        },
    )
    .doc("how dark it gets"),
    OfDarkness::number("lowest_sun_altitude_deg", 2, |d| Some(d.lowest_sun_deg))
        .range(Range::Within(-90.0, 90.0))
        .doc("geometric, degrees"),
    OfDarkness::utc("darkest_utc", |d| Some(d.darkest)).doc("when the Sun is lowest"),
    OfDarkness::flag("sunless", |d| Some(d.sunless)).doc("the Sun does not rise"),
];

impl RowKind for MagneticField {
    type Of<'a> = &'a Self;
}

/// Where a compass points.
pub static COMPASS: &[OfMagneticField] = &[
    OfMagneticField::number("declination_deg", 2, |m| Some(m.declination_deg))
        .range(Range::Within(-180.0, 180.0))
        .doc("magnetic declination, degrees, east positive"),
    OfMagneticField::number("declination_uncertainty_deg", 2, |m| {
        Some(m.declination_uncertainty_deg)
    })
    .range(Range::AtLeast(0.0))
    .doc("one standard deviation, degrees"),
    OfMagneticField::word("reliance", &["reliable", "caution", "blackout"], |m| {
        Some(match m.zone {
            CompassZone::Reliable => "reliable",
            CompassZone::Caution => "caution",
            CompassZone::Blackout => "blackout",
        })
    })
    .doc("of a compass there"),
    OfMagneticField::text("model", |_| Some("WMM2025, 2025.0 to 2030.0"))
        .doc("model and its years"),
];

impl RowKind for Interval {
    type Of<'a> = &'a Self;
}

/// A period of the night.
pub static PERIOD: &[OfInterval] = &[
    OfInterval::utc("start_utc", |i| Some(i.first())).doc("start"),
    OfInterval::utc("end_utc", |i| Some(i.last())).doc("end"),
    OfInterval::number("minutes", 1, |i| Some(i.minutes()))
        .range(Range::AtLeast(0.0))
        .doc("length, minutes"),
];

//! The reflectance of the land from a frame: its fields in JSON.

use crate::report::{
    exposure::Calibration,
    row::{Field, Range, RowKind},
};

impl RowKind for Calibration {
    type Of<'a> = &'a Self;
}

type F = Field<Calibration>;

/// The fields of a calibration.
pub static FIELDS: &[F] = &[
    F::number("measured_stops", 2, |c| Some(c.measured_stops))
        .doc("stops from the sky behind the target up to the land, as measured"),
    F::number("computed_stops", 2, |c| Some(c.computed_stops))
        .doc("the same as computed with what the site says of the land"),
    F::number("reflectance", 3, |c| Some(c.reflectance))
        .range(Range::Within(0.01, 1.0))
        .doc("the reflectance that gives the frame"),
    F::date("reflectance_measured", |c| Some(c.date)).doc("local date of the frame"),
];

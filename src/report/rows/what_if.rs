//! What other values, other bearings and later nights come to, in JSON.

use crate::{
    report::row::{Field, Range, RowKind},
    search::{SpareNights, Window},
    why::{BearingSector, Variant},
};

type OfVariant = Field<Variant>;
type OfBearingSector = Field<BearingSector>;
type OfSpares = Field<Spares>;
type OfWindow = Field<Window>;

const SCORES: Range = Range::Within(0.0, 100.0);
const AZIMUTH: Range = Range::Within(0.0, 360.0);

impl RowKind for Variant {
    type Of<'a> = &'a Self;
}

/// What a combination of values finds.
pub static VARIANT: &[OfVariant] = &[
    OfVariant::whole("nights", |v| i64::try_from(v.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found"),
    OfVariant::whole("windows", |v| i64::try_from(v.windows).ok())
        .range(Range::AtLeast(0.0))
        .doc("windows found"),
    OfVariant::number("best_score", 1, |v| Some(v.best?.0))
        .range(SCORES)
        .empty("nothing is found")
        .doc("0 to 100"),
    OfVariant::date("best_night", |v| Some(v.best?.1))
        .empty("nothing is found")
        .doc("evening"),
];

impl RowKind for BearingSector {
    type Of<'a> = &'a Self;
}

/// What a sector of bearings finds.
pub static SECTOR: &[OfBearingSector] = &[
    OfBearingSector::exact("from_deg", |s| Some(s.from_deg))
        .range(AZIMUTH)
        .doc("true bearing, degrees"),
    OfBearingSector::exact("to_deg", |s| Some(s.to_deg))
        .range(AZIMUTH)
        .doc("true bearing, degrees"),
    OfBearingSector::exact("bearing_deg", |s| Some(s.best.bearing_deg))
        .range(AZIMUTH)
        .doc("best bearing tried in it, true, degrees"),
    OfBearingSector::whole("nights", |s| i64::try_from(s.best.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found"),
    OfBearingSector::whole("nights_lit_from_left", |s| {
        i64::try_from(s.best.nights_lit_from_left).ok()
    })
    .range(Range::AtLeast(0.0))
    .doc("of them lit from the left"),
    OfBearingSector::number("best_score", 1, |s| s.best.best_score)
        .range(SCORES)
        .empty("nothing is found")
        .doc("0 to 100"),
    OfBearingSector::date("best_night", |s| s.best.best_night)
        .empty("nothing is found")
        .doc("evening"),
];

/// Nights with spare ones.
#[derive(Debug, Clone, Copy)]
pub struct Spares;

impl RowKind for Spares {
    type Of<'a> = &'a SpareNights<'a>;
}

/// The night that others stand in for.
pub static NIGHT: &[OfSpares] = &[
    OfSpares::date("night", |s| Some(s.window.night)).doc("evening"),
    OfSpares::whole("rank", |s| i64::try_from(s.window.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("rank of the window"),
];

impl RowKind for Window {
    type Of<'a> = &'a Self;
}

/// A night that stands in.
pub static SPARE: &[OfWindow] = &[
    OfWindow::date("night", |w| Some(w.night)).doc("evening"),
    OfWindow::whole("rank", |w| i64::try_from(w.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("its rank"),
    OfWindow::number("score", 1, |w| Some(w.score))
        .range(SCORES)
        .doc("0 to 100"),
];

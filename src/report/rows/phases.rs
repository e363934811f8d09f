//! Quarters, apsides and eclipses of the Moon: their fields.

use crate::{
    ephemeris::{Apsis, ApsisKind, Eclipse, Moment, Quarter},
    report::{
        row::{Field, Range, RowKind},
        words::eclipse_word,
    },
};

/// Quarters and when they are.
#[derive(Debug, Clone, Copy)]
pub struct Quarters;

impl RowKind for Quarters {
    type Of<'a> = &'a (Quarter, Moment);
}

/// Perigees and apogees.
#[derive(Debug, Clone, Copy)]
pub struct Apsides;

impl RowKind for Apsides {
    type Of<'a> = &'a Apsis;
}

/// Eclipses of the Moon.
#[derive(Debug, Clone, Copy)]
pub struct Eclipses;

impl RowKind for Eclipses {
    type Of<'a> = &'a Eclipse;
}

fn quarter_word(quarter: Quarter) -> &'static str {
    match quarter {
        Quarter::New => "new",
        Quarter::First => "first_quarter",
        Quarter::Full => "full",
        Quarter::Last => "last_quarter",
    }
}

pub(in crate::report) fn apsis_word(kind: ApsisKind) -> &'static str {
    match kind {
        ApsisKind::Perigee => "perigee",
        ApsisKind::Apogee => "apogee",
    }
}

/// The fields of a quarter.
pub static QUARTERS: &[Field<Quarters>] = &[
    Field::<Quarters>::word(
        "kind",
        &["new", "first_quarter", "full", "last_quarter"],
        |q| Some(quarter_word(q.0)),
    )
    .doc("which"),
    Field::<Quarters>::utc("time_utc", |q| Some(q.1)).doc("when"),
];

/// The fields of an apsis.
pub static APSIDES: &[Field<Apsides>] = &[
    Field::<Apsides>::word("kind", &["perigee", "apogee"], |a| Some(apsis_word(a.kind)))
        .doc("which"),
    Field::<Apsides>::utc("time_utc", |a| Some(a.moment)).doc("when"),
    Field::<Apsides>::number("distance_km", 0, |a| Some(a.distance_km))
        .range(Range::Within(350_000.0, 410_000.0))
        .doc("between the centres, km"),
];

/// The fields of an eclipse, without its contacts, which are pairs of times.
pub static ECLIPSES: &[Field<Eclipses>] = &[
    Field::<Eclipses>::word("kind", &["penumbral", "partial", "total"], |e| {
        Some(eclipse_word(e.kind))
    })
    .doc("which"),
    Field::<Eclipses>::utc("greatest_utc", |e| Some(e.greatest)).doc("greatest"),
    Field::<Eclipses>::number("umbral_magnitude", 4, |e| Some(e.umbral_magnitude))
        .doc("Danjon's rule; negative where the umbra is missed"),
    Field::<Eclipses>::number("penumbral_magnitude", 4, |e| Some(e.penumbral_magnitude))
        .doc("Danjon's rule"),
];

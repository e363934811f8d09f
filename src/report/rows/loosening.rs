//! A loosening in JSON: the smallest change of a rule that would give a night.

use crate::{
    report::{
        row::{Field, RowKind},
        words::unit_name,
    },
    why::Loosening,
};

/// A loosening with the option to type for it.
#[derive(Debug, Clone, Copy)]
pub struct LooseningRow<'a> {
    /// The loosening.
    pub loosening: &'a Loosening,
    /// The option to type.
    pub option: &'a str,
}

/// Loosenings.
#[derive(Debug, Clone, Copy)]
pub struct Loosenings;

impl RowKind for Loosenings {
    type Of<'a> = LooseningRow<'a>;
}

type F = Field<Loosenings>;

/// The words for units of rules.
pub const UNITS: &[&str] = &["deg", "fraction", "minutes", "word"];

/// A loosening.
pub static LOOSENING: &[F] = &[
    F::text("rule", |l| Some(l.loosening.rule.key)).doc("key of the rule"),
    F::text("value", |l| Some(&l.loosening.value)).doc("its new value"),
    F::text("option", |l| Some(l.option)).doc("what to type"),
    F::number("off_by", 4, |l| l.loosening.off)
        .empty("the rule is a word")
        .doc("how far the end moved, in unit"),
    F::word("unit", UNITS, |l| Some(unit_name(l.loosening.rule))).doc("unit of off_by"),
];

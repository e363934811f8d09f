//! One night rule by rule, in JSON.

use super::loosening::UNITS;
use crate::{
    ephemeris::Moment,
    report::{
        row::{Field, Range, RowKind},
        words::unit_name,
    },
    rule::Measure,
    search::Interval,
    why::{RuleThrough, WindowEnds},
};

type OfMeasures = Field<Measures>;
type OfHelds = Field<Helds>;
type OfWindowEnds = Field<WindowEnds>;

impl RowKind for RuleThrough {
    type Of<'a> = &'a Self;
}

type Through = Field<RuleThrough>;

/// A rule.
pub static RULE: &[Through] = &[
    Through::text("rule", |t| Some(t.rule.key)).doc("key of the rule"),
    Through::text("value", |t| Some(&t.value)).doc("in use"),
    Through::word("unit", UNITS, |t| Some(unit_name(t.rule))).doc("of values and margins"),
];

/// What one rule costs the night.
pub static COST: &[Through] = &[Through::flag("rejects_alone", |t| Some(t.rejects_alone))
    .doc("without this rule alone the night would be found")];

/// What a rule's best instant has besides its measure.
pub static BEST: &[Through] = &[
    Through::flag("while_others_hold", |t| Some(t.best_with_others))
        .doc("looked for while all other rules hold"),
];

/// Measures of a rule at instants.
#[derive(Debug, Clone, Copy)]
pub struct Measures;

impl RowKind for Measures {
    type Of<'a> = (Moment, Option<Measure>);
}

/// A measure.
pub static MEASURE: &[OfMeasures] = &[
    OfMeasures::utc("time_utc", |m| Some(m.0)).doc("when"),
    OfMeasures::number("value", 4, |m| Some(m.1?.value))
        .empty("the rule has no measure then")
        .doc("in unit"),
    OfMeasures::number("margin", 4, |m| Some(m.1?.margin))
        .empty("the rule has no measure then")
        .doc("in unit; not negative where the rule holds"),
];

/// Periods in which one rule holds.
#[derive(Debug, Clone, Copy)]
pub struct Helds;

impl RowKind for Helds {
    type Of<'a> = &'a Interval;
}

/// When a rule holds.
pub static HELD: &[OfHelds] = &[
    OfHelds::utc("start_utc", |i| Some(i.first())).doc("start"),
    OfHelds::utc("end_utc", |i| Some(i.last())).doc("end"),
];

impl RowKind for WindowEnds {
    type Of<'a> = &'a Self;
}

/// When all rules hold, and what ends that.
pub static RULES_HELD: &[OfWindowEnds] = &[
    OfWindowEnds::utc("start_utc", |w| Some(w.interval.first())).doc("start"),
    OfWindowEnds::utc("end_utc", |w| Some(w.interval.last())).doc("end"),
    OfWindowEnds::number("minutes", 1, |w| Some(w.interval.minutes()))
        .range(Range::AtLeast(0.0))
        .doc("minutes"),
    OfWindowEnds::flag("long_enough", |w| Some(w.long_enough)).doc("as long as min_minutes"),
    OfWindowEnds::text("begun_by", |w| Some(w.begun_by?.key))
        .empty("the night's noon")
        .doc("rule that begins it"),
    OfWindowEnds::text("ended_by", |w| Some(w.ended_by?.key))
        .empty("the next noon")
        .doc("rule that ends it"),
];

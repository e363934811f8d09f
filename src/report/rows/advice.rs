//! What rules cost, in JSON.

use crate::{
    report::row::{Field, Range, RowKind},
    why::{Advice, RuleAdvice},
};

type OfAdvice = Field<Advice>;
type OfRuleAdvice = Field<RuleAdvice>;

impl RowKind for Advice {
    type Of<'a> = &'a Self;
}

/// What all rules together cost.
pub static ALL: &[OfAdvice] = &[
    OfAdvice::whole("nights", |a| i64::try_from(a.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights looked at"),
    OfAdvice::whole("nights_found", |a| i64::try_from(a.found).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found"),
];

impl RowKind for RuleAdvice {
    type Of<'a> = &'a Self;
}

/// What one rule costs.
pub static RULE: &[OfRuleAdvice] = &[
    OfRuleAdvice::text("rule", |r| Some(r.rule.key)).doc("key of the rule"),
    OfRuleAdvice::text("value", |r| Some(&r.value)).doc("its value"),
    OfRuleAdvice::whole("nights_alone", |r| i64::try_from(r.nights_alone).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found without it"),
    OfRuleAdvice::whole("nights_in_reach", |r| i64::try_from(r.nights_in_reach).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found with a sensible value"),
];

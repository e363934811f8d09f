//! The lowest score worth a night.

use super::{Limit, Rule, RuleValue, Topic, Typed, Unit, off};
use crate::scene::number_within;

/// The lowest score of a window, 0 to 100. It applies to windows that keep every
/// other rule.
pub static MIN_SCORE: Rule = Rule {
    key: "min_score",
    typed: Some(Typed {
        alias: "",
        read: |text| number_within(text, 0.0, 100.0).map(RuleValue::Score),
        topic: Topic::Print,
        value_name: "N",
        words: &[],
        may_be_negative: false,
        help: "Lowest score of a window, 0 to 100",
        more: "Of those that keep every other rule. A plan of one night shows all.",
        seldom: true,
        example: "50",
        remark: "",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 23,
        swept: 23,
        letter: 'q',
        unmet: |_| "score too low".to_owned(),
        words: |_| "the lowest score".to_owned(),
        unit: Unit::Score,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 10.0,
        check: |_, _| None,
    }),
};

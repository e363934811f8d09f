//! The shortest useful window.

use super::{Limit, Rule, RuleValue, Topic, Typed, Unit};
use crate::scene::number_within;

/// Shortest useful window, minutes. By default 20, with the Moon as target 2: a
/// disc beside a subject moves on in minutes. Common practice, no source.
/// It applies to what every other rule leaves.
pub static MIN_MINUTES: Rule = Rule {
    key: "min_minutes",
    typed: Some(Typed {
        alias: "",
        read: |text| number_within(text, 0.0, 1440.0).map(RuleValue::Minutes),
        topic: Topic::When,
        value_name: "N",
        words: &[],
        may_be_negative: false,
        help: "Shortest useful window, minutes",
        more: "With --target moon the default is 2.",
        seldom: false,
        example: "20",
        remark: "",
    }),
    default: |asked| {
        Some(RuleValue::Minutes(match asked.target.is_moon() {
            true => 2.0,
            false => 20.0,
        }))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 18,
        swept: 22,
        letter: 'b',
        unmet: |_| "too short".to_owned(),
        words: |_| "the shortest window".to_owned(),
        unit: Unit::Minutes,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 10.0,
        check: |_, _| None,
    }),
};

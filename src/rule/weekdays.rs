//! The days of the week.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, value::OfRule};
use crate::scene::parse_weekdays;
use chrono::WeekdaySet;

/// Evenings that suit.
pub static WEEKDAYS: Rule = Rule {
    key: "weekdays",
    typed: Some(Typed {
        alias: "",
        read: |text| parse_weekdays(text).map(RuleValue::Days),
        topic: Topic::When,
        value_name: "DAYS",
        words: &["mon", "tue", "wed", "thu", "fri", "sat", "sun"],
        may_be_negative: false,
        help: "Evenings that suit you, such as fri,sat or mon-thu",
        more: "",
        seldom: false,
        example: "fri,sat",
        remark: "evenings; also mon-thu",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 0,
        swept: 0,
        letter: 'w',
        unmet: |_| "not one of the weekdays".to_owned(),
        words: |_| "the day of the week".to_owned(),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 1.0,
        check: |value, _| Some(Check::Days(WeekdaySet::of(value?)?)),
    }),
};

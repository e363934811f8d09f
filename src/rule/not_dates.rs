//! The evenings that do not suit.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, value::OfRule};
use crate::scene::DateList;

/// Evenings and times that are taken, typed or in files.
pub static NOT_DATES: Rule = Rule {
    key: "not",
    typed: Some(Typed {
        alias: "",
        read: |text| DateList::parse(text).map(RuleValue::Dates),
        topic: Topic::When,
        value_name: "DATES",
        words: &[],
        may_be_negative: false,
        help: "None of these evenings: as --dates",
        more: "Holidays, weeks that are taken: written as --dates. Of the events of an iCalendar \
               file those of whole days take the evening, the others their own time.",
        seldom: true,
        example: "2027-12-24..2027-12-26",
        remark: "evenings that are taken: as dates",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 2,
        swept: 2,
        letter: 'n',
        unmet: |_| "on a date or at a time that is taken".to_owned(),
        words: |_| "what is taken".to_owned(),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 1.0,
        check: |value, _| {
            let list = DateList::of(value?)?;
            (!list.items().is_empty()).then_some(Check::NotListed(list))
        },
    }),
};

//! The times at which one may be there.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, value::OfRule};
use crate::scene::DateList;

/// Times that are allowed, in a file: low water, an open gate, a permit.
pub static TIMES: Rule = Rule {
    key: "times",
    typed: Some(Typed {
        alias: "",
        read: |text| DateList::parse_times(text).map(RuleValue::Dates),
        topic: Topic::When,
        value_name: "FILE",
        words: &[],
        may_be_negative: false,
        help: "Only at the times in this file: tides, gates",
        more: "A table with the columns date, from, to in local time (tides.csv), or an iCalendar \
               file (.ics). A window lies inside one of the periods. to before from is on the next \
               day: date is the day of from. A night without a period has no window. off switches a \
               site's own off.",
        seldom: true,
        example: "tides.csv",
        remark: "a file of allowed times: date, from, to",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 3,
        swept: 3,
        letter: 'u',
        unmet: |_| "outside the allowed times".to_owned(),
        words: |_| "the allowed times".to_owned(),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        // No photographer moves the tide.
        reach: None,
        step: 1.0,
        check: |value, _| {
            let list = DateList::of(value?)?;
            (!list.items().is_empty()).then_some(Check::Listed(list))
        },
    }),
};

//! The evenings that suit.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, value::OfRule};
use crate::scene::DateList;

/// Evenings that suit, typed or in files.
pub static DATES: Rule = Rule {
    key: "dates",
    typed: Some(Typed {
        alias: "",
        read: |text| DateList::parse(text).map(RuleValue::Dates),
        topic: Topic::When,
        value_name: "DATES",
        words: &[],
        may_be_negative: false,
        help: "Only these evenings: dates, ranges, files",
        more: "Such as 2027-05-01..2027-05-09,2027-06-04 or free.ics: dates, ranges A..B and files \
               with commas between them. A file is a list, a date or a range a line (.txt, .csv), a \
               table with a column date, or an iCalendar file (.ics): of its events those of whole \
               days name evenings, the others allow their own time. off switches a site's own off.",
        seldom: true,
        example: "2027-05-01..2027-05-09,2027-06-04",
        remark: "evenings, ranges, or files: free.ics",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 1,
        swept: 1,
        letter: 'e',
        unmet: |_| "not on an allowed date".to_owned(),
        words: |_| "the list of dates".to_owned(),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        // Who lists dates has no others.
        reach: None,
        step: 1.0,
        check: |value, _| {
            let list = DateList::of(value?)?;
            (!list.items().is_empty()).then_some(Check::Listed(list))
        },
    }),
};

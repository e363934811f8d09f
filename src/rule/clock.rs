//! The hours of the wall clock.

use super::{
    Check, Limit, Rule, Topic, Typed, Unit, off,
    value::{OfRule, read},
};
use crate::scene::ClockBand;
use chrono::Timelike;

/// Local clock times that suit you.
pub static CLOCK: Rule = Rule {
    key: "clock",
    typed: Some(Typed {
        alias: "",
        read: read::<ClockBand>,
        topic: Topic::When,
        value_name: "HH:MM..HH:MM",
        words: &[],
        may_be_negative: false,
        help: "Local clock times that suit you",
        more: "",
        seldom: false,
        example: "21:00..02:30",
        remark: "local time",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 4,
        swept: 4,
        letter: 'h',
        unmet: |_| "not within the hours".to_owned(),
        words: |_| "the clock".to_owned(),
        unit: Unit::Minutes,
        around: true,
        value: |instant, zone| {
            let time = zone.local(instant.moment()).time();
            Some(f64::from(time.num_seconds_from_midnight()) / 60.0)
        },
        reach: None,
        step: 60.0,
        check: |value, _| Some(Check::Clock(ClockBand::of(value?)?)),
    }),
};

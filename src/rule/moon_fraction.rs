//! How much of the Moon is lit.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, value::OfRule};
use crate::scene::Band;

/// Illuminated fraction of the Moon, 0 to 1, geocentric. By default 0.03 to 0.5
/// for a Moon that lights the land: common practice, no source.
pub static MOON_FRACTION: Rule = Rule {
    key: "moon_fraction",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_fraction(text).map(RuleValue::Band),
        topic: Topic::Light,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "Lit part of the Moon, 0..1",
        more: "From 0 to 1, or in percent (..50%). The default applies to raking and blend; other \
               kinds of night have none.",
        seldom: false,
        example: "3%..50%",
        remark: "",
    }),
    default: |asked| {
        asked
            .light
            .is_sidelit()
            .then_some(RuleValue::Band(Band::new(0.03, 0.5)))
    },
    of_moonlight: true,
    limit: Some(Limit {
        asked: 6,
        swept: 5,
        letter: 'f',
        unmet: |_| "the Moon is lit too much or too little".to_owned(),
        words: |_| "the Moon's lit fraction".to_owned(),
        unit: Unit::Fraction,
        around: false,
        value: |instant, _| Some(instant.sky.phase.illuminated_fraction),
        reach: Some(|_, _| Band::new(0.0, 1.0)),
        step: 0.1,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.moon())?)?;
            Some(Check::MoonFraction(Limits::of_fractions(band)))
        },
    }),
};

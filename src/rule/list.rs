//! The list of rules.

use super::{
    ARCH_ALTITUDE, ARCH_OFFSET, CLOCK, CONTRAST, DATES, FACING, FRAMING, LIGHT, LIGHT_ANGLE,
    LIGHT_SIDE, MIN_MINUTES, MIN_SCORE, MOON_ALTITUDE, MOON_FRACTION, MOON_IN_FRAME, MOON_RIDGE,
    NOT_DATES, PREFER, Rule, SUN_ALTITUDE, TARGET, TARGET_ALTITUDE, TARGET_AZIMUTH, TARGET_OFFSET,
    TARGET_PLACE, TARGET_RIDGE, TILT, TIMES, Typed, WEEKDAYS, WEIGHTS,
};
use crate::scene::nearest;

/// Every rule, in the order in which they are printed.
pub static RULES: [&Rule; 29] = [
    &LIGHT,
    &PREFER,
    &TARGET,
    &TARGET_ALTITUDE,
    &TARGET_AZIMUTH,
    &FACING,
    &TARGET_OFFSET,
    &TARGET_PLACE,
    &FRAMING,
    &ARCH_ALTITUDE,
    &ARCH_OFFSET,
    &TILT,
    &SUN_ALTITUDE,
    &CONTRAST,
    &MOON_ALTITUDE,
    &MOON_FRACTION,
    &LIGHT_ANGLE,
    &LIGHT_SIDE,
    &MOON_IN_FRAME,
    &MIN_MINUTES,
    &CLOCK,
    &WEEKDAYS,
    &DATES,
    &NOT_DATES,
    &TIMES,
    &WEIGHTS,
    &MIN_SCORE,
    &TARGET_RIDGE,
    &MOON_RIDGE,
];

/// The rules that can be typed, with their typed form, in the same order.
pub fn typed_rules() -> impl Iterator<Item = (&'static Rule, &'static Typed)> {
    RULES
        .iter()
        .filter_map(|rule| Some((*rule, rule.typed.as_ref()?)))
}

impl Rule {
    /// The rule with this key or alias, if it can be typed.
    pub fn of_key(key: &str) -> Option<&'static Self> {
        typed_rules()
            .find(|(rule, typed)| rule.key == key || (typed.alias == key && !key.is_empty()))
            .map(|(rule, _)| rule)
    }

    /// The key probably meant by one that belongs to no rule.
    pub fn nearest_key(key: &str) -> Option<&'static str> {
        let keys = typed_rules().flat_map(|(rule, typed)| [rule.key, typed.alias]);
        nearest(key, keys.filter(|key| !key.is_empty())).map(Self::key_of)
    }

    /// The key that means what `key` means: its own name for an alias.
    pub fn key_of(key: &str) -> &str {
        Self::of_key(key).map_or(key, |rule| rule.key)
    }

    /// Its place in [`RULES`].
    pub(super) fn index(&self) -> Option<usize> {
        RULES.iter().position(|rule| std::ptr::eq(*rule, self))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_rules_share_a_key_or_a_place() {
        let keys: BTreeSet<&str> = RULES.iter().map(|rule| rule.key).collect();
        assert_eq!(keys.len(), RULES.len());
        let limits = || RULES.iter().filter_map(|rule| rule.limit.as_ref());
        let asked: BTreeSet<u8> = limits().map(|limit| limit.asked).collect();
        let swept: BTreeSet<u8> = limits().map(|limit| limit.swept).collect();
        assert_eq!(asked.len(), limits().count());
        assert_eq!(swept.len(), limits().count());
    }

    #[test]
    fn each_example_of_the_template_is_read() {
        for (rule, typed) in typed_rules() {
            assert!((typed.read)(typed.example).is_ok(), "{}", rule.key);
        }
    }

    #[test]
    fn every_word_that_shells_are_told_is_taken() {
        let mut told = 0;
        for (rule, typed) in typed_rules() {
            for word in typed.words {
                assert!((typed.read)(word).is_ok(), "{} {word}", rule.key);
                told += 1;
            }
        }
        assert!(told > 15);
    }
}

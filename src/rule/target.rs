//! What must stand in the sky.

use super::{Rule, RuleValue, Topic, Typed, value::read};
use crate::ephemeris::Direction;

/// The direction among the stars that must stand in the sky.
pub static TARGET: Rule = Rule {
    key: "target",
    typed: Some(Typed {
        alias: "",
        read: read::<Direction>,
        topic: Topic::Stand,
        value_name: "TARGET",
        words: &["core"],
        may_be_negative: false,
        help: "What must be up: core, gal:L,B or icrs:RA,DEC",
        more: "A direction among the stars: galactic longitude and latitude, or right ascension \
               and declination, degrees.",
        seldom: false,
        example: "core",
        remark: "core, gal:L,B or icrs:RA,DEC in degrees",
    }),
    default: |_| Some(RuleValue::Target(Direction::Core)),
    of_moonlight: false,
    limit: None,
};

//! What must stand in the sky.

use super::{Rule, RuleValue, Topic, Typed, value::read};
use crate::ephemeris::Direction;

/// What must stand in the sky: a direction among the stars, or the Moon.
pub static TARGET: Rule = Rule {
    key: "target",
    typed: Some(Typed {
        alias: "",
        read: read::<Direction>,
        topic: Topic::Stand,
        value_name: "TARGET",
        words: &["core", "moon"],
        may_be_negative: false,
        help: "core, moon, gal:L,B, icrs:RA,DEC",
        more: "What must be up: the Milky Way's core, the Moon, or a direction among the stars by \
               galactic longitude and latitude, or by right ascension and declination, degrees. \
               The Moon has defaults of its own: low, near the subject, in twilight, any light.",
        seldom: false,
        example: "core",
        remark: "core, moon, gal:L,B or icrs:RA,DEC in degrees",
    }),
    default: |_| Some(RuleValue::Target(Direction::Core)),
    of_moonlight: false,
    limit: None,
};

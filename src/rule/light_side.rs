//! The side of the light.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit,
    sector::{Sector, around},
    value::{OfRule, read},
};
use crate::scene::Side;

/// The side of the camera direction on which the Moon may stand; by default
/// either.
pub static LIGHT_SIDE: Rule = Rule {
    key: "light_side",
    typed: Some(Typed {
        alias: "",
        read: read::<Side>,
        topic: Topic::Light,
        value_name: "SIDE",
        words: &["left", "right", "either"],
        may_be_negative: false,
        help: "Moon left or right of the camera, or either",
        more: "The side of the camera direction on which the Moon stands.",
        seldom: false,
        example: "either",
        remark: "left, right or either",
    }),
    default: |_| Some(RuleValue::Side(Side::Either)),
    of_moonlight: true,
    limit: Some(Limit {
        asked: 12,
        swept: 17,
        letter: 'l',
        unmet: |_| "the light falls from the wrong side".to_owned(),
        words: |_| "the side of the light".to_owned(),
        unit: Unit::Word,
        around: true,
        value: |instant, _| Some(instant.signed_light_angle_deg()),
        reach: None,
        step: 1.0,
        check: |value, at| {
            let sector = match Side::of(value.filter(|_| at.moon())?)? {
                Side::Either => return None,
                Side::Left => [Sector::new(-180.0, 180.0)],
                Side::Right => [Sector::new(0.0, 180.0)],
            };
            let facing = at.facing;
            Some(Check::sky(move |sky, t| {
                around(facing, &sector, sky, t, sky.moon(t).0)
            }))
        },
    }),
};

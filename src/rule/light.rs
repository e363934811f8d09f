//! The kind of light.

use super::{Rule, RuleValue, Topic, Typed, value::read};
use crate::scene::LightKind;

/// The kind of light asked for.
pub static LIGHT: Rule = Rule {
    key: "light",
    typed: Some(Typed {
        alias: "",
        read: read::<LightKind>,
        topic: Topic::Light,
        value_name: "KIND",
        words: &["raking", "dark", "blend", "any"],
        may_be_negative: false,
        help: "raking, dark, blend or any",
        more: "raking: a low Moon from the side. dark: no Moon. blend: such a Moon for the land, \
               and a dark period with the target up in the same night. any: no rule about the Moon.",
        seldom: false,
        example: "raking",
        remark: "raking, dark, blend or any",
    }),
    default: |_| Some(RuleValue::Light(LightKind::Raking)),
    of_moonlight: false,
    limit: None,
};

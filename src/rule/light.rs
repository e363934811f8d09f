//! The kind of light.

use super::{Rule, RuleValue, Topic, Typed, value::read};
use crate::scene::{LightKind, LightKinds};

/// The kinds of light asked for. By default raking; with the Moon as target any,
/// the only one that has a meaning then.
pub static LIGHT: Rule = Rule {
    key: "light",
    typed: Some(Typed {
        alias: "",
        read: read::<LightKinds>,
        topic: Topic::Light,
        value_name: "KIND",
        words: LightKind::WORDS,
        may_be_negative: false,
        help: "raking, dark, blend, several of these, or any",
        more: "raking: a low Moon from the side. dark: no Moon. blend: such a Moon for the land, \
               and a dark period with the target up in the same night. any: no rule about the \
               Moon; with --target moon the only kind, and the default. Several (raking,dark) are \
               searched together, and each window has its kind; see --prefer.",
        seldom: false,
        example: "raking",
        remark: "raking, dark, blend, several of these, or any",
    }),
    default: |asked| {
        Some(RuleValue::from(match asked.target.is_moon() {
            true => LightKind::Any,
            false => LightKind::Raking,
        }))
    },
    of_moonlight: false,
    limit: None,
};

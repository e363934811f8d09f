//! How much each kind of light is worth beside the others.

use super::{Rule, Topic, Typed, off, value::read};
use crate::scene::Preferences;

/// The preferences among kinds of light asked for together; by default those of
/// [`Preferences::default`].
pub static PREFER: Rule = Rule {
    key: "prefer",
    typed: Some(Typed {
        alias: "",
        read: read::<Preferences>,
        topic: Topic::Light,
        value_name: "KIND=N,...",
        words: &[],
        may_be_negative: false,
        help: "What kinds of light are worth side by side",
        more: "Where --light asks for several, the score of each window is multiplied by the                number of its kind over the greatest of those asked for. [default:                raking=1,blend=0.8,dark=0.6]",
        seldom: true,
        example: "dark=0.8",
        remark: "what kinds of light are worth side by side",
    }),
    default: off,
    of_moonlight: false,
    limit: None,
};

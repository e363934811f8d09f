//! Where the camera looks.

use super::{
    ARCH_OFFSET, FRAMING, LIGHT_ANGLE, LIGHT_SIDE, MOON_IN_FRAME, Rule, TARGET_OFFSET, Topic,
    Typed, off, value::read,
};
use crate::scene::Facing;

/// Where the camera looks. Its default depends on the site: the subject where
/// there is one, else the target.
pub static FACING: Rule = Rule {
    key: "facing",
    typed: Some(Typed {
        alias: "",
        read: read::<Facing>,
        topic: Topic::Stand,
        value_name: "BEARING",
        words: &["subject", "target", "arch"],
        may_be_negative: false,
        help: "Camera's true bearing, or subject, target, arch",
        more: "`subject` looks at the site's subject. `target` follows the target; `arch` follows \
               the highest point of the Milky Way's arch, for a panorama of the whole. Default: \
               the subject where the site has one, else the target.",
        seldom: false,
        example: "subject",
        remark: "a bearing, subject, target or arch",
    }),
    default: off,
    of_moonlight: false,
    limit: None,
};

/// The limits that are measured from the camera direction. What the others leave
/// of a night is the same wherever the camera looks.
pub(crate) static FROM_FACING: [&Rule; 6] = [
    &TARGET_OFFSET,
    &FRAMING,
    &ARCH_OFFSET,
    &LIGHT_ANGLE,
    &LIGHT_SIDE,
    &MOON_IN_FRAME,
];

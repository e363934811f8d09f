//! The Moon in the frame.

use super::{
    Check, Limit, Rule, Topic, Typed, Unit, off,
    value::{OfRule, read},
};
use crate::scene::MoonInFrame;

/// Whether the Moon must be outside the frame that holds land and target, or
/// inside; a panorama holds it if it stands between them or next to one.
pub static MOON_IN_FRAME: Rule = Rule {
    key: "moon_in_frame",
    typed: Some(Typed {
        alias: "",
        read: read::<MoonInFrame>,
        topic: Topic::Light,
        value_name: "WORD",
        words: &["no", "only", "any"],
        may_be_negative: false,
        help: "The Moon in the frame: no, only or any",
        more: "no: a frame can hold land and target and leave the Moon out; only: it can hold all \
               three. A Moon below the horizon is out. It needs the site's camera.",
        seldom: true,
        example: "any",
        remark: "no, only or any",
    }),
    default: off,
    of_moonlight: true,
    limit: Some(Limit {
        asked: 21,
        swept: 20,
        letter: 'i',
        unmet: |_| "the Moon is in the frame, or not in it".to_owned(),
        words: |_| "the Moon in the frame".to_owned(),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 1.0,
        check: |value, at| {
            let asked = MoonInFrame::of(value.filter(|_| at.target())?)?;
            let frames = at.frames.clone()?;
            match asked {
                MoonInFrame::No => Some(Check::sky(move |sky, t| frames.moon_out(sky, t))),
                MoonInFrame::Only => Some(Check::sky(move |sky, t| frames.moon_in(sky, t))),
                MoonInFrame::Any => None,
            }
        },
    }),
};

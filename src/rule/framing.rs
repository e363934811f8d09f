//! What one frame holds.

use super::{
    Check, FrameWatch, Limit, Rule, RuleValue, Topic, Typed, Unit,
    check::Watch,
    value::{OfRule, read},
};
use crate::{
    ephemeris::{Reading, Sky},
    scene::{Facing, Framing},
};
use std::sync::Arc;

/// Whether land and target must fit in one frame of the site's camera, or in a
/// panorama. By default a panorama will do where the camera is known; without
/// one nothing is asked.
pub static FRAMING: Rule = Rule {
    key: "framing",
    typed: Some(Typed {
        alias: "",
        read: read::<Framing>,
        topic: Topic::Stand,
        value_name: "FRAMING",
        words: &["one", "panorama", "any"],
        may_be_negative: false,
        help: "Land and target in one frame, panorama or any",
        more: "With the site's lens, landscape or portrait, level or pitched, and a twentieth of \
               the frame free at each edge. The land is the subject from foot to top, or the \
               horizon in the camera direction. [default: panorama if the site has a camera and \
               does not face the arch, else any]",
        seldom: false,
        example: "one",
        remark: "one, panorama or any",
    }),
    default: |asked| {
        let framed = asked.camera && asked.facing != Facing::Arch;
        framed.then_some(RuleValue::Framing(Framing::Panorama))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 20,
        swept: 19,
        letter: 'x',
        unmet: |target| format!("no frame holds both land and {target}"),
        words: |target| format!("land and {target} in the frame"),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 1.0,
        check: |value, at| {
            let framing = Framing::of(value.filter(|_| at.target())?)?;
            let frames = at.frames.clone()?;
            match framing {
                Framing::One => Some(Check::sky(move |sky, t| frames.one(sky, t))),
                Framing::Panorama => Some(Check::Sky(Arc::new(PanoramaWatch(frames)))),
                Framing::Any => None,
            }
        },
    }),
};

/// Land and target in one frame or in a panorama.
struct PanoramaWatch(FrameWatch);

impl Watch for PanoramaWatch {
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading {
        self.0.panorama(sky, t)
    }

    fn holds(&self, sky: &Sky<'_>, t: f64) -> bool {
        let wide = self.0.panorama_alone(sky, t);
        wide.is_some_and(|wide| wide.margin >= 0.0) || self.0.one(sky, t).margin >= 0.0
    }
}

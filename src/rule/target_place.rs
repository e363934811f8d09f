//! The target against the subject, which is solid.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit,
    value::{self, OfRule},
    wall::Wall,
};
use crate::{
    ephemeris::{Reading, Sky},
    scene::{SubjectShape, TargetPlace},
};

/// How far beside the subject's edge the target may stand to be over it,
/// degrees of azimuth. The project's choice.
const OVER_SIDE_DEG: f64 = 5.0;

/// Where the target must stand to a subject whose size and distance are known:
/// by default clear of it.
pub static TARGET_PLACE: Rule = Rule {
    key: "target_place",
    typed: Some(Typed {
        alias: "",
        read: value::read::<TargetPlace>,
        topic: Topic::Stand,
        value_name: "PLACE",
        words: &["clear", "over", "beside", "behind", "any"],
        may_be_negative: false,
        help: "clear of the subject, over, beside or behind it",
        more: "clear, over and beside take degrees of free sky: over:5. over is within 5 degrees \
               of its sides. The subject must have a height and a distance; its width is given or \
               half its height. any: the subject hides nothing. With --target moon the default is \
               clear:0.3.",
        seldom: true,
        example: "clear:2",
        remark: "clear, over, beside (over:5), behind or any",
    }),
    default: |asked| {
        let place = if asked.target.is_moon() {
            TargetPlace::MOON_CLEAR
        } else {
            TargetPlace::CLEAR
        };
        Some(RuleValue::TargetPlace(place))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 22,
        swept: 18,
        letter: 'o',
        unmet: |target| format!("the {target} does not stand as asked to the subject"),
        words: |target| format!("the {target}'s place relative to the subject"),
        unit: Unit::Word,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 1.0,
        check: |value, at| {
            let place = TargetPlace::of(value.filter(|_| at.target())?)?;
            let shape = at.shape.filter(SubjectShape::is_solid)?;
            if place == TargetPlace::Any {
                return None;
            }
            let higher_deg = place.clearance_deg().unwrap_or(0.0);
            let wall = Wall::new(&shape, at.air, wider_deg(place), higher_deg);
            Some(Check::sky(move |sky, t| read(&wall, place, sky, t)))
        },
    }),
};

/// Whether the target stands to a subject as asked.
fn read(wall: &Wall, place: TargetPlace, sky: &Sky<'_>, t: f64) -> Reading {
    let target = sky.target(t);
    let within = wall.within(sky, t, target);
    let above = || wall.above(target);
    match place {
        TargetPlace::Clear(_) => above().or(within.negated()),
        TargetPlace::Over(_) => above().and(within),
        TargetPlace::Beside(_) => within.negated(),
        TargetPlace::Behind => within.and(above().negated()),
        TargetPlace::Any => Reading::constant(1.0),
    }
}

/// How much wider than the subject a place counts, degrees.
fn wider_deg(place: TargetPlace) -> f64 {
    match place {
        TargetPlace::Clear(degrees) | TargetPlace::Beside(degrees) => degrees,
        TargetPlace::Over(_) => OVER_SIDE_DEG,
        TargetPlace::Behind | TargetPlace::Any => 0.0,
    }
}

//! The target's offset from the camera direction.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit,
    sector::{Sector, WIDEST_OFFSET_DEG, around},
    value::OfRule,
};
use crate::scene::{Band, Facing};

/// Azimuth of the target relative to the camera direction, degrees, left
/// negative. By default within 60 to either side of a subject or a fixed
/// bearing, with the Moon as target within 10: common practice, no source.
pub static TARGET_OFFSET: Rule = Rule {
    key: "target_offset",
    typed: Some(Typed {
        alias: "core_offset",
        read: |text| Band::parse_within(text, -180.0, 180.0).map(RuleValue::Band),
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: true,
        help: "Left (-) or right (+) of the camera direction",
        more: "In degrees of azimuth. [default: -60..60 when facing \
               the subject or a bearing, with --target moon -10..10, else any]",
        seldom: false,
        example: "-60..60",
        remark: "left of the facing direction is negative",
    }),
    default: |asked| {
        let fixed = matches!(
            asked.facing,
            Facing::Subject | Facing::Bearing(_) | Facing::Magnetic(_)
        );
        let band = if asked.target.is_moon() {
            MOON_BESIDE_SUBJECT
        } else {
            BESIDE_SUBJECT
        };
        fixed.then_some(RuleValue::Band(band))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 10,
        swept: 6,
        letter: 'd',
        unmet: |target| format!("the {target} stands in another direction"),
        words: |target| format!("the {target}'s offset from the camera direction"),
        unit: Unit::Degrees,
        around: true,
        value: |instant, _| Some(instant.target_offset_deg()),
        reach: Some(|_, _| Band::new(-WIDEST_OFFSET_DEG, WIDEST_OFFSET_DEG)),
        step: 10.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            let (facing, sector) = (at.facing, [Sector::of_offsets(band)]);
            Some(Check::sky(move |sky, t| {
                around(facing, &sector, sky, t, sky.target(t))
            }))
        },
    }),
};

/// How far to either side of a subject the target may be by default, degrees.
pub(crate) const BESIDE_SUBJECT: Band = Band::new(-60.0, 60.0);

/// How far to either side the Moon as target may be by default, degrees.
const MOON_BESIDE_SUBJECT: Band = Band::new(-10.0, 10.0);

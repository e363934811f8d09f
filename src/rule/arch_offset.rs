//! The arch's offset from the camera direction.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, offset_deg,
    sector::{Sector, WIDEST_OFFSET_DEG, around_moving},
    value::OfRule,
};
use crate::{ephemeris::LocalVector, scene::Band};

/// Azimuth of the arch's highest point relative to the camera direction,
/// degrees, left negative.
pub static ARCH_OFFSET: Rule = Rule {
    key: "arch_offset",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, -180.0, 180.0).map(RuleValue::Band),
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: true,
        help: "That top left (-) or right (+) of the camera",
        more: "",
        seldom: true,
        example: "-30..30",
        remark: "",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 14,
        swept: 13,
        letter: 'a',
        unmet: |_| "the arch stands elsewhere".to_owned(),
        words: |_| "the arch's offset from the camera direction".to_owned(),
        unit: Unit::Degrees,
        around: true,
        value: |instant, _| {
            let top = instant.sky.arch?.top_azimuth_deg;
            Some(offset_deg(top, instant.facing_deg))
        },
        reach: Some(|_, _| Band::new(-WIDEST_OFFSET_DEG, WIDEST_OFFSET_DEG)),
        step: 10.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            let (facing, sector) = (at.facing, [Sector::of_offsets(band)]);
            Some(Check::sky(move |sky, t| {
                let pole = sky.galactic_pole(t);
                let top = LocalVector {
                    east: -(pole.up * pole.east),
                    north: -(pole.up * pole.north),
                    up: pole.up,
                };
                around_moving(facing, &sector, sky, t, top)
            }))
        },
    }),
};

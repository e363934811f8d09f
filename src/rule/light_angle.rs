//! The angle of the light.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit,
    sector::{Sector, around},
    value::OfRule,
};
use crate::scene::Band;

/// Angle between the camera direction and the Moon's azimuth, degrees, 0 to
/// 180. By default 40 to 150 for a Moon that lights the land: common practice,
/// no source.
pub static LIGHT_ANGLE: Rule = Rule {
    key: "light_angle",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, 0.0, 180.0).map(RuleValue::Band),
        topic: Topic::Light,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "Angle between camera direction and Moon",
        more: "In azimuth. The default is that of raking and blend; other kinds of night have \
               none. 0: the Moon is behind the subject; 90: exactly to the side; 180: behind \
               the camera.",
        seldom: false,
        example: "40..150",
        remark: "0 behind the subject, 180 behind the camera",
    }),
    default: |asked| {
        asked
            .light
            .is_sidelit()
            .then_some(RuleValue::Band(Band::new(40.0, 150.0)))
    },
    of_moonlight: true,
    limit: Some(Limit {
        asked: 11,
        swept: 7,
        letter: 'l',
        unmet: |_| "the light falls from the wrong side".to_owned(),
        words: |_| "the light angle".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.signed_light_angle_deg().abs()),
        reach: Some(|_, _| Band::new(0.0, 180.0)),
        step: 10.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.moon())?)?;
            let (facing, sectors) = (at.facing, sectors(band));
            Some(Check::sky(move |sky, t| {
                around(facing, &sectors, sky, t, sky.moon(t).0)
            }))
        },
    }),
};

/// The sectors on both sides of the camera direction.
fn sectors(angle: Band) -> Vec<Sector> {
    let (low, high) = (angle.low.max(0.0), angle.high.min(180.0));
    // One sector if the two would touch, so that there is no edge in the middle
    // of what is allowed.
    if low == 0.0 {
        vec![Sector::new(-high, 2.0 * high)]
    } else if high == 180.0 {
        vec![Sector::new(low, 360.0 - 2.0 * low)]
    } else {
        vec![Sector::new(low, high - low), Sector::new(-high, high - low)]
    }
}

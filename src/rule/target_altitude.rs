//! The target's altitude.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, value::OfRule};
use crate::{ephemeris::Body, scene::Band};

/// The lowest target of any loosening, degrees: the horizon. Common practice,
/// no source.
const LOWEST_DEG: f64 = 0.0;

/// Apparent altitude of the target, degrees. By default 10 or more; of the Moon
/// as target 0 to 10, where it stands beside what is on the land: common
/// practice, no source.
pub static TARGET_ALTITUDE: Rule = Rule {
    key: "target_altitude",
    typed: Some(Typed {
        alias: "core_altitude",
        read: |text| Band::parse_within(text, -90.0, 90.0).map(RuleValue::Band),
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: true,
        help: "Apparent altitude of the target",
        more: "In degrees, as every angle here, of the centre. With --target moon the default is \
               0..10.",
        seldom: false,
        example: "10..",
        remark: "",
    }),
    default: |asked| {
        Some(RuleValue::Band(match asked.target.is_moon() {
            true => Band::new(0.0, 10.0),
            false => Band::from(10.0),
        }))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 7,
        swept: 10,
        letter: 'c',
        unmet: |target| format!("the {target} is too low or too high"),
        words: |target| format!("the {target}'s altitude"),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.sky.target.apparent_altitude_deg),
        reach: Some(|_, _| Band::new(LOWEST_DEG, 90.0)),
        step: 5.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            let limits = Limits::of_altitudes(band, |h| at.air.true_deg(h));
            Some(Check::Altitude(Body::Target, limits))
        },
    }),
};

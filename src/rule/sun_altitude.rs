//! The Sun's altitude.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, value::OfRule};
use crate::scene::Band;

/// The highest Sun of any loosening, degrees: the end of civil dusk, with no
/// Milky Way to be seen. Common practice, no source.
const HIGHEST_DEG: f64 = -6.0;

/// Geometric altitude of the Sun's centre, degrees. By default -18 or lower,
/// the end of astronomical twilight.
pub static SUN_ALTITUDE: Rule = Rule {
    key: "sun_altitude",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, -90.0, 90.0).map(RuleValue::Band),
        topic: Topic::Dark,
        value_name: "..B",
        words: &[],
        may_be_negative: true,
        help: "Geometric altitude of the Sun",
        more: "Of its centre, without refraction: -18 is the end of astronomical twilight.",
        seldom: false,
        example: "..-18",
        remark: "",
    }),
    default: |_| Some(RuleValue::Band(Band::up_to(-18.0))),
    of_moonlight: false,
    limit: Some(Limit {
        asked: 2,
        swept: 3,
        letter: 's',
        unmet: |_| "the Sun is not low enough".to_owned(),
        words: |_| "the Sun's altitude".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.sky.sun.altitude_deg),
        reach: Some(|_, _| Band::new(-90.0, HIGHEST_DEG)),
        step: 2.0,
        check: |value, _| {
            let limits = Limits::of_altitudes(Band::of(value?)?, |h| h);
            Some(Check::sky(move |sky, t| limits.read(sky.sun_up(t))))
        },
    }),
};

//! The Moon's altitude.

use super::{
    Check, Limit, Part, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, value::OfRule,
};
use crate::{
    ephemeris::Body,
    scene::{Band, LightKind},
};

/// The Moon's altitude that counts as no Moon, degrees: its upper limb, at
/// most 0.28 degrees above the centre, is below the apparent horizon.
pub(crate) const NO_MOON: Band = Band::up_to(-0.3);
/// The lowest Moon that still gives light, degrees.
const LOWEST_DEG: f64 = 0.0;
/// The highest Moon to which the rule for no Moon is loosened, degrees. Common
/// practice, no source.
const HIGHEST_UNWANTED_DEG: f64 = 10.0;

/// Apparent altitude of the Moon's centre, degrees. By default 3 to 30 for a
/// Moon that lights the land (common practice, no source), its upper limb below
/// the horizon for a dark night.
pub static MOON_ALTITUDE: Rule = Rule {
    key: "moon_altitude",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, -90.0, 90.0).map(RuleValue::Band),
        topic: Topic::Light,
        value_name: "A..B",
        words: &[],
        may_be_negative: true,
        help: "Apparent altitude of the Moon",
        more: "Of its centre. The default is that of raking and blend; other kinds of night have \
               none.",
        seldom: false,
        example: "3..30",
        remark: "",
    }),
    default: |asked| match asked.light {
        LightKind::Raking | LightKind::Blend => Some(RuleValue::Band(Band::new(3.0, 30.0))),
        LightKind::Dark => Some(RuleValue::Band(NO_MOON)),
        LightKind::Any => None,
    },
    of_moonlight: true,
    limit: Some(Limit {
        asked: 8,
        swept: 9,
        letter: 'm',
        unmet: |_| "the Moon is too low or too high".to_owned(),
        words: |_| "the Moon's altitude".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.sky.moon.apparent_altitude_deg),
        reach: Some(|light, band| {
            let unwanted = light == LightKind::Dark || band.high <= 0.0;
            let highest = if unwanted { HIGHEST_UNWANTED_DEG } else { 90.0 };
            Band::new(LOWEST_DEG, highest)
        }),
        step: 5.0,
        check: |value, at| {
            let band = match at.part {
                Part::Dark => NO_MOON,
                Part::All | Part::Land => Band::of(value?)?,
            };
            let limits = Limits::of_altitudes(band, |h| at.air.true_deg(h));
            Some(Check::Altitude(Body::Moon, limits))
        },
    }),
};

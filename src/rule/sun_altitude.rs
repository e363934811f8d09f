//! The Sun's altitude.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, value::OfRule};
use crate::{
    ephemeris::{Body, Direction},
    scene::Band,
};

/// The highest Sun of any loosening, degrees: the end of civil dusk, with no
/// Milky Way to be seen. Common practice, no source.
const HIGHEST_DEG: f64 = -6.0;

/// Twilight in which one exposure can hold the Moon's disc and the land,
/// degrees: below it no Moon a degree up or more is both a stop brighter than
/// the sky and no more than 7 brighter than the land, see `docs/model.md`; above
/// it is day.
const WITH_MOON_IN_FRAME: Band = Band::new(-7.0, 0.0);

/// Geometric altitude of the Sun's centre, degrees. By default -18 or lower,
/// the end of astronomical twilight; with the Moon as target
/// `WITH_MOON_IN_FRAME`.
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
        more: "Of its centre, without refraction: -18 is the end of astronomical twilight. With \
               --target moon the default is -7..0: one exposure holds disc and land.",
        seldom: false,
        example: "..-18",
        remark: "",
    }),
    default: |asked| {
        Some(RuleValue::Band(match asked.target.is_moon() {
            true => WITH_MOON_IN_FRAME,
            false => Band::up_to(-18.0),
        }))
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 5,
        swept: 8,
        letter: 's',
        unmet: |target| match target {
            // Its pictures have an upper and a lower limit.
            Direction::MOON_NAME => "the Sun is too low or too high".to_owned(),
            _ => "the Sun is not low enough".to_owned(),
        },
        words: |_| "the Sun's altitude".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.sky.sun.altitude_deg),
        reach: Some(|_, _| Band::new(-90.0, HIGHEST_DEG)),
        step: 2.0,
        check: |value, _| {
            let limits = Limits::of_altitudes(Band::of(value?)?, |h| h);
            Some(Check::Altitude(Body::Sun, limits))
        },
    }),
};

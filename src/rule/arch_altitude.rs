//! The altitude of the Milky Way's arch.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit, limits::Limits, off, value::OfRule,
};
use crate::{
    ephemeris::{Bounded, Reading},
    scene::Band,
};

/// Geometric altitude of the highest point of the Milky Way's arch, degrees.
pub static ARCH_ALTITUDE: Rule = Rule {
    key: "arch_altitude",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, -90.0, 90.0).map(RuleValue::Band),
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "Altitude of the top of the Milky Way's arch",
        more: "",
        seldom: true,
        example: "20..45",
        remark: "",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 13,
        swept: 12,
        letter: 'a',
        unmet: |_| "the arch stands elsewhere".to_owned(),
        words: |_| "the arch's altitude".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| Some(instant.sky.arch?.top_altitude_deg),
        reach: Some(|_, _| Band::new(0.0, 90.0)),
        step: 5.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            let limits = Limits::of_altitudes(band, |h| h);
            Some(Check::sky(move |sky, t| {
                margin(limits, sky.galactic_pole(t).up)
            }))
        },
    }),
};

/// The altitude of the arch's highest point is the galactic pole's distance
/// from the zenith or nadir: its sine is the pole's horizontal part, so its
/// altitude is at least A where |pole's height| is at most cos A.
fn margin(band: Limits, pole_up: Bounded) -> Reading {
    let cosine = |sine: f64| Bounded::constant((1.0 - sine * sine).max(0.0).sqrt());
    // No arch is lower than the horizon.
    let low = band.low.filter(|sine| *sine > 0.0).map(|sine| {
        let limit = cosine(sine);
        (limit - pole_up).reading().and((limit + pole_up).reading())
    });
    let high = band.high.map(|sine| {
        if sine < 0.0 {
            return Reading::constant(-1.0);
        }
        let limit = cosine(sine);
        (pole_up - limit).reading().or((-pole_up - limit).reading())
    });
    match (low, high) {
        (Some(low), Some(high)) => low.and(high),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => Reading::constant(1.0),
    }
}

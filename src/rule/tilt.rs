//! The Milky Way's slope at the target.

use super::{Check, Limit, Rule, RuleValue, Topic, Typed, Unit, off, value::OfRule};
use crate::{
    ephemeris::{Reading, SKY_RATE, Sky},
    scene::Band,
};

/// Angle between the Milky Way's plane and the horizon at the target, degrees,
/// 0 to 90.
pub static TILT: Rule = Rule {
    key: "tilt",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_within(text, 0.0, 90.0).map(RuleValue::Band),
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "Milky Way to horizon: 0 lies flat, 90 upright",
        more: "The angle between its plane and the horizon at the target.",
        seldom: true,
        example: "60..90",
        remark: "0 lies along the horizon, 90 stands upright",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 15,
        swept: 14,
        letter: 't',
        unmet: |_| "the Milky Way's tilt does not suit".to_owned(),
        words: |_| "the Milky Way's tilt".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |instant, _| instant.sky.tilt_deg,
        reach: Some(|_, _| Band::new(0.0, 90.0)),
        step: 10.0,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            Some(Check::sky(move |sky, t| margin(band, sky, t)))
        },
    }),
};

/// Tilt at least A where |cos tilt| is at most cos A, with `cos tilt = (p_z -
/// u_z (p.u)) / (|z x u| |p x u|)` for target u and galactic pole p; multiplied
/// out, so that no divisor can be zero.
fn margin(band: Band, sky: &Sky<'_>, t: f64) -> Reading {
    let (target, pole) = (sky.target(t), sky.galactic_pole(t));
    // The sky turns as a whole, so p.u is constant: the sine of the target's
    // galactic latitude, aberration included.
    let latitude_sine = target.east.value * pole.east.value
        + target.north.value * pole.north.value
        + target.up.value * pole.up.value;
    let latitude_cosine = (1.0 - latitude_sine * latitude_sine).max(0.0).sqrt();
    let level = target
        .up
        .value
        .mul_add(-target.up.value, 1.0)
        .max(0.0)
        .sqrt();
    let along = (pole.up.value - target.up.value * latitude_sine).abs();
    // Heights and |z x u| change at most at the sky's rate.
    let fastest = SKY_RATE * 1.001 * (1.0 + latitude_sine.abs() + latitude_cosine);
    let reading = |margin: f64| Reading {
        margin,
        safe_seconds: margin.abs() / fastest,
    };
    let beyond =
        |degrees: f64| reading(degrees.to_radians().cos() * level * latitude_cosine - along);
    match (band.low > 0.0, band.high < 90.0) {
        (true, true) => beyond(band.low).and(beyond(band.high).negated()),
        (true, false) => beyond(band.low),
        (false, true) => beyond(band.high).negated(),
        (false, false) => Reading::constant(1.0),
    }
}

//! What a rule looks at, in the unit its option is typed in.

use super::{rule_name::RuleName, rules::Rules, window::Instant, window::offset_deg};
use crate::scene::{Band, Side, Zone};
use chrono::Timelike;

/// The unit in which a rule is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unit {
    /// Degrees.
    Degrees,
    /// Fraction of the Moon's disc, 0 to 1.
    Fraction,
    /// Minutes of time.
    Minutes,
    /// A word: it holds or does not.
    Word,
}

impl RuleName {
    /// The unit of its values.
    pub fn unit(self) -> Unit {
        match self {
            Self::MoonFraction => Unit::Fraction,
            Self::Clock | Self::MinMinutes => Unit::Minutes,
            Self::Weekdays | Self::LightSide => Unit::Word,
            _ => Unit::Degrees,
        }
    }
}

/// A rule at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// What the rule looks at, in its unit; for the clock, minutes after
    /// midnight.
    pub value: f64,
    /// How far inside the rule that is, in its unit: negative outside.
    pub margin: f64,
}

/// How far inside a band a value lies.
fn inside(band: Band, value: f64) -> f64 {
    (value - band.low).min(band.high - value)
}

/// How far inside a stretch of a circle a value lies, the stretch counted from
/// `from` on and `width` long.
fn inside_turn(from: f64, width: f64, value: f64, circle: f64) -> f64 {
    if width >= circle {
        return 0.5 * circle;
    }
    let past = (value - from).rem_euclid(circle);
    if past <= width {
        past.min(width - past)
    } else {
        -(past - width).min(circle - past)
    }
}

impl Measure {
    /// What `rule` looks at in an instant, and how far inside it is; `None`
    /// where the rule is off or has no value at an instant.
    pub fn of(rule: RuleName, rules: &Rules, instant: &Instant, zone: Zone) -> Option<Self> {
        let sky = &instant.sky;
        let light_deg = instant.signed_light_angle_deg();
        let band = |band: Option<Band>, value: f64| {
            band.map(|band| Self {
                value,
                margin: inside(band, value),
            })
        };
        let offset = |of: Option<Band>, value: f64| {
            of.map(|band| {
                let (low, high) = (band.low.max(-180.0), band.high.min(180.0));
                Self {
                    value,
                    margin: inside_turn(low, high - low, value, 360.0),
                }
            })
        };
        match rule {
            RuleName::SunAltitude => band(Some(rules.sun_altitude), sky.sun.altitude_deg),
            RuleName::MoonFraction => band(rules.moon_fraction, sky.phase.illuminated_fraction),
            RuleName::CoreAltitude => {
                band(Some(rules.core_altitude), sky.target.apparent_altitude_deg)
            }
            RuleName::MoonAltitude => band(rules.moon_altitude, sky.moon.apparent_altitude_deg),
            RuleName::LightAngle => band(rules.light_angle, light_deg.abs()),
            RuleName::ArchAltitude => band(rules.arch_altitude, sky.arch?.top_altitude_deg),
            RuleName::Tilt => band(rules.tilt, sky.tilt_deg?),
            RuleName::CoreAzimuth => rules.core_azimuth.map(|band| Self {
                value: sky.target.azimuth_deg,
                margin: inside_turn(band.from_deg, band.width_deg, sky.target.azimuth_deg, 360.0),
            }),
            RuleName::CoreOffset => offset(rules.core_offset, instant.core_offset_deg()),
            RuleName::ArchOffset => offset(
                rules.arch_offset,
                offset_deg(sky.arch?.top_azimuth_deg, instant.facing_deg),
            ),
            RuleName::LightSide => match rules.light_side {
                Side::Either => None,
                Side::Left => Some(Self {
                    value: light_deg,
                    margin: inside_turn(-180.0, 180.0, light_deg, 360.0),
                }),
                Side::Right => Some(Self {
                    value: light_deg,
                    margin: inside_turn(0.0, 180.0, light_deg, 360.0),
                }),
            },
            RuleName::Clock => rules.clock.map(|band| {
                let minutes =
                    |time: chrono::NaiveTime| f64::from(time.num_seconds_from_midnight()) / 60.0;
                let value = minutes(zone.local(instant.moment()).time());
                let from = minutes(band.from);
                let width = (minutes(band.to) - from).rem_euclid(1440.0);
                Self {
                    value,
                    margin: inside_turn(from, width, value, 1440.0),
                }
            }),
            // The terrain is no wish: nothing about it can be typed.
            RuleName::Weekdays
            | RuleName::MinMinutes
            | RuleName::CoreRidge
            | RuleName::MoonRidge => None,
        }
    }
}

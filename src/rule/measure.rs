//! What a rule measures, in the unit of its option.

use super::{Conditions, Rule, RuleValue, Rules};
use crate::scene::{Band, Side, Zone};
use chrono::Timelike;

/// A rule at one instant.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Measure {
    /// What the rule measures, in its unit; for the clock, minutes after
    /// midnight.
    pub value: f64,
    /// How far inside the rule this is, in its unit; negative outside.
    pub margin: f64,
}

/// How far inside a band a value lies.
fn inside(band: Band, value: f64) -> f64 {
    (value - band.low).min(band.high - value)
}

/// How far inside an arc of a circle a value lies; the arc begins at `from` and
/// is `width` long.
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
    /// What `rule` measures at an instant, and how far inside it is; `None` if
    /// the rule is off or has no value then.
    pub fn of(rule: &Rule, rules: &Rules, instant: &Conditions, zone: Zone) -> Option<Self> {
        let limit = rule.limit.as_ref()?;
        let given = rules.value_of(rule)?;
        let value = (limit.value)(instant, zone)?;
        let margin = match given {
            RuleValue::Band(band) if limit.around => {
                let (low, high) = (band.low.max(-180.0), band.high.min(180.0));
                inside_turn(low, high - low, value, 360.0)
            }
            RuleValue::Band(band) => inside(band, value),
            RuleValue::Azimuths(band) => inside_turn(band.from_deg, band.width_deg, value, 360.0),
            RuleValue::Side(Side::Left) => inside_turn(-180.0, 180.0, value, 360.0),
            RuleValue::Side(Side::Right) => inside_turn(0.0, 180.0, value, 360.0),
            RuleValue::Clock(band) => {
                let minutes =
                    |time: chrono::NaiveTime| f64::from(time.num_seconds_from_midnight()) / 60.0;
                let from = minutes(band.from);
                let width = (minutes(band.to) - from).rem_euclid(1440.0);
                inside_turn(from, width, value, 1440.0)
            }
            _ => return None,
        };
        Some(Self { value, margin })
    }
}

//! The values to which a rule can be loosened, one typable step after another.

use crate::search::Night;
use crate::{
    rule::{Rule, RuleValue, Rules, Unit},
    scene::{AzimuthBand, Band, ClockBand, Framing, MoonInFrame, Side, TargetPlace},
};
use chrono::{Datelike, NaiveTime, Timelike};

/// The shortest window that a loosening goes to, minutes.
const SHORTEST_WINDOW_MINUTES: f64 = 1.0;

/// A change of a rule in steps of equal weight: each rule has its own `step`; a
/// word counts as one.
pub(super) fn steps_off(rule: &Rule, off: Option<f64>) -> f64 {
    let step = rule.limit.as_ref().map_or(1.0, |limit| limit.step);
    off.map_or(1.0, |off| off / step)
}

/// Which part of a rule is loosened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum End {
    /// The lower or earlier end, or the only one.
    Low,
    /// The upper or later end.
    High,
    /// Both, by the same amount, if one alone does not help.
    Both,
    /// One more word or day; the number distinguishes different words.
    Word(u8),
}

/// The values to which one end of a rule is loosened, nearest first: rung 1 is
/// the least loosening that can be typed.
#[derive(Debug, Clone)]
pub(crate) struct LooseningSteps {
    pub rule: &'static Rule,
    pub end: End,
    pub rungs: i64,
    steps: Steps,
}

#[derive(Debug, Clone)]
enum Steps {
    /// First grid values outside, steps per unit, and how many to each side.
    Band {
        band: Band,
        first: (i64, i64),
        most: (i64, i64),
        per_unit: f64,
    },
    Azimuth {
        band: AzimuthBand,
        first: (i64, i64),
    },
    Clock {
        band: ClockBand,
        first: (i64, i64),
    },
    Minutes {
        minutes: f64,
        first: i64,
    },
    Word(String),
}

/// The first step of a grid below `value`.
fn below(value: f64, per_unit: f64) -> i64 {
    let mut step = (value * per_unit).ceil() as i64;
    // Rounding may move the product across a step.
    while step as f64 / per_unit >= value {
        step -= 1;
    }
    step
}

/// The first step of a grid above `value`.
fn above(value: f64, per_unit: f64) -> i64 {
    -below(-value, per_unit)
}

/// The rungs of a band at its lower end, its upper end and both, within the
/// limits in which loosening makes sense.
fn band_steps(band: Band, reach: Band, unit: Unit) -> ((i64, i64, i64), Steps) {
    let per_unit = match unit {
        Unit::Fraction => 1000.0,
        _ => 10.0,
    };
    let low = if band.low.is_finite() {
        let first = below(band.low, per_unit);
        (first, first - (reach.low * per_unit).ceil() as i64 + 1)
    } else {
        (0, 0)
    };
    let high = if band.high.is_finite() {
        let first = above(band.high, per_unit);
        (first, (reach.high * per_unit).floor() as i64 - first + 1)
    } else {
        (0, 0)
    };
    let both = if low.1 > 0 && high.1 > 0 {
        low.1.max(high.1)
    } else {
        0
    };
    let steps = Steps::Band {
        band,
        first: (low.0, high.0),
        most: (low.1.max(0), high.1.max(0)),
        per_unit,
    };
    ((low.1, high.1, both), steps)
}

impl LooseningSteps {
    /// How a rule can be loosened on a night: each end by itself, then both
    /// ends.
    pub fn of(rules: &Rules, rule: &'static Rule, night: &Night) -> Vec<Self> {
        let ladder = |end: End, rungs: i64, steps: Steps| Self {
            rule,
            end,
            rungs: rungs.max(0),
            steps,
        };
        let three = |rungs: (i64, i64, i64), steps: Steps| {
            vec![
                ladder(End::Low, rungs.0, steps.clone()),
                ladder(End::High, rungs.1, steps.clone()),
                ladder(End::Both, rungs.2, steps),
            ]
        };
        let word = |text: String| vec![ladder(End::Word(0), 1, Steps::Word(text))];
        let Some(limit) = &rule.limit else {
            return Vec::new();
        };
        match rules.value_of(rule) {
            Some(RuleValue::Band(band)) => {
                let reach = limit.reach.map(|reach| reach(rules.light, band));
                reach.map_or_else(Vec::new, |reach| {
                    let (rungs, steps) = band_steps(band, reach, limit.unit);
                    three(rungs, steps)
                })
            }
            Some(RuleValue::Azimuths(band)) => {
                let steps = Steps::Azimuth {
                    band,
                    first: (below(band.from_deg, 10.0), above(band.to_deg(), 10.0)),
                };
                let rungs = ((359.9 - band.width_deg) * 10.0).floor() as i64;
                three((rungs, rungs, rungs / 2), steps)
            }
            Some(RuleValue::Clock(band)) => {
                let seconds = |time: NaiveTime| f64::from(time.num_seconds_from_midnight());
                let (from, to) = (seconds(band.from), seconds(band.to));
                let width = (to - from).rem_euclid(86_400.0);
                let rungs = ((86_400.0 - width) / 60.0).ceil() as i64 - 1;
                let steps = Steps::Clock {
                    band,
                    first: (below(from, 1.0 / 60.0), above(to, 1.0 / 60.0)),
                };
                three((rungs, rungs, (rungs - 1) / 2), steps)
            }
            Some(RuleValue::Minutes(minutes)) => {
                let first = below(minutes, 1.0);
                let rungs = first - SHORTEST_WINDOW_MINUTES as i64 + 1;
                vec![ladder(End::Low, rungs, Steps::Minutes { minutes, first })]
            }
            Some(RuleValue::Side(side)) if side != Side::Either => word(Side::Either.to_string()),
            // Nothing is loosened to a picture that cannot be taken.
            Some(RuleValue::Framing(Framing::One)) => word(Framing::Panorama.to_string()),
            Some(RuleValue::MoonInFrame(MoonInFrame::No | MoonInFrame::Only)) => {
                word(MoonInFrame::Any.to_string())
            }
            Some(RuleValue::TargetPlace(
                TargetPlace::Clear(degrees)
                | TargetPlace::Over(degrees)
                | TargetPlace::Beside(degrees),
            )) if degrees > 0.0 => word(TargetPlace::Clear(0.0).to_string()),
            Some(RuleValue::Days(mut days)) => {
                let day = night.date.weekday();
                days.insert(day);
                let end = End::Word(day.num_days_from_monday() as u8);
                let word = Steps::Word(RuleValue::Days(days).to_string());
                vec![ladder(end, 1, word)]
            }
            _ => Vec::new(),
        }
    }

    /// Whether a rule can be loosened differently from night to night.
    pub fn are_of_night(rules: &Rules, rule: &Rule) -> bool {
        matches!(rules.value_of(rule), Some(RuleValue::Days(_)))
    }

    /// Steps to the lower and to the upper side at one rung.
    fn sides(&self, rung: i64) -> (i64, i64) {
        match self.end {
            End::Low => (rung, 0),
            End::High => (0, rung),
            End::Both => (rung, rung),
            End::Word(_) => (0, 0),
        }
    }

    /// The value at a rung, as it is typed.
    pub fn text(&self, rung: i64) -> String {
        let (down, up) = self.sides(rung);
        match &self.steps {
            Steps::Band { .. } => self.band(rung).unwrap_or(Band::up_to(0.0)).to_string(),
            Steps::Azimuth { band, first } => {
                let turned = |tenths: i64| tenths.rem_euclid(3600) as f64 / 10.0;
                let from = match down {
                    0 => band.from_deg,
                    _ => turned(first.0 - (down - 1)),
                };
                let to = match up {
                    0 => band.to_deg(),
                    _ => turned(first.1 + (up - 1)),
                };
                format!("{from}..{to}")
            }
            Steps::Clock { band, first } => {
                let time = |minutes: i64| {
                    let minutes = minutes.rem_euclid(1440) as u32;
                    NaiveTime::from_hms_opt(minutes / 60, minutes % 60, 0).unwrap_or_default()
                };
                let from = match down {
                    0 => band.from,
                    _ => time(first.0 - (down - 1)),
                };
                let to = match up {
                    0 => band.to,
                    _ => time(first.1 + (up - 1)),
                };
                ClockBand { from, to }.to_string()
            }
            Steps::Minutes { first, .. } => (first - (rung - 1)).to_string(),
            Steps::Word(word) => word.clone(),
        }
    }

    /// The band at a rung, for rules that are bands.
    fn band(&self, rung: i64) -> Option<Band> {
        let Steps::Band {
            band,
            first,
            most,
            per_unit,
        } = &self.steps
        else {
            return None;
        };
        let (down, up) = self.sides(rung);
        let (down, up) = (down.min(most.0), up.min(most.1));
        let low = match down {
            0 => band.low,
            _ => (first.0 - (down - 1)) as f64 / per_unit,
        };
        let high = match up {
            0 => band.high,
            _ => (first.1 + (up - 1)) as f64 / per_unit,
        };
        Some(Band::new(low, high))
    }

    /// How far the rule is loosened at a rung, in its unit; `None` for words.
    pub fn off(&self, rung: i64) -> Option<f64> {
        match &self.steps {
            Steps::Band { band, .. } => {
                let loose = self.band(rung)?;
                let moved = |a: f64, b: f64| if a == b { 0.0 } else { (a - b).abs() };
                Some(moved(loose.low, band.low).max(moved(loose.high, band.high)))
            }
            Steps::Azimuth { band, first } => {
                let (down, up) = self.sides(rung);
                let from = match down {
                    0 => 0.0,
                    _ => band.from_deg - (first.0 - (down - 1)) as f64 / 10.0,
                };
                let to = match up {
                    0 => 0.0,
                    _ => (first.1 + (up - 1)) as f64 / 10.0 - band.to_deg(),
                };
                Some(from.max(to))
            }
            Steps::Clock { .. } => Some(rung as f64),
            Steps::Minutes { minutes, first } => Some(minutes - (first - (rung - 1)) as f64),
            Steps::Word(_) => None,
        }
    }

    /// The value at a rung, read as it is typed: those of a ladder can always be
    /// typed.
    pub fn value(&self, rung: i64) -> Option<RuleValue> {
        let typed = self.rule.typed.as_ref()?;
        (typed.read)(&self.text(rung)).ok()
    }

    /// How far off a rung is in steps of equal weight; see
    /// [`Loosening::steps_off`](super::Loosening::steps_off).
    pub fn steps_off(&self, rung: i64) -> f64 {
        steps_off(self.rule, self.off(rung))
    }
}

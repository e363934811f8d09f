//! The values that a rule can give way to, one typable step after the other.

use super::{night::Night, rule_name::RuleName, rules::Rules};
use crate::scene::{AzimuthBand, Band, Brief, ClockBand, LightKind, Side};
use chrono::{Datelike, NaiveTime, Timelike};

/// How far down a target is still worth waiting for, degrees: the horizon.
/// Common practice, no source.
const LOWEST_TARGET_DEG: f64 = 0.0;
/// The highest Sun that a loosening goes to, degrees: the end of civil dusk,
/// when the Milky Way is long gone. Common practice, no source.
const HIGHEST_SUN_DEG: f64 = -6.0;
/// The lowest Moon that still gives light, degrees.
const LOWEST_MOON_DEG: f64 = 0.0;
/// The highest Moon that a wish for none gives way to, degrees. Common
/// practice, no source.
const HIGHEST_UNWANTED_MOON_DEG: f64 = 10.0;
/// What stands farther to the side than this is behind the camera, degrees.
const WIDEST_OFFSET_DEG: f64 = 90.0;
/// The shortest window that a loosening goes to, minutes.
const SHORTEST_WINDOW_MINUTES: f64 = 1.0;

/// Which part of a rule gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum End {
    /// The lower or earlier end, or the only one.
    Low,
    /// The upper or later end.
    High,
    /// Both, by the same amount, where one alone does not help.
    Both,
    /// A word or day more; the number keeps different words apart.
    Word(u8),
}

/// The values that one end of a rule gives way to, from the nearest on: rung 1
/// is the least loosening that can be typed.
#[derive(Debug, Clone)]
pub(crate) struct Ladder {
    pub rule: RuleName,
    pub end: End,
    pub rungs: i64,
    steps: Steps,
}

#[derive(Debug, Clone)]
enum Steps {
    /// First grid values outside, steps to a unit, and how many to each side.
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
    // The product may round across a step.
    while step as f64 / per_unit >= value {
        step -= 1;
    }
    step
}

/// The first step of a grid above `value`.
fn above(value: f64, per_unit: f64) -> i64 {
    -below(-value, per_unit)
}

/// A rule's band with the limits within which loosening it makes sense, and
/// the typable steps to a unit.
fn band_of(rules: &Rules, rule: RuleName) -> Option<(Band, Band, f64)> {
    let sideways = Band::new(-WIDEST_OFFSET_DEG, WIDEST_OFFSET_DEG);
    let up = Band::new(0.0, 90.0);
    let (band, limits) = match rule {
        RuleName::SunAltitude => (Some(rules.sun_altitude), Band::new(-90.0, HIGHEST_SUN_DEG)),
        RuleName::CoreAltitude => (
            Some(rules.core_altitude),
            Band::new(LOWEST_TARGET_DEG, 90.0),
        ),
        RuleName::MoonAltitude => {
            let none = |band: Band| rules.light == LightKind::Dark || band.high <= 0.0;
            let highest = match rules.moon_altitude {
                Some(band) if none(band) => HIGHEST_UNWANTED_MOON_DEG,
                _ => 90.0,
            };
            (rules.moon_altitude, Band::new(LOWEST_MOON_DEG, highest))
        }
        RuleName::MoonFraction => (rules.moon_fraction, Band::new(0.0, 1.0)),
        RuleName::CoreOffset => (rules.core_offset, sideways),
        RuleName::ArchOffset => (rules.arch_offset, sideways),
        RuleName::ArchAltitude => (rules.arch_altitude, up),
        RuleName::Tilt => (rules.tilt, up),
        RuleName::LightAngle => (rules.light_angle, Band::new(0.0, 180.0)),
        _ => return None,
    };
    let per_unit = if rule == RuleName::MoonFraction {
        1000.0
    } else {
        10.0
    };
    band.map(|band| (band, limits, per_unit))
}

impl Ladder {
    /// What a rule can give way to on a night: each end by itself, and both
    /// ends last.
    pub fn of(rules: &Rules, rule: RuleName, night: &Night) -> Vec<Self> {
        let ladder = |end: End, rungs: i64, steps: Steps| Self {
            rule,
            end,
            rungs: rungs.max(0),
            steps,
        };
        if let Some((band, limits, per_unit)) = band_of(rules, rule) {
            let low = if band.low.is_finite() {
                let first = below(band.low, per_unit);
                (first, first - (limits.low * per_unit).ceil() as i64 + 1)
            } else {
                (0, 0)
            };
            let high = if band.high.is_finite() {
                let first = above(band.high, per_unit);
                (first, (limits.high * per_unit).floor() as i64 - first + 1)
            } else {
                (0, 0)
            };
            let steps = Steps::Band {
                band,
                first: (low.0, high.0),
                most: (low.1.max(0), high.1.max(0)),
                per_unit,
            };
            let both = if low.1 > 0 && high.1 > 0 {
                low.1.max(high.1)
            } else {
                0
            };
            return vec![
                ladder(End::Low, low.1, steps.clone()),
                ladder(End::High, high.1, steps.clone()),
                ladder(End::Both, both, steps),
            ];
        }
        match rule {
            RuleName::CoreAzimuth => rules.core_azimuth.map_or_else(Vec::new, |band| {
                let steps = Steps::Azimuth {
                    band,
                    first: (below(band.from_deg, 10.0), above(band.to_deg(), 10.0)),
                };
                let rungs = ((359.9 - band.width_deg) * 10.0).floor() as i64;
                vec![
                    ladder(End::Low, rungs, steps.clone()),
                    ladder(End::High, rungs, steps.clone()),
                    ladder(End::Both, rungs / 2, steps),
                ]
            }),
            RuleName::Clock => rules.clock.map_or_else(Vec::new, |band| {
                let seconds = |time: NaiveTime| f64::from(time.num_seconds_from_midnight());
                let (from, to) = (seconds(band.from), seconds(band.to));
                let width = (to - from).rem_euclid(86_400.0);
                let rungs = ((86_400.0 - width) / 60.0).ceil() as i64 - 1;
                let steps = Steps::Clock {
                    band,
                    first: (below(from, 1.0 / 60.0), above(to, 1.0 / 60.0)),
                };
                vec![
                    ladder(End::Low, rungs, steps.clone()),
                    ladder(End::High, rungs, steps.clone()),
                    ladder(End::Both, (rungs - 1) / 2, steps),
                ]
            }),
            RuleName::MinMinutes => {
                let minutes = rules.min_minutes;
                let first = below(minutes, 1.0);
                let rungs = first - SHORTEST_WINDOW_MINUTES as i64 + 1;
                vec![ladder(End::Low, rungs, Steps::Minutes { minutes, first })]
            }
            RuleName::LightSide if rules.light_side != Side::Either => {
                let word = Steps::Word(Side::Either.to_string());
                vec![ladder(End::Word(0), 1, word)]
            }
            RuleName::Weekdays => rules.weekdays.map_or_else(Vec::new, |mut days| {
                let day = night.date.weekday();
                days.insert(day);
                let brief = Brief {
                    weekdays: Some(days),
                    ..Brief::default()
                };
                let text = brief.entries().into_iter().map(|(_, text)| text).next();
                let end = End::Word(day.num_days_from_monday() as u8);
                text.map_or_else(Vec::new, |text| vec![ladder(end, 1, Steps::Word(text))])
            }),
            _ => Vec::new(),
        }
    }

    /// Rungs to the lower and to the upper side at one rung.
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

    /// How far the rule has given way at a rung, in its unit; `None` for words.
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

    /// The rules with this rule given way to a rung. What a ladder says can
    /// always be typed; were it not so, the rules stay as they are.
    pub fn rules(&self, rules: &Rules, rung: i64) -> Rules {
        rules
            .with(self.rule.key(), &self.text(rung))
            .unwrap_or_else(|_| rules.clone())
    }
}

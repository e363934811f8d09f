//! What to change if little or nothing is found.

use super::{
    loosening::Loosening,
    rejections::{Miss, Rejections},
};
use crate::search::{Constraint, Interval, Intervals, Night, Planner, whole};
use crate::{
    ephemeris::Moment,
    rule::{CONTRAST, Rule, SUN_ALTITUDE, TARGET_ALTITUDE},
    scene::Band,
};
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// What prevents windows at a site, and what would help.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Advice {
    /// Nights looked at.
    pub nights: usize,
    /// Nights with a window.
    pub found: usize,
    /// Every rule in use; first the one that alone rejects most nights.
    pub rules: Vec<RuleAdvice>,
    /// The smallest loosening that admits one night.
    pub one: Option<Admission>,
    /// The smallest loosening that admits five nights.
    pub five: Option<Admission>,
    /// What is impossible, if no loosening of one rule helps.
    pub hindrances: Vec<Hindrance>,
}

/// What one rule costs.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct RuleAdvice {
    /// The rule.
    pub rule: &'static Rule,
    /// Its value now, as it is typed.
    pub value: String,
    /// Nights without a window that would have one without this rule.
    pub nights_alone: usize,
    /// Those of them that a sensible loosening admits.
    pub nights_in_reach: usize,
    /// The smallest loosening that admits one night.
    pub one: Option<Admission>,
    /// The smallest loosening that admits five nights.
    pub five: Option<Admission>,
}

/// A loosening and what it gives.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Admission {
    /// The loosening.
    pub loosening: Loosening,
    /// The nights it admits that had no window, in order of time; nights that
    /// need both ends of a band moved do not count.
    #[serde(serialize_with = "crate::serial::dates")]
    pub nights: Vec<NaiveDate>,
}

/// A rule that holds long enough for a window on no night of the range,
/// whatever the others say.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
#[serde(rename_all = "snake_case")]
pub enum Hindrance {
    /// The target never gets so high: its greatest altitude is 90 - |latitude -
    /// declination|.
    TargetTooLow {
        /// Declination of the target, of date, degrees.
        declination_deg: f64,
        /// Greatest apparent altitude, degrees.
        greatest_altitude_deg: f64,
        /// The least that is asked for, degrees.
        wanted_deg: f64,
        /// Northernmost and southernmost latitude at which it gets that high,
        /// degrees.
        latitudes_deg: (f64, f64),
    },
    /// The Sun never sinks so low in this range.
    SunTooHigh {
        /// Its lowest geometric altitude, degrees.
        lowest_altitude_deg: f64,
        /// The highest that is asked for, degrees.
        wanted_deg: f64,
        /// When it is lowest.
        #[serde(serialize_with = "crate::serial::date")]
        night: NaiveDate,
    },
    /// Another rule that never holds long enough.
    NeverHolds {
        /// The rule.
        rule: &'static Rule,
        /// Its value now, as it is typed.
        value: String,
        /// The shortest useful window, minutes.
        min_minutes: f64,
        /// The longest period in which it holds, minutes; 0 if it never does.
        longest_minutes: f64,
    },
}

impl Hindrance {
    /// The rule it is about.
    pub fn rule(&self) -> &'static Rule {
        match self {
            Self::TargetTooLow { .. } => &TARGET_ALTITUDE,
            Self::SunTooHigh { .. } => &SUN_ALTITUDE,
            Self::NeverHolds { rule, .. } => rule,
        }
    }
}

/// How many nights are enough to choose from.
const ENOUGH: usize = 5;

impl Planner {
    /// The advice from this planner's rejections.
    pub fn advice(&self, study: &Rejections) -> Advice {
        let rules = self.rules();
        let mut of_rules: Vec<RuleAdvice> = study
            .alone
            .iter()
            .map(|(rule, nights_alone)| {
                let misses = || study.misses.iter().filter(|m| m.loosening.rule == *rule);
                RuleAdvice {
                    rule,
                    value: rules.text_of(rule).unwrap_or_default(),
                    nights_alone: *nights_alone,
                    nights_in_reach: misses()
                        .map(|miss| miss.night.date)
                        .collect::<BTreeSet<_>>()
                        .len(),
                    one: admission(misses(), 1),
                    five: admission(misses(), ENOUGH),
                }
            })
            .collect();
        of_rules.sort_by(|a, b| {
            let key = |r: &RuleAdvice| (r.nights_in_reach, r.nights_alone);
            key(b).cmp(&key(a)).then(a.rule.cmp(b.rule))
        });
        let least = |of: fn(&RuleAdvice) -> &Option<Admission>| {
            of_rules
                .iter()
                .filter_map(|advice| of(advice).as_ref())
                .min_by(|a, b| a.loosening.steps_off().total_cmp(&b.loosening.steps_off()))
                .cloned()
        };
        let (one, five) = (least(|advice| &advice.one), least(|advice| &advice.five));
        let hindrances = if study.found == 0 && study.misses.is_empty() {
            self.hindrances()
        } else {
            Vec::new()
        };
        Advice {
            nights: study.nights,
            found: study.found,
            rules: of_rules,
            one,
            five,
            hindrances,
        }
    }

    fn hindrances(&self) -> Vec<Hindrance> {
        let constraints = self.constraints(self.rules());
        let (contrast, others): (Vec<&Constraint>, Vec<&Constraint>) = constraints
            .iter()
            .partition(|constraint| *constraint.rule == CONTRAST);
        let never = |constraint: &Constraint, within: &dyn Fn(&Night) -> Intervals| {
            let longest_minutes = self
                .nights()
                .flat_map(|night| {
                    let held = self.held(constraint, &night, &within(&night));
                    held.as_slice()
                        .iter()
                        .map(Interval::minutes)
                        .collect::<Vec<f64>>()
                })
                .fold(0.0, f64::max);
            let min_minutes = self.rules().min_minutes();
            (longest_minutes < min_minutes || longest_minutes == 0.0).then(|| {
                match constraint.rule {
                    rule if *rule == TARGET_ALTITUDE => target_too_low(self, self.nights().next()),
                    rule if *rule == SUN_ALTITUDE => self.sun_too_high(),
                    _ => None,
                }
                .unwrap_or_else(|| Hindrance::NeverHolds {
                    rule: constraint.rule,
                    value: self.rules().text_of(constraint.rule).unwrap_or_default(),
                    min_minutes,
                    longest_minutes,
                })
            })
        };
        let hindrances: Vec<Hindrance> = others
            .iter()
            .filter_map(|constraint| never(constraint, &whole))
            .collect();
        if !hindrances.is_empty() {
            return hindrances;
        }
        // A contrast is asked of a target that is up in a dark sky, and of no
        // other.
        let dark_with_target = |night: &Night| {
            others
                .iter()
                .filter(|other| [&SUN_ALTITUDE, &TARGET_ALTITUDE].contains(&other.rule))
                .fold(whole(night), |held, other| self.held(other, night, &held))
        };
        contrast
            .into_iter()
            .filter_map(|constraint| never(constraint, &dark_with_target))
            .collect()
    }

    fn sun_too_high(&self) -> Option<Hindrance> {
        let wanted_deg = self.rules().get::<Band>(&SUN_ALTITUDE)?.high;
        let lowest = |start: Moment| {
            // A night is centred on mean midnight, from which the Sun's own
            // differs by up to 17 minutes.
            (-5..=5)
                .map(|step| start.plus_seconds(43_200.0 + f64::from(step) * 240.0))
                .map(|moment| self.sky().at(moment).sun.altitude_deg)
                .fold(f64::INFINITY, f64::min)
        };
        self.nights()
            .map(|night| (lowest(night.start), night.date))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(lowest, _)| *lowest > wanted_deg)
            .map(|(lowest_altitude_deg, night)| Hindrance::SunTooHigh {
                lowest_altitude_deg,
                wanted_deg,
                night,
            })
    }
}

/// The target's greatest altitude, if it is below what is asked for; that of the
/// Moon changes from night to night.
fn target_too_low(planner: &Planner, night: Option<Night>) -> Option<Hindrance> {
    if planner.rules().target.is_moon() {
        return None;
    }
    let moment = night?.start;
    let air = planner.sky().refraction();
    let wanted_deg = planner.rules().get::<Band>(&TARGET_ALTITUDE)?.low;
    let declination_deg = planner.sky().at(moment).target_declination_deg;
    let greatest = 90.0 - (planner.site().latitude_deg - declination_deg).abs();
    let greatest_altitude_deg = air.apparent_deg(greatest);
    if !(wanted_deg.is_finite() && greatest_altitude_deg < wanted_deg) {
        return None;
    }
    let reach = 90.0 - air.true_deg(wanted_deg);
    Some(Hindrance::TargetTooLow {
        declination_deg,
        greatest_altitude_deg,
        wanted_deg,
        latitudes_deg: (
            (declination_deg + reach).min(90.0),
            (declination_deg - reach).max(-90.0),
        ),
    })
}

/// The smallest loosening of one rule, at one of its ends, that admits `count`
/// nights.
fn admission<'a>(misses: impl Iterator<Item = &'a Miss>, count: usize) -> Option<Admission> {
    let mut ends: BTreeMap<_, Vec<&Miss>> = BTreeMap::new();
    for miss in misses {
        ends.entry(miss.loosening.end).or_default().push(miss);
    }
    ends.into_values()
        .filter_map(|mut misses| {
            misses.sort_by_key(|miss| (miss.loosening.rung, miss.night.date));
            let last = *misses.get(count - 1)?;
            let mut nights: Vec<NaiveDate> = misses
                .iter()
                .filter(|miss| miss.loosening.rung <= last.loosening.rung)
                .map(|miss| miss.night.date)
                .collect();
            nights.sort_unstable();
            Some(Admission {
                loosening: last.loosening.clone(),
                nights,
            })
        })
        .min_by(|a, b| a.loosening.steps_off().total_cmp(&b.loosening.steps_off()))
}

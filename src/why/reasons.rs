//! Why one night has the windows it has: rule by rule.

use crate::search::{Constraint, Interval, Intervals, Night, PlanError, Planner, whole};
use crate::{
    ephemeris::Moment,
    rule::{Conditions, MIN_MINUTES, Measure, Rule, Rules},
    scene::LightKind,
};
use chrono::NaiveDate;

/// One night, rule by rule.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct NightReasons {
    /// The night.
    pub night: Night,
    /// Every rule in use but the length of the window.
    pub rules: Vec<RuleThrough>,
    /// Every period in which all of them hold, with what ends it.
    pub windows: Vec<WindowEnds>,
    /// The time in which the Sun's upper limb is below the horizon (34' of
    /// refraction), when a photographer would be out.
    pub sun_down: Intervals,
    /// The shortest useful window, minutes.
    pub min_minutes: f64,
}

/// One rule through a night.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct RuleThrough {
    /// The rule.
    pub rule: &'static Rule,
    /// What it says, as it is typed.
    pub value: String,
    /// The periods of the night in which it holds by itself.
    pub held: Intervals,
    /// The time at which it is kept best, or missed least, while every other
    /// rule holds (in the whole night if they never do), and its measure then;
    /// `None` for rules without a measure, and in
    /// [`PeriodReasons`](super::PeriodReasons).
    pub best: Option<(Moment, Measure)>,
    /// Whether every other rule holds at that time.
    pub best_with_others: bool,
    /// Whether the night would have a long enough period without this rule and
    /// has none with it.
    pub rejects_alone: bool,
}

/// A period in which every rule holds, and what ends it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct WindowEnds {
    /// The period.
    pub interval: Interval,
    /// The rule that begins to hold last; `None` at the night's beginning.
    pub begun_by: Option<&'static Rule>,
    /// What that rule measures then, in its unit; `None` without a measure.
    pub begun_at: Option<f64>,
    /// The rule that ceases to hold first; `None` at the night's end.
    pub ended_by: Option<&'static Rule>,
    /// What that rule measures then, in its unit; `None` without a measure.
    pub ended_at: Option<f64>,
    /// Whether it is long enough to be a window.
    pub long_enough: bool,
}

/// Time between samples of a rule's measure, seconds.
const SAMPLE_SECONDS: f64 = 120.0;
/// An edge this close to a window's end counts as that end, seconds: edges are
/// good to a second.
const SAME_EDGE_SECONDS: f64 = 3.0;

impl RuleThrough {
    /// The rule's measure at an instant of the same planner.
    pub fn measure(&self, planner: &Planner, instant: &Conditions) -> Option<Measure> {
        Measure::of(self.rule, planner.rules(), instant, planner.site().zone)
    }
}

impl NightReasons {
    fn of(planner: &Planner, night: &Night) -> Option<Self> {
        let rules = planner.rules();
        if rules.light == LightKind::Blend {
            return None;
        }
        let constraints = planner.constraints(rules);
        let instant = |moment| planner.instant_at(moment);
        Some(Self::under(
            planner,
            rules,
            &constraints,
            night,
            &instant,
            true,
        ))
    }

    /// One night under these rules, made ready as `constraints`; `instant` gives
    /// sky and light for the camera direction that they refer to. `with_best`
    /// asks for the best of each rule, which takes most of the time.
    pub(super) fn under(
        planner: &Planner,
        rules: &Rules,
        constraints: &[Constraint],
        night: &Night,
        instant: &dyn Fn(Moment) -> Conditions,
        with_best: bool,
    ) -> Self {
        let whole = whole(night);
        let zone = planner.site().zone;
        let held: Vec<Intervals> = constraints
            .iter()
            .map(|constraint| planner.held(constraint, night, &whole))
            .collect();
        let all_but = |left_out: usize| {
            held.iter()
                .enumerate()
                .filter(|(index, _)| *index != left_out)
                .fold(whole.clone(), |left, (_, held)| left.and(held))
        };
        let all = all_but(usize::MAX);
        let minutes = rules.min_minutes();
        let long = |held: &Intervals| held.as_slice().iter().any(|i| i.minutes() >= minutes);
        let through = constraints
            .iter()
            .zip(&held)
            .enumerate()
            .map(|(index, (constraint, own))| {
                let others = all_but(index);
                let best_with_others = !others.is_empty();
                let looked_at = if best_with_others { &others } else { &whole };
                let none = Intervals::NONE;
                let looked_at = if with_best { looked_at } else { &none };
                RuleThrough {
                    rule: constraint.rule,
                    value: rules.text_of(constraint.rule).unwrap_or_default(),
                    held: own.clone(),
                    best: best(constraint.rule, looked_at, &|moment| {
                        let instant = instant(moment);
                        Measure::of(constraint.rule, rules, &instant, zone)
                    }),
                    best_with_others,
                    rejects_alone: long(&others) && !long(&all),
                }
            })
            .collect();
        // Of several rules that change at once the nearest is given.
        let edge = |time: f64, side: fn(&Interval) -> f64| {
            constraints
                .iter()
                .zip(&held)
                .flat_map(|(constraint, held)| {
                    held.as_slice()
                        .iter()
                        .map(|interval| ((side(interval) - time).abs(), constraint.rule))
                })
                .filter(|(apart, _)| *apart <= SAME_EDGE_SECONDS)
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .map(|(_, rule)| rule)
        };
        let at_night = |time: f64, end: Moment| (time - end.seconds()).abs() < 1e-3;
        let measured = |rule: Option<&Rule>, time: f64| {
            let instant = instant(Moment::from_seconds(time));
            Some(Measure::of(rule?, rules, &instant, zone)?.value)
        };
        let windows = all
            .as_slice()
            .iter()
            .map(|interval| {
                let begun_by = (!at_night(interval.start, night.start))
                    .then(|| edge(interval.start, |i| i.start))
                    .flatten();
                let ended_by = (!at_night(interval.end, night.end))
                    .then(|| edge(interval.end, |i| i.end))
                    .flatten();
                WindowEnds {
                    interval: *interval,
                    begun_by,
                    begun_at: measured(begun_by, interval.start),
                    ended_by,
                    ended_at: measured(ended_by, interval.end),
                    long_enough: interval.minutes() >= minutes,
                }
            })
            .collect();
        Self {
            night: *night,
            rules: through,
            windows,
            sun_down: planner.sun_down(night),
            min_minutes: minutes,
        }
    }

    /// The first rule that, with those before it in the order in which rules are
    /// checked, leaves no time; the shortest useful length comes last. `None`
    /// where a period is long enough.
    pub fn first_unmet(&self) -> Option<&'static Rule> {
        let mut rules: Vec<&RuleThrough> = self.rules.iter().collect();
        rules.sort_by_key(|through| through.rule);
        let mut left = whole(&self.night);
        for through in rules {
            left = left.and(&through.held);
            if left.is_empty() {
                return Some(through.rule);
            }
        }
        let long = self.windows.iter().any(|window| window.long_enough);
        (!long).then_some(&MIN_MINUTES)
    }

    /// One of the rules, if it is in use.
    pub fn rule(&self, rule: &Rule) -> Option<&RuleThrough> {
        self.rules.iter().find(|through| through.rule == rule)
    }
}

impl Planner {
    /// One night under the planner's rules; `None` for a blend, whose two
    /// periods keep different rules.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn reasons(&self, date: NaiveDate) -> Result<Option<NightReasons>, PlanError> {
        Ok(NightReasons::of(self, &self.night(date)?))
    }
}

/// The time at which a rule is kept best within some periods, to a few minutes.
fn best(
    rule: &Rule,
    within: &Intervals,
    measure: &dyn Fn(Moment) -> Option<Measure>,
) -> Option<(Moment, Measure)> {
    rule.limit.as_ref()?;
    within
        .as_slice()
        .iter()
        .flat_map(|interval| {
            let count = ((interval.end - interval.start) / SAMPLE_SECONDS)
                .ceil()
                .max(1.0);
            let step = (interval.end - interval.start) / count;
            (0..=count as usize).map(move |index| interval.start + step * index as f64)
        })
        .filter_map(|time| {
            let moment = Moment::from_seconds(time);
            Some((moment, measure(moment)?))
        })
        .max_by(|a, b| a.1.margin.total_cmp(&b.1.margin))
}

//! The smallest loosening of one rule that admits one night.

use super::loosening_steps::{End, LooseningSteps};
use crate::rule::{Rule, Rules};
use crate::search::{Intervals, Night, Planner};

/// A rule loosened just far enough.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Loosening {
    /// The rule.
    pub rule: &'static Rule,
    /// Its new value, as it is typed.
    pub value: String,
    /// How far the end moved, in the rule's unit; each end, if both had to.
    /// `None` for rules that are words.
    pub off: Option<f64>,
    #[serde(skip)]
    pub(crate) end: End,
    #[serde(skip)]
    pub(crate) rung: i64,
}

impl Loosening {
    pub(crate) fn at(ladder: &LooseningSteps, rung: i64) -> Self {
        Self {
            rule: ladder.rule,
            value: ladder.text(rung),
            off: ladder.off(rung),
            end: ladder.end,
            rung,
        }
    }

    /// The option to type: `--moon-altitude 2.1..30`.
    pub fn option(&self) -> String {
        format!("--{} {}", self.rule.option_name(), self.value)
    }

    /// These rules, loosened so.
    pub fn apply(&self, rules: &Rules) -> Rules {
        rules
            .typed(self.rule.key, &self.value)
            .unwrap_or_else(|_| rules.clone())
    }

    /// How far off in steps of equal weight, so that degrees, minutes and
    /// fractions can be compared: each rule has its own `step`; a word counts
    /// as one.
    pub fn steps_off(&self) -> f64 {
        let step = self.rule.limit.as_ref().map_or(1.0, |limit| limit.step);
        self.off.map_or(1.0, |off| off / step)
    }
}

/// The smallest loosening of `rule` at each of its ends that admits `night`, on
/// the grid of values that can be typed, checked by the scan's own sweep: one
/// step less does not admit it. Both ends together if neither helps alone.
/// `others` is the time in which every other rule holds.
pub(crate) fn smallest(
    planner: &Planner,
    night: &Night,
    rule: &'static Rule,
    others: &Intervals,
) -> Vec<Loosening> {
    let ladders = LooseningSteps::of(planner.rules(), rule, night);
    let climb = |ladder: &LooseningSteps| climb(planner, night, ladder, others);
    let (both, single): (Vec<&LooseningSteps>, Vec<&LooseningSteps>) =
        ladders.iter().partition(|ladder| ladder.end == End::Both);
    let found: Vec<Loosening> = single.into_iter().filter_map(climb).collect();
    if found.is_empty() {
        return both.into_iter().filter_map(climb).collect();
    }
    found
}

fn climb(
    planner: &Planner,
    night: &Night,
    ladder: &LooseningSteps,
    others: &Intervals,
) -> Option<Loosening> {
    let rules = planner.rules();
    let top = ladder.rungs;
    let quick = |rung: i64| {
        let loose = ladder.rules(rules, rung);
        let held = match planner.constraint(&loose, ladder.rule) {
            Some(constraint) => planner.held(&constraint, night, others),
            None => others.clone(),
        };
        !held.at_least_minutes(loose.min_minutes()).is_empty()
    };
    if top < 1 || !quick(top) {
        return None;
    }
    let near = first(1, top, quick);
    // What is printed must work when typed, so the scan's own sweep decides; it
    // differs from the above by at most a second.
    let really = |rung: i64| {
        let loose = ladder.rules(rules, rung);
        !planner.periods_under(&loose, ladder.rule, night).is_empty()
    };
    let mut rung = near;
    if really(near) {
        while rung > 1 && really(rung - 1) {
            rung -= 1;
        }
    } else if near < top && really(top) {
        rung = first(near + 1, top, really);
    } else {
        return None;
    }
    Some(Loosening::at(ladder, rung))
}

/// The least rung from `low` to `top` that admits; `top` must, and each rung
/// must admit what the ones before it do.
pub(crate) fn first(low: i64, top: i64, admits: impl Fn(i64) -> bool) -> i64 {
    let (mut low, mut high) = (low, top);
    while low < high {
        let middle = low + (high - low) / 2;
        if admits(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    high
}

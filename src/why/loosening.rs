//! The smallest loosening of one rule that admits one night.

use super::{
    late_rules::LateRules,
    loosening_steps::{End, LooseningSteps, steps_off},
};
use crate::rule::{Rule, Rules};
use crate::search::{Interval, Intervals};

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
        steps_off(self.rule, self.off)
    }
}

/// The smallest loosening of `rule` at each of its ends that admits the night, on
/// the grid of values that can be typed, checked by the scan's own sweep: one
/// step less does not admit it. Both ends together if neither helps alone.
/// `others` is the time in which every other rule holds, but for the last.
pub(super) fn smallest(
    late: &LateRules<'_>,
    rule: &'static Rule,
    others: &Intervals,
) -> Vec<Loosening> {
    let ladders = LooseningSteps::of(late.rules.planner.rules(), rule, &late.night);
    let climb = |ladder: &LooseningSteps| climb(late, ladder, others);
    let (both, single): (Vec<&LooseningSteps>, Vec<&LooseningSteps>) =
        ladders.iter().partition(|ladder| ladder.end == End::Both);
    let found: Vec<Loosening> = single.into_iter().filter_map(climb).collect();
    if found.is_empty() {
        return both.into_iter().filter_map(climb).collect();
    }
    found
}

/// Two searches of a night may differ by so much, minutes: edges are good to a
/// tenth of a second, and a gap of a second may be missed.
const NEARLY_MINUTES: f64 = 0.05;

/// The periods that another search may find long enough, alone or together with
/// those next to them.
fn nearly_long(held: &Intervals, minutes: f64) -> Intervals {
    let gap = 60.0 * NEARLY_MINUTES;
    let chains = held.as_slice().chunk_by(|a, b| b.start - a.end <= gap);
    let length = |chain: &[Interval]| match (chain.first(), chain.last()) {
        (Some(first), Some(last)) => Interval::new(first.start, last.end).minutes(),
        _ => 0.0,
    };
    chains
        .filter(|chain| length(chain) >= minutes - NEARLY_MINUTES)
        .flatten()
        .copied()
        .collect()
}

fn climb(late: &LateRules<'_>, ladder: &LooseningSteps, others: &Intervals) -> Option<Loosening> {
    let LateRules { rules, night, .. } = late;
    let top = ladder.rungs;
    let is_last = late.last() == Some(ladder.rule);
    // What holds at a rung holds at the rungs above it: below, only the periods
    // that were long enough have to be looked at.
    let mut left = others.clone();
    // The highest rung that no search admits.
    let mut clear = 0;
    let mut quick = |rung: i64| {
        let loose = rules.at(ladder, rung);
        let minutes = loose.min_minutes;
        let held = nearly_long(&rules.held(&loose, night, &left), minutes);
        let admits = match is_last {
            true => held.as_slice().iter().any(|i| i.minutes() >= minutes),
            false => late.last_holds_for(minutes, &held),
        };
        if admits {
            left = held;
        } else {
            let kept = || match is_last {
                true => held.clone(),
                false => late.last_held(&held),
            };
            if held.is_empty() || nearly_long(&kept(), minutes).is_empty() {
                clear = clear.max(rung);
            }
        }
        admits
    };
    if top < 1 || !quick(top) {
        return None;
    }
    let near = first(1, top, &mut quick);
    // What is printed must work when typed, so the scan's own sweep decides where
    // it may differ from the above.
    let really = |rung: i64| rules.finds(night, &[&rules.at(ladder, rung)]);
    let surely_minutes = rules.at(ladder, near).min_minutes + NEARLY_MINUTES;
    let surely = match is_last {
        true => left
            .as_slice()
            .iter()
            .any(|i| i.minutes() >= surely_minutes),
        false => late.last_holds_for(surely_minutes, &left),
    };
    let mut rung = near;
    if surely || really(near) {
        while rung - 1 > clear && really(rung - 1) {
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
pub(crate) fn first(low: i64, top: i64, mut admits: impl FnMut(i64) -> bool) -> i64 {
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

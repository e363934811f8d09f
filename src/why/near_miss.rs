//! Nights that fail only one rule, or two.

use super::{
    loosened::LoosenedRules,
    loosening::Loosening,
    pairs::{Reach, pair},
    rejections::{Miss, Rejections},
};
use crate::scene::LightKind;
use crate::search::{Night, Planner, Window};
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// A night that one rule alone rejects, or two together, with what it needs.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct NearMiss {
    /// The loosening that the night needs, or the two that it needs together.
    pub loosenings: Vec<Loosening>,
    /// The window the night then has, with its score under the loosened rules.
    pub window: Window,
}

/// Different units are compared in these steps (see [`Loosening::steps_off`]);
/// smaller differences count as equally far off.
const ALIKE_STEPS: f64 = 0.1;

/// How far off in total.
fn steps_off(loosenings: &[Loosening]) -> f64 {
    let steps = loosenings.iter().map(Loosening::steps_off).sum::<f64>();
    (steps / ALIKE_STEPS).floor()
}

/// More steps than this are farther off than that.
fn most_steps(off: f64) -> f64 {
    (off + 1.0) * ALIKE_STEPS
}

/// Sorts near misses: closest first, then by the score they would have, then by
/// date.
pub(super) fn sort_near_misses(misses: &mut [NearMiss]) {
    misses.sort_by(|a, b| {
        steps_off(&a.loosenings)
            .total_cmp(&steps_off(&b.loosenings))
            .then(b.window.score.total_cmp(&a.window.score))
            .then(a.window.night.cmp(&b.window.night))
    });
}

/// The nearest `count` of some nights: closest first, then by the score they
/// would have, then by date.
pub(super) fn nearest(
    planner: &Planner,
    mut candidates: Vec<(Night, Vec<Loosening>)>,
    count: usize,
) -> Vec<NearMiss> {
    let off = |candidate: &(Night, Vec<Loosening>)| steps_off(&candidate.1);
    candidates.sort_by(|a, b| off(a).total_cmp(&off(b)).then(a.0.date.cmp(&b.0.date)));
    // Scores are computed only where they can matter.
    let last = count.checked_sub(1).and_then(|last| candidates.get(last));
    if let Some(farthest) = last.map(off) {
        candidates.retain(|candidate| off(candidate) <= farthest);
    }
    let mut misses: Vec<NearMiss> = candidates
        .into_iter()
        .filter_map(|(night, loosenings)| {
            let loose = loosenings
                .iter()
                .fold(planner.rules().clone(), |rules, l| l.apply(&rules));
            let mut window = planner
                .with_rules(&loose)
                .night_windows(&night)
                .into_iter()
                .max_by(|a, b| a.score.total_cmp(&b.score))?;
            // It has no rank among the windows that keep every rule.
            window.rank = 0;
            Some(NearMiss { loosenings, window })
        })
        .collect();
    sort_near_misses(&mut misses);
    misses.truncate(count);
    misses
}

impl Planner {
    /// The nearest `count` of the nights that fail only one rule, each once,
    /// with the rule that is closest.
    pub fn near_misses(&self, study: &Rejections, count: usize) -> Vec<NearMiss> {
        let mut best: BTreeMap<NaiveDate, &Miss> = BTreeMap::new();
        for miss in &study.misses {
            let kept = best.entry(miss.night.date).or_insert(miss);
            if miss.loosening.steps_off() < kept.loosening.steps_off() {
                *kept = miss;
            }
        }
        let candidates = best
            .into_values()
            .map(|miss| (miss.night, vec![miss.loosening.clone()]))
            .collect();
        nearest(self, candidates, count)
    }

    /// The nearest `count` of the nights that fail `rules` rules or fewer: one,
    /// or two.
    pub fn near_misses_by(&self, study: &Rejections, count: usize, rules: u8) -> Vec<NearMiss> {
        let mut misses = self.near_misses(study, count);
        if rules > 1 {
            // Where there are enough already, only nearer ones matter.
            let last = count.checked_sub(1).and_then(|last| misses.get(last));
            let farthest = last.map(|miss| steps_off(&miss.loosenings));
            misses.extend(self.doubles(study, count, farthest));
            sort_near_misses(&mut misses);
            misses.truncate(count);
        }
        misses
    }

    /// The nearest `count` of the nights that fail two rules together and that
    /// no loosening of one admits. Neither of the two loosenings can be a step
    /// smaller while the other stays. None for a blend.
    pub fn double_misses(&self, study: &Rejections, count: usize) -> Vec<NearMiss> {
        self.doubles(study, count, None)
    }

    /// The same, but for nights that are farther off than this.
    fn doubles(&self, study: &Rejections, count: usize, farthest: Option<f64>) -> Vec<NearMiss> {
        if self.rules().light == LightKind::Blend || count == 0 {
            return Vec::new();
        }
        let singles: BTreeSet<NaiveDate> = study.misses.iter().map(|m| m.night.date).collect();
        let rules = LoosenedRules::of(self);
        let mut nearest_off: Vec<f64> = Vec::new();
        let mut farthest = farthest.unwrap_or(f64::INFINITY);
        let mut reach = Reach::of(&rules, most_steps(farthest));
        let mut candidates = Vec::new();
        for night in self.nights() {
            if singles.contains(&night.date) {
                continue;
            }
            let Some(pair) = pair(&rules, &reach, &night) else {
                continue;
            };
            let off = steps_off(&pair);
            candidates.push((night, pair));
            // Whatever is farther than the last of the nearest so far is not
            // shown.
            nearest_off.insert(nearest_off.partition_point(|near| *near <= off), off);
            nearest_off.truncate(count);
            if let Some(last) = nearest_off.get(count - 1).filter(|last| **last < farthest) {
                farthest = *last;
                reach = Reach::of(&rules, most_steps(farthest));
            }
        }
        nearest(self, candidates, count)
    }
}

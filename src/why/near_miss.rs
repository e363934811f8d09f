//! Nights that fail only one rule, or two.

use super::{
    loosening::{Loosening, first},
    loosening_steps::{End, LooseningSteps},
    rejections::{Miss, Rejections},
};
use crate::scene::LightKind;
use crate::search::{Constraint, Intervals, Night, Planner, Window, whole};
use std::collections::BTreeMap;

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

/// Sorts near misses: closest first, then by the score they would have, then by
/// date.
fn sort_near_misses(misses: &mut [NearMiss]) {
    misses.sort_by(|a, b| {
        steps_off(&a.loosenings)
            .total_cmp(&steps_off(&b.loosenings))
            .then(b.window.score.total_cmp(&a.window.score))
            .then(a.window.night.cmp(&b.window.night))
    });
}

/// The nearest `count` of some nights: closest first, then by the score they
/// would have, then by date.
fn nearest(
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
        let mut best: BTreeMap<chrono::NaiveDate, &Miss> = BTreeMap::new();
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
            misses.extend(self.double_misses(study, count));
            sort_near_misses(&mut misses);
            misses.truncate(count);
        }
        misses
    }

    /// The nearest `count` of the nights that fail two rules together and that
    /// no loosening of one admits. Neither of the two loosenings can be a step
    /// smaller while the other stays. None for a blend.
    pub fn double_misses(&self, study: &Rejections, count: usize) -> Vec<NearMiss> {
        if self.rules().light == LightKind::Blend {
            return Vec::new();
        }
        let constraints = self.constraints(self.rules());
        let mut candidates = Vec::new();
        for night in self.nights() {
            let single = |miss: &Miss| miss.night.date == night.date;
            if study.misses.iter().any(single) {
                continue;
            }
            if let Some(pair) = pair(self, &constraints, &night) {
                candidates.push((night, pair));
            }
        }
        nearest(self, candidates, count)
    }
}

/// The two loosenings, closest in total, that admit a night without a window.
fn pair(planner: &Planner, constraints: &[Constraint], night: &Night) -> Option<Vec<Loosening>> {
    let whole = whole(night);
    let minutes = planner.rules().min_minutes();
    let held: Vec<Intervals> = constraints
        .iter()
        .map(|constraint| planner.held(constraint, night, &whole))
        .collect();
    let all_but = |a: usize, b: usize| {
        held.iter()
            .enumerate()
            .filter(|(index, _)| *index != a && *index != b)
            .fold(whole.clone(), |left, (_, held)| left.and(held))
    };
    let long = |held: &Intervals| held.as_slice().iter().any(|i| i.minutes() >= minutes);
    if long(&all_but(usize::MAX, usize::MAX)) {
        return None;
    }
    let mut best: Option<Vec<Loosening>> = None;
    for a in 0..constraints.len() {
        for b in a + 1..constraints.len() {
            let others = all_but(a, b);
            if !long(&others) {
                continue;
            }
            let ladders = |index: usize| {
                LooseningSteps::of(planner.rules(), constraints[index].rule, night)
                    .into_iter()
                    .filter(|ladder| ladder.end != End::Both && ladder.rungs > 0)
            };
            for one in ladders(a) {
                for two in ladders(b) {
                    let found = balanced(planner, night, &one, &two, &others);
                    let less = |pair: &Vec<Loosening>| {
                        let sum = |p: &[Loosening]| p.iter().map(Loosening::steps_off).sum::<f64>();
                        best.as_deref().is_none_or(|best| sum(pair) < sum(best))
                    };
                    if let Some(pair) = found.filter(less) {
                        best = Some(pair);
                    }
                }
            }
        }
    }
    best
}

/// Both rules loosened in step until the night is admitted, then each tightened
/// as far as the other allows.
fn balanced(
    planner: &Planner,
    night: &Night,
    one: &LooseningSteps,
    two: &LooseningSteps,
    others: &Intervals,
) -> Option<Vec<Loosening>> {
    let rules = planner.rules();
    let loose = |a: i64, b: i64| two.rules(&one.rules(rules, a), b);
    let admits = |a: i64, b: i64| {
        let loose = loose(a, b);
        let mut left = others.clone();
        for rule in [one.rule, two.rule] {
            if let Some(constraint) = planner.constraint(&loose, rule) {
                left = planner.held(&constraint, night, &left);
            }
        }
        !left.at_least_minutes(loose.min_minutes()).is_empty()
    };
    if !admits(one.rungs, two.rungs) {
        return None;
    }
    // In step: as many comparable steps of each.
    const PARTS: i64 = 1000;
    let reach = |ladder: &LooseningSteps| Loosening::at(ladder, ladder.rungs).steps_off();
    let farthest = reach(one).max(reach(two));
    let rung = |ladder: &LooseningSteps, part: i64| {
        let share = farthest * part as f64 / PARTS as f64 / reach(ladder);
        ((ladder.rungs as f64 * share).ceil() as i64).clamp(1, ladder.rungs)
    };
    let part = first(1, PARTS, |part| admits(rung(one, part), rung(two, part)));
    let (mut a, mut b) = (rung(one, part), rung(two, part));
    a = first(1, a, |rung| admits(rung, b));
    b = first(1, b, |rung| admits(a, rung));
    let really = !planner.with_rules(&loose(a, b)).periods(night).is_empty();
    really.then(|| vec![Loosening::at(one, a), Loosening::at(two, b)])
}

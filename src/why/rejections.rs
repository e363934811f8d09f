//! Which rules reject the nights of a season.

use super::{
    late_rules::LateRules,
    loosened::LoosenedRules,
    loosening::{Loosening, smallest},
};
use crate::search::{Intervals, Night, Planner, whole};
use crate::{
    rule::{MIN_MINUTES, Rule},
    scene::LightKind,
};
use std::collections::BTreeMap;

/// What prevents windows at one site: which rule alone rejects which night, and
/// the smallest loosening that admits it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Rejections {
    /// Nights looked at.
    pub nights: usize,
    /// Nights with a window.
    pub found: usize,
    /// For each rule in use, the nights without a window that would have one
    /// without this rule.
    pub alone: BTreeMap<&'static Rule, usize>,
    /// Every night without a window that a sensible loosening of one rule
    /// admits, once for each end of each such rule.
    pub misses: Vec<Miss>,
}

/// A night that one rule alone rejects.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Miss {
    /// The night.
    pub night: Night,
    /// The smallest loosening, at one end of the rule, that admits it.
    pub loosening: Loosening,
}

/// The time of a night in which all of some rules hold, and all but one.
struct Left {
    all: Intervals,
    without: Vec<(&'static Rule, Intervals)>,
}

/// Each rule is checked only where at most one of those before it failed, and
/// none is checked once two have failed throughout.
fn left(rules: &LoosenedRules<'_>, night: &Night) -> Left {
    let mut all = whole(night);
    let mut without: Vec<(&'static Rule, Intervals)> = Vec::with_capacity(rules.constraints.len());
    for constraint in rules.early() {
        let periods = without.iter().map(|(_, held)| held).chain([&all]);
        let open: Intervals = periods
            .flat_map(|held| held.as_slice().iter().copied())
            .collect();
        if open.is_empty() {
            without.clear();
            break;
        }
        let held = rules.planner.held(constraint, night, &open);
        for (_, rest) in &mut without {
            *rest = rest.and(&held);
        }
        without.push((constraint.rule, all.clone()));
        all = all.and(&held);
    }
    without.sort_by_key(|(rule, _)| rule.limit.as_ref().map(|limit| limit.swept));
    Left { all, without }
}

impl Planner {
    /// What prevents windows in the nights; `None` for a blend, whose two
    /// periods keep different rules.
    pub fn study(&self) -> Option<Rejections> {
        if self.rules().light == LightKind::Blend {
            return None;
        }
        let rules = LoosenedRules::of(self);
        let limits = rules.constraints.iter().map(|constraint| constraint.rule);
        let mut study = Rejections {
            nights: 0,
            found: 0,
            alone: limits.chain([&MIN_MINUTES]).map(|rule| (rule, 0)).collect(),
            misses: Vec::new(),
        };
        for night in self.nights() {
            study.nights += 1;
            study.look_at(&rules, &night);
        }
        Some(study)
    }
}

impl Rejections {
    fn look_at(&mut self, rules: &LoosenedRules<'_>, night: &Night) {
        let minutes = rules.planner.rules().min_minutes();
        let Left { all, without } = left(rules, night);
        if all.is_empty() && without.is_empty() {
            return;
        }
        let late = LateRules::of(rules, night);
        if late.hold_without(&[], minutes, &all) {
            self.found += 1;
            return;
        }
        let without_late = rules.late().map(|late| (late.rule, all.clone()));
        let without = without.into_iter().chain(without_late);
        let alone = without
            .filter(|(rule, others)| late.hold_without(&[rule], minutes, others))
            .map(|(rule, others)| {
                let left_out = [Some(rule), late.last()];
                let left_out: Vec<&Rule> = left_out.into_iter().flatten().collect();
                (rule, late.held_without(&left_out, &others))
            });
        let in_all = late.held_without(&[], &all);
        let of_length = (!in_all.is_empty()).then_some((&MIN_MINUTES, in_all));
        for (rule, others) in alone.chain(of_length) {
            *self.alone.entry(rule).or_default() += 1;
            let loosenings = smallest(&late, rule, &others);
            self.misses
                .extend(loosenings.into_iter().map(|loosening| Miss {
                    night: *night,
                    loosening,
                }));
        }
    }
}

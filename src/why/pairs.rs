//! The two loosenings that a night needs together.

use super::{
    loosened::LoosenedRules,
    loosening::{Loosening, first},
    loosening_steps::{End, LooseningSteps},
};
use crate::rule::Rule;
use crate::search::{Intervals, Night, whole};
use std::borrow::Cow;

/// Both rules of a pair are loosened in step, in so many parts of the longer way.
const PARTS: i64 = 1000;

/// How far off pairs are looked for.
#[derive(Debug)]
pub(super) struct Reach {
    /// A pair that is more steps off in total does not matter.
    most: f64,
    /// No rule of a pair that matters is loosened by more steps on the way.
    each: f64,
    /// The ways to loosen each rule; `None` where they depend on the night.
    any_night: Vec<Option<Vec<Way>>>,
}

/// How a rule can be loosened at one end, as far as it matters.
#[derive(Debug, Clone)]
struct Way {
    ladder: LooseningSteps,
    /// The last rung that matters.
    last: i64,
}

/// Two rules with the time that is left where both are loosened as far as it
/// matters.
struct Open {
    rules: [usize; 2],
    left: Intervals,
}

impl Reach {
    /// Pairs no more steps off than this.
    pub fn of(rules: &LoosenedRules<'_>, most: f64) -> Self {
        let first = rules.planner.nights().next();
        let limits = || rules.constraints.iter().map(|limit| limit.rule);
        let ladders = first.iter().flat_map(|night| {
            let of = |rule| single(rules, rule, night);
            limits().flat_map(of)
        });
        // In step a rule goes past what it needs by two parts and a rung.
        let past = ladders.map(|ladder| 2.0 * way(&ladder) / PARTS as f64 + rung_steps(&ladder));
        let mut reach = Self {
            most,
            each: most + past.fold(0.0, f64::max),
            any_night: Vec::new(),
        };
        let steady = |rule| !LooseningSteps::are_of_night(rules.planner.rules(), rule);
        let ways = limits().map(|rule| {
            let night = first.as_ref().filter(|_| steady(rule))?;
            Some(reach.ways(rules, rule, night))
        });
        reach.any_night = ways.collect();
        reach
    }

    /// The ways to loosen a rule on a night.
    fn ways(&self, rules: &LoosenedRules<'_>, rule: &'static Rule, night: &Night) -> Vec<Way> {
        let matters = |ladder: &LooseningSteps| ladder.steps_off(1) <= self.most;
        let ladders = single(rules, rule, night).filter(matters);
        let way = |ladder: LooseningSteps| {
            let past = |rung: i64| ladder.steps_off(rung) > self.each;
            let last = first(1, ladder.rungs, past);
            Way { ladder, last }
        };
        ladders.map(way).collect()
    }
}

/// The ladders of single ends of a rule.
fn single(
    rules: &LoosenedRules<'_>,
    rule: &'static Rule,
    night: &Night,
) -> impl Iterator<Item = LooseningSteps> + use<> {
    let ladders = LooseningSteps::of(rules.planner.rules(), rule, night).into_iter();
    ladders.filter(|ladder| ladder.end != End::Both && ladder.rungs > 0)
}

/// How far a ladder goes, in steps.
fn way(ladder: &LooseningSteps) -> f64 {
    ladder.steps_off(ladder.rungs)
}

/// How far apart two rungs of a ladder are at most, in steps.
fn rung_steps(ladder: &LooseningSteps) -> f64 {
    match ladder.rungs {
        ..=1 => 0.0,
        rungs => way(ladder) / (rungs - 1) as f64,
    }
}

/// The two loosenings, closest in total, that admit a night without a window;
/// those that are farther off than the reach need not be found.
pub(super) fn pair(
    rules: &LoosenedRules<'_>,
    reach: &Reach,
    night: &Night,
) -> Option<Vec<Loosening>> {
    let limits = rules.constraints.iter().zip(&reach.any_night);
    let ways = limits.map(|(limit, any_night)| match any_night {
        Some(ways) => Cow::Borrowed(ways.as_slice()),
        None => Cow::Owned(reach.ways(rules, limit.rule, night)),
    });
    let ways: Vec<Cow<'_, [Way]>> = ways.collect();
    let open = open_pairs(rules, night, &ways)?;
    let mut best: Option<Vec<Loosening>> = None;
    let mut most = reach.most;
    for Open { rules: pair, left } in open {
        let [Some(of_one), Some(of_two)] = pair.map(|index| ways.get(index)) else {
            continue;
        };
        for one in of_one.as_ref() {
            for two in of_two.as_ref() {
                let found = balanced(rules, night, [&one.ladder, &two.ladder], &left, most);
                let sum = |pair: &[Loosening]| pair.iter().map(Loosening::steps_off).sum::<f64>();
                let less = |pair: &Vec<Loosening>| {
                    best.as_deref().is_none_or(|best| sum(pair) < sum(best))
                };
                if let Some(pair) = found.filter(less) {
                    most = most.min(sum(&pair));
                    best = Some(pair);
                }
            }
        }
    }
    best
}

/// The pairs of rules that leave a long enough period where both are loosened as
/// far as it matters; `None` for a night with a window. Each rule is searched
/// once, and only where some pair still has time; the rest is arithmetic.
fn open_pairs(
    rules: &LoosenedRules<'_>,
    night: &Night,
    ways: &[Cow<'_, [Way]>],
) -> Option<Vec<Open>> {
    let minutes = rules.planner.rules().min_minutes();
    // What is too short stays too short.
    let both = |a: &Intervals, b: &Intervals| a.and(b).at_least_minutes(minutes);
    let mut all = whole(night);
    let mut one: Vec<(usize, Intervals)> = Vec::new();
    let mut two: Vec<Open> = Vec::new();
    for (index, limit) in rules.asked() {
        let periods = two.iter().map(|open| &open.left);
        let periods = periods
            .chain(one.iter().map(|(_, left)| left))
            .chain([&all]);
        let periods = periods.flat_map(|left| left.as_slice().iter().copied());
        let open: Intervals = periods.collect();
        if open.is_empty() {
            return None;
        }
        let own = ways.get(index).map_or([].as_slice(), Cow::as_ref);
        let loose = own.iter().fold(Intervals::NONE, |loose, way| {
            let rest = loose.outside(&open);
            let more = rules.held(&rules.at(&way.ladder, way.last), night, &rest);
            let parts = loose.as_slice().iter().chain(more.as_slice());
            parts.copied().collect()
        });
        let held = match own.is_empty() {
            true => rules.planner.held(limit, night, &open),
            false => rules.planner.held(limit, night, &loose),
        };
        for open in &mut two {
            open.left = both(&open.left, &held);
        }
        two.extend(one.iter().map(|(other, left)| Open {
            rules: [index.min(*other), index.max(*other)],
            left: both(left, &loose),
        }));
        two.retain(|open| !open.left.is_empty());
        for (_, left) in &mut one {
            *left = both(left, &held);
        }
        one.push((index, both(&all, &loose)));
        one.retain(|(_, left)| !left.is_empty());
        all = both(&all, &held);
    }
    two.sort_by_key(|open| open.rules);
    all.is_empty().then_some(two)
}

/// Both rules loosened in step until the night is admitted, then each tightened
/// as far as the other allows. `others` is the time in which every other rule
/// holds; `None` if it takes more than so many steps in total.
fn balanced(
    rules: &LoosenedRules<'_>,
    night: &Night,
    [one, two]: [&LooseningSteps; 2],
    others: &Intervals,
    most: f64,
) -> Option<Vec<Loosening>> {
    // What holds on some rungs holds on higher ones: on lower ones only the
    // periods that were long enough have to be looked at.
    let mut left = others.clone();
    let mut admits = |a: i64, b: i64| {
        let mut held = left.clone();
        for loose in [rules.at(one, a), rules.at(two, b)] {
            held = rules.held(&loose, night, &held);
            held = held.at_least_minutes(loose.min_minutes);
        }
        let admits = !held.is_empty();
        if admits {
            left = held;
        }
        admits
    };
    // In step: as many comparable steps of each.
    let farthest = way(one).max(way(two));
    let rung = |ladder: &LooseningSteps, part: i64| {
        let share = farthest * part as f64 / PARTS as f64 / way(ladder);
        ((ladder.rungs as f64 * share).ceil() as i64).clamp(1, ladder.rungs)
    };
    // One of the two goes at least as far as the part before the one that
    // admits, but for a rung.
    let parts = (most + rung_steps(one).max(rung_steps(two))) / farthest * PARTS as f64;
    let parts = (parts.ceil() as i64).saturating_add(1).clamp(1, PARTS);
    if !admits(rung(one, parts), rung(two, parts)) {
        return None;
    }
    let part = first(1, parts, |part| admits(rung(one, part), rung(two, part)));
    let (mut a, mut b) = (rung(one, part), rung(two, part));
    a = first(1, a, |rung| admits(rung, b));
    b = first(1, b, |rung| admits(a, rung));
    let really = rules.finds(night, &[&rules.at(one, a), &rules.at(two, b)]);
    really.then(|| vec![Loosening::at(one, a), Loosening::at(two, b)])
}

//! The rules of a night that are dear to ask: each is read at single instants
//! first, and searched once, only where something depends on it.

use super::loosened::LoosenedRules;
use crate::rule::Rule;
use crate::search::{Constraint, Interval, Intervals, Night};
use std::cell::RefCell;

/// Edges are good to a tenth of a second: an instant this far within a period
/// surely belongs to it, seconds.
const SURE_SECONDS: f64 = 0.5;
/// Shorter periods are searched without asking single instants, seconds.
const SHORTEST_SECONDS: f64 = 60.0;

/// The rules that compare bodies with each other, the camera, the land or the
/// light, and the last of the search, through one night.
#[derive(Debug)]
pub(super) struct LateRules<'a> {
    pub rules: &'a LoosenedRules<'a>,
    pub night: Night,
    /// In the order of the search.
    late: Vec<LateRule<'a>>,
}

/// One of them.
#[derive(Debug)]
struct LateRule<'a> {
    constraint: &'a Constraint,
    known: RefCell<Known>,
}

/// When a rule is known to hold, and when to fail.
#[derive(Debug, Default)]
struct Known {
    held: Intervals,
    failed: Intervals,
}

impl<'a> LateRules<'a> {
    pub fn of(rules: &'a LoosenedRules<'a>, night: &Night) -> Self {
        let late = rules.late().map(|constraint| LateRule {
            constraint,
            known: RefCell::default(),
        });
        Self {
            rules,
            night: *night,
            late: late.collect(),
        }
    }

    /// The last rule of the search.
    pub fn last(&self) -> Option<&'static Rule> {
        self.late.last().map(|late| late.constraint.rule)
    }

    /// The parts of these periods in which all hold but those left out.
    pub fn held_without(&self, left_out: &[&Rule], within: &Intervals) -> Intervals {
        self.held_by(self.but(left_out), within)
    }

    /// The parts of these periods in which the last one holds.
    pub fn last_held(&self, within: &Intervals) -> Intervals {
        self.held_by(self.late.last().into_iter(), within)
    }

    /// Whether all but those left out hold for so many minutes somewhere in
    /// these periods.
    pub fn hold_without(&self, left_out: &[&Rule], minutes: f64, within: &Intervals) -> bool {
        self.hold_for(self.but(left_out), minutes, within)
    }

    /// Whether the last one holds for so many minutes somewhere in these
    /// periods.
    pub fn last_holds_for(&self, minutes: f64, within: &Intervals) -> bool {
        self.hold_for(self.late.last().into_iter(), minutes, within)
    }

    fn but(&self, left_out: &[&Rule]) -> impl Iterator<Item = &LateRule<'a>> + Clone {
        let is_asked = |late: &&LateRule<'_>| !left_out.contains(&late.constraint.rule);
        self.late.iter().filter(is_asked)
    }

    fn held_by<'r>(
        &self,
        rules: impl Iterator<Item = &'r LateRule<'a>>,
        within: &Intervals,
    ) -> Intervals
    where
        'a: 'r,
    {
        let mut left = within.clone();
        for rule in rules {
            if left.is_empty() {
                break;
            }
            left = self.held(rule, &left);
        }
        left
    }

    fn hold_for<'r>(
        &self,
        rules: impl Iterator<Item = &'r LateRule<'a>> + Clone,
        minutes: f64,
        within: &Intervals,
    ) -> bool
    where
        'a: 'r,
    {
        let mut periods = within.as_slice().iter();
        periods.any(|period| {
            period.minutes() >= minutes && self.hold_in(rules.clone(), minutes, period)
        })
    }

    fn hold_in<'r>(
        &self,
        rules: impl Iterator<Item = &'r LateRule<'a>> + Clone,
        minutes: f64,
        period: &Interval,
    ) -> bool
    where
        'a: 'r,
    {
        let seconds = 60.0 * minutes;
        let is_held = |start: f64, end: f64| {
            let part = Intervals::one(start.max(period.start), end.min(period.end));
            let held = self.held_by(rules.clone(), &part);
            held.as_slice().iter().any(|held| held.minutes() >= minutes)
        };
        if seconds < SHORTEST_SECONDS {
            return is_held(period.start, period.end);
        }
        // No stretch that is long enough begins earlier, but for how exactly its
        // edges are known.
        let mut from = period.start;
        let mut last_failed = None;
        while from + seconds <= period.end + SURE_SECONDS {
            // All that begin from there on hold then, until one begins later.
            let time = from + seconds - 3.0 * SURE_SECONDS;
            // A rule that failed is likely to fail again.
            let mut failing = last_failed.into_iter().chain(rules.clone());
            let failed = failing.find_map(|rule| Some((rule, self.fails_until(rule, time)?)));
            if let Some((rule, until)) = failed {
                last_failed = Some(rule);
                from = until.max(time);
                continue;
            }
            let (before, after) = (from - SURE_SECONDS, time + seconds + SURE_SECONDS);
            // In the middle of a period it is more likely to have begun of late.
            let likely = match from == period.start {
                true => is_held(before, from + seconds + SURE_SECONDS),
                false => is_held(time - SURE_SECONDS, after),
            };
            if likely || is_held(before, after) {
                return true;
            }
            from = time;
        }
        false
    }

    /// The parts of these periods in which a rule holds.
    fn held(&self, rule: &LateRule<'_>, within: &Intervals) -> Intervals {
        let mut known = rule.known.borrow_mut();
        let rest = known.held.outside(&known.failed.outside(within));
        if !rest.is_empty() {
            let planner = self.rules.planner;
            let held = planner.held(rule.constraint, &self.night, &rest);
            known.failed = known.failed.or(&held.outside(&rest));
            known.held = known.held.or(&held);
        }
        known.held.and(within)
    }

    /// Until when a rule surely fails from an instant on, seconds; `None` where
    /// it holds or an instant does not tell.
    fn fails_until(&self, rule: &LateRule<'_>, time: f64) -> Option<f64> {
        let known = rule.known.borrow();
        if let Some(failed) = known.failed.around(time) {
            return Some(failed.end);
        }
        if known.held.around(time).is_some() {
            return None;
        }
        let holds = self.rules.planner.holds(rule.constraint, time)?;
        (!holds).then_some(time)
    }
}

#[cfg(test)]
mod tests {
    use super::{super::plain_pairs::anywhere, *};
    use crate::search::whole;

    #[test]
    fn instants_tell_what_a_search_of_the_night_tells() {
        let (mut held, mut failed) = (0, 0);
        for seed in 1..=24 {
            let planner = anywhere(seed);
            let rules = LoosenedRules::of(&planner);
            let each = rules.late().map(|late| vec![late.rule]);
            let all_but: Vec<Vec<&Rule>> = each.chain([Vec::new()]).collect();
            for night in planner.nights() {
                let late = LateRules::of(&rules, &night);
                for left_out in &all_but {
                    // Nothing is known to this one.
                    let plain = LateRules::of(&rules, &night);
                    let plainly = plain.held_without(left_out, &whole(&night));
                    for minutes in [120.0, 40.0, 7.0, 0.5] {
                        let long = |i: &Interval| i.minutes() >= minutes;
                        let holds = plainly.as_slice().iter().any(long);
                        assert_eq!(
                            late.hold_without(left_out, minutes, &whole(&night)),
                            holds,
                            "seed {seed}, {}, without {left_out:?}, {minutes} minutes",
                            night.date
                        );
                        held += i32::from(holds);
                        failed += i32::from(!holds);
                    }
                    let ours = late.held_without(left_out, &whole(&night));
                    let pairs = ours.as_slice().iter().zip(plainly.as_slice());
                    let mut apart =
                        pairs.map(|(a, b)| (a.start - b.start).abs().max((a.end - b.end).abs()));
                    assert_eq!(ours.as_slice().len(), plainly.as_slice().len());
                    assert!(apart.all(|seconds| seconds < 0.01));
                }
            }
        }
        assert!(held > 1000 && failed > 1000, "{held} {failed}");
    }
}

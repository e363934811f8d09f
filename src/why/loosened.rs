//! The rules of a planner with one of them loosened, each value made ready once
//! for all nights.

use super::loosening_steps::{End, LooseningSteps};
use crate::rule::{Circumstances, MIN_MINUTES, Rule, RuleValue};
use crate::search::{Constraint, Intervals, Night, Planner, whole};
use std::{cell::RefCell, collections::HashMap, rc::Rc};

/// One rule at one value.
#[derive(Debug)]
pub(super) struct Loosened {
    pub rule: &'static Rule,
    /// `None` where it limits no time at this value.
    constraint: Option<Constraint>,
    /// The shortest useful window, minutes.
    pub min_minutes: f64,
}

/// The rules of a planner, and each of them at every value tried so far.
#[derive(Debug)]
pub(super) struct LoosenedRules<'a> {
    pub planner: &'a Planner,
    at: Circumstances,
    /// The rules as they are, in the order of the search.
    pub constraints: Vec<Constraint>,
    made: RefCell<HashMap<(&'static Rule, End, i64), Rc<Loosened>>>,
}

impl<'a> LoosenedRules<'a> {
    pub fn of(planner: &'a Planner) -> Self {
        let rules = planner.rules();
        let at = planner.circumstances(rules);
        Self {
            planner,
            constraints: Constraint::all(rules, &at),
            at,
            made: RefCell::default(),
        }
    }

    /// A rule at one rung of its ladder.
    pub fn at(&self, ladder: &LooseningSteps, rung: i64) -> Rc<Loosened> {
        let key = (ladder.rule, ladder.end, rung);
        let make = || Rc::new(self.made_at(ladder, rung));
        Rc::clone(self.made.borrow_mut().entry(key).or_insert_with(make))
    }

    fn made_at(&self, ladder: &LooseningSteps, rung: i64) -> Loosened {
        let value = ladder.value(rung);
        let minutes = match value {
            Some(RuleValue::Minutes(minutes)) if *ladder.rule == MIN_MINUTES => Some(minutes),
            _ => None,
        };
        Loosened {
            rule: ladder.rule,
            constraint: Constraint::with_value(ladder.rule, value, &self.at),
            min_minutes: minutes.unwrap_or_else(|| self.planner.rules().min_minutes()),
        }
    }

    /// The parts of `within` in which a rule holds.
    pub fn held(&self, loose: &Loosened, night: &Night, within: &Intervals) -> Intervals {
        match &loose.constraint {
            Some(constraint) => self.planner.held(constraint, night, within),
            None => within.clone(),
        }
    }
}

/// The scan's own search of one night, kept rule by rule: where one is changed,
/// only it and those after it are asked again.
#[derive(Debug)]
pub(super) struct NightSearch<'a> {
    rules: &'a LoosenedRules<'a>,
    pub night: Night,
    /// What is left before each rule that was asked so far.
    before: RefCell<Vec<Intervals>>,
}

impl<'a> NightSearch<'a> {
    pub fn new(rules: &'a LoosenedRules<'a>, night: &Night) -> Self {
        Self {
            rules,
            night: *night,
            before: RefCell::new(vec![whole(night)]),
        }
    }

    /// Whether the scan finds the night with these rules changed.
    pub fn finds(&self, changed: &[&Loosened]) -> bool {
        let constraints = &self.rules.constraints;
        let own = self.rules.planner.rules().min_minutes();
        let minutes = changed.iter().map(|loose| loose.min_minutes);
        let minutes = minutes.fold(own, f64::min);
        let instead = |constraint: &Constraint| {
            let mut changed = changed.iter();
            changed.find(|loose| loose.rule == constraint.rule)
        };
        let first = constraints.iter().position(|one| instead(one).is_some());
        let first = first.unwrap_or(constraints.len());
        let mut left = self.before(first).at_least_minutes(minutes);
        for constraint in constraints.iter().skip(first) {
            if left.is_empty() {
                return false;
            }
            // What is too short stays too short.
            left = match instead(constraint) {
                Some(loose) => self.rules.held(loose, &self.night, &left),
                None => self.rules.planner.held(constraint, &self.night, &left),
            }
            .at_least_minutes(minutes);
        }
        !left.is_empty()
    }

    /// What the rules before this one leave.
    fn before(&self, index: usize) -> Intervals {
        let mut before = self.before.borrow_mut();
        let asked = before.len() - 1;
        for constraint in self.rules.constraints.iter().take(index).skip(asked) {
            let held = before.last().map(|left| {
                let planner = self.rules.planner;
                planner.held(constraint, &self.night, left)
            });
            before.extend(held);
        }
        before.get(index).cloned().unwrap_or_default()
    }
}

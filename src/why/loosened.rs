//! The rules of a planner with one of them loosened, each value made ready once
//! for all nights.

use super::loosening_steps::{End, LooseningSteps};
use crate::ephemeris::Body;
use crate::rule::{Circumstances, MIN_MINUTES, Rule, RuleValue};
use crate::search::{Constraint, Intervals, Night, Planner};
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

/// A rung of one end of a rule.
type Rung = (&'static Rule, End, i64);

/// The rules of a planner, and each of them at every value tried so far.
#[derive(Debug)]
pub(super) struct LoosenedRules<'a> {
    pub planner: &'a Planner,
    at: Circumstances,
    /// The rules as they are, in the order of the search.
    pub constraints: Vec<Constraint>,
    /// Their places in the order in which reasons ask them: first those that are
    /// cheap over a whole night, so many.
    asked: Vec<usize>,
    cheap: usize,
    made: RefCell<HashMap<Rung, Rc<Loosened>>>,
}

impl<'a> LoosenedRules<'a> {
    pub fn of(planner: &'a Planner) -> Self {
        let rules = planner.rules();
        let at = planner.circumstances(rules);
        let constraints = Constraint::all(rules, &at);
        let last = constraints.len().saturating_sub(1);
        // Over a whole night altitudes are cheaper than what bodies have to each
        // other, the camera, the land or the light, that of the Moon least so.
        let dearness = |(place, one): (usize, &Constraint)| match one.altitude() {
            _ if place == last => 2,
            Some((Body::Moon, _)) => 1,
            None if one.needs_place() => 2,
            _ => 0,
        };
        let dear: Vec<u8> = constraints.iter().enumerate().map(dearness).collect();
        let mut asked: Vec<usize> = (0..constraints.len()).collect();
        asked.sort_by_key(|place| dear.get(*place));
        Self {
            planner,
            cheap: dear.iter().filter(|dear| **dear < 2).count(),
            asked,
            constraints,
            at,
            made: RefCell::default(),
        }
    }

    /// The rules as they are, with their places in the order of the search, in
    /// the order in which reasons ask them.
    pub fn asked(&self) -> impl Iterator<Item = (usize, &Constraint)> {
        let asked = self.asked.iter();
        asked.filter_map(|place| Some((*place, self.constraints.get(*place)?)))
    }

    /// Those that are cheap over a whole night.
    pub fn early(&self) -> impl Iterator<Item = &Constraint> {
        self.asked().take(self.cheap).map(|(_, early)| early)
    }

    /// The others; the last is that of the search.
    pub fn late(&self) -> impl Iterator<Item = &Constraint> {
        self.asked().skip(self.cheap).map(|(_, late)| late)
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

    /// Whether the scan's own search finds a night with these rules changed.
    pub fn finds(&self, night: &Night, changed: &[&Loosened]) -> bool {
        let own = self.planner.rules().min_minutes();
        let minutes = changed.iter().map(|loose| loose.min_minutes);
        let minutes = minutes.fold(own, f64::min);
        let constraints = self.constraints.iter().filter_map(|own| {
            let instead = changed.iter().find(|loose| loose.rule == own.rule);
            instead.map_or(Some(own), |loose| loose.constraint.as_ref())
        });
        !self.planner.kept(constraints, night, minutes).is_empty()
    }
}

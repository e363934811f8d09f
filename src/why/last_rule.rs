//! The last rule of the search, which is the dearest to ask: it is asked half an
//! hour at a time, once, and only where something depends on it.

use super::loosened::LoosenedRules;
use crate::search::{Interval, Intervals, Night, whole};
use std::cell::RefCell;

/// How much is asked at a time, seconds.
const PART_SECONDS: f64 = 1800.0;

/// The last rule through one night.
#[derive(Debug)]
pub(super) struct LastRule<'a> {
    pub rules: &'a LoosenedRules<'a>,
    pub night: Night,
    /// When it holds in each part of the night, where that was asked.
    parts: RefCell<Vec<Option<Intervals>>>,
}

impl<'a> LastRule<'a> {
    pub fn new(rules: &'a LoosenedRules<'a>, night: &Night) -> Self {
        let parts = whole(night).minutes() * 60.0 / PART_SECONDS;
        Self {
            rules,
            night: *night,
            parts: RefCell::new(vec![None; parts.ceil() as usize]),
        }
    }

    /// Whether it holds for so many minutes somewhere in these periods.
    pub fn holds_for(&self, minutes: f64, within: &Intervals) -> bool {
        let long = |period: &&Interval| period.minutes() >= minutes;
        let mut periods = within.as_slice().iter().filter(long);
        periods.any(|period| {
            // Its last stretch so far.
            let mut last: Option<Interval> = None;
            self.parts_of(period).any(|part| {
                let pieces = self.part(part);
                let pieces = pieces.and(&Intervals::one(period.start, period.end));
                pieces.as_slice().iter().any(|piece| {
                    let start = last.filter(|last| piece.start <= last.end);
                    let run =
                        Interval::new(start.map_or(piece.start, |last| last.start), piece.end);
                    last = Some(run);
                    run.minutes() >= minutes
                })
            })
        })
    }

    /// The parts of these periods in which it holds.
    pub fn held(&self, within: &Intervals) -> Intervals {
        let parts = within.as_slice().iter();
        let parts = parts.flat_map(|period| self.parts_of(period));
        let held: Intervals = parts
            .flat_map(|part| self.part(part).as_slice().to_vec())
            .collect();
        held.and(within)
    }

    /// The parts of the night that a period of it touches.
    fn parts_of(&self, period: &Interval) -> impl Iterator<Item = usize> + use<> {
        let part = |time: f64| (time - self.night.start.seconds()) / PART_SECONDS;
        let last = self.parts.borrow().len();
        let (from, to) = (part(period.start).floor(), part(period.end).ceil());
        from.max(0.0) as usize..(to.max(0.0) as usize).min(last)
    }

    /// When it holds in a part of the night.
    fn part(&self, part: usize) -> Intervals {
        if let Some(Some(known)) = self.parts.borrow().get(part) {
            return known.clone();
        }
        let start = self.night.start.seconds() + PART_SECONDS * part as f64;
        let end = (start + PART_SECONDS).min(self.night.end.seconds());
        let whole = Intervals::one(start, end);
        let last = self.rules.constraints.last();
        let held = last.map_or(whole.clone(), |last| {
            self.rules.planner.held(last, &self.night, &whole)
        });
        if let Some(known) = self.parts.borrow_mut().get_mut(part) {
            *known = Some(held.clone());
        }
        held
    }
}

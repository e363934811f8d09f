//! Periods of time and how they overlap.

use crate::ephemeris::{Course, Foreseen, Moment, crossings, one_crossing};
use serde::{Serialize, Serializer, ser::SerializeStruct};
use smallvec::SmallVec;

/// A period of time, UTC seconds since 2000-01-01T12:00:00.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Its first second.
    pub start: f64,
    /// Its last second, not before `start`.
    pub end: f64,
}

impl Interval {
    /// The period from `start` to `end`.
    pub const fn new(start: f64, end: f64) -> Self {
        Self { start, end }
    }

    /// Its length, minutes.
    pub fn minutes(&self) -> f64 {
        (self.end - self.start) / 60.0
    }

    /// Its middle, seconds.
    pub const fn middle(&self) -> f64 {
        0.5 * (self.start + self.end)
    }

    /// The part of it in which a rule holds that changes once at the most.
    fn turned_once(&self, course: &mut impl Course) -> Intervals {
        let whole = Intervals::one(self.start, self.end);
        whole.between(|of, edge| one_crossing(of.start, of.end, course, edge))
    }

    /// Its first moment.
    pub const fn first(&self) -> Moment {
        Moment::from_seconds(self.start)
    }

    /// Its last moment.
    pub const fn last(&self) -> Moment {
        Moment::from_seconds(self.end)
    }
}

/// Periods of time in order, none touching the next.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Intervals(List);

/// A night seldom has more than two periods, which need no memory of their own.
type List = SmallVec<[Interval; 2]>;

impl Intervals {
    /// No time at all.
    pub const NONE: Self = Self(SmallVec::new_const());

    /// One period.
    pub fn one(start: f64, end: f64) -> Self {
        if start < end {
            Self(List::from_iter([Interval::new(start, end)]))
        } else {
            Self::NONE
        }
    }

    /// The periods, in order.
    pub fn as_slice(&self) -> &[Interval] {
        &self.0
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Their length together, minutes.
    pub fn minutes(&self) -> f64 {
        // The sum of no numbers at all would be a zero below zero.
        self.0.iter().map(Interval::minutes).fold(0.0, |a, b| a + b)
    }

    /// Whether `time` lies in one of them.
    pub fn contains(&self, time: f64) -> bool {
        self.around(time).is_some()
    }

    /// The one of them in which `time` lies.
    pub fn around(&self, time: f64) -> Option<&Interval> {
        let mut all = self.0.iter();
        all.find(|i| i.start <= time && time <= i.end)
    }

    /// The parts of these periods in which a rule holds.
    pub(crate) fn where_holds(&self, mut course: impl Course) -> Self {
        self.searched(&mut course)
    }

    fn searched(&self, course: &mut impl Course) -> Self {
        self.between(|interval, edge| crossings(interval.start, interval.end, course, edge))
    }

    /// The parts of these periods between edges, which `of` passes on in order;
    /// it tells whether the first part begins with the period.
    fn between(&self, mut of: impl FnMut(&Interval, &mut dyn FnMut(f64)) -> bool) -> Self {
        let mut held = List::new();
        for interval in self.as_slice() {
            let mut edges: SmallVec<[f64; 4]> = SmallVec::new();
            if of(interval, &mut |t| edges.push(t)) {
                edges.insert(0, interval.start);
            }
            if edges.len() % 2 == 1 {
                edges.push(interval.end);
            }
            held.extend(
                edges
                    .chunks_exact(2)
                    .map(|pair| Interval::new(pair[0], pair[1]))
                    .filter(|i| i.start < i.end),
            );
        }
        Self(held)
    }

    /// The same for a rule of which it may be known beforehand that it holds, or
    /// does not, in a whole period.
    pub(crate) fn where_known(
        &self,
        known: impl Fn(f64, f64) -> Option<bool>,
        course: impl Course,
    ) -> Self {
        let [first, others @ ..] = self.as_slice() else {
            return Self::NONE;
        };
        let last = others.last().unwrap_or(first);
        match known(first.start, last.end) {
            Some(true) => self.clone(),
            Some(false) => Self::NONE,
            None => self.where_holds(course),
        }
    }

    /// The same for a rule of which something may be known of any period; one of
    /// which nothing is known is halved until it is shorter than `shortest`
    /// seconds, and then searched.
    pub(crate) fn where_foreseen(
        &self,
        shortest: f64,
        foreseen: impl Fn(f64, f64) -> Foreseen,
        mut course: impl Course,
    ) -> Self {
        let mut held = Self::NONE;
        for interval in self.as_slice() {
            let mut unsure = Self::NONE;
            // Periods still to be told, the next one last.
            let mut rest: SmallVec<[Interval; 8]> = SmallVec::from_iter([*interval]);
            while let Some(next) = rest.pop() {
                let told = foreseen(next.start, next.end);
                match told {
                    Foreseen::Unknown if next.end - next.start > shortest => {
                        let middle = next.middle();
                        rest.push(Interval::new(middle, next.end));
                        rest.push(Interval::new(next.start, middle));
                    }
                    Foreseen::Unknown => unsure.append(next),
                    Foreseen::Holds | Foreseen::Fails | Foreseen::TurnsOnce => {
                        held.append_all(unsure.searched(&mut course));
                        unsure = Self::NONE;
                    }
                }
                match told {
                    Foreseen::Holds => held.append(next),
                    Foreseen::TurnsOnce => held.append_all(next.turned_once(&mut course)),
                    Foreseen::Fails | Foreseen::Unknown => {}
                }
            }
            held.append_all(unsure.searched(&mut course));
        }
        held
    }

    /// Adds a period after all others; one that begins where the last one ends
    /// is part of it.
    fn append(&mut self, next: Interval) {
        match self.0.last_mut() {
            Some(last) if last.end >= next.start => last.end = next.end,
            _ => self.0.push(next),
        }
    }

    fn append_all(&mut self, later: Self) {
        later.0.into_iter().for_each(|next| self.append(next));
    }

    /// Some parts of each of these periods, which `of` passes on in order.
    pub fn parts(&self, mut of: impl FnMut(&Interval, &mut dyn FnMut(f64, f64))) -> Self {
        let mut all = List::new();
        for interval in self.as_slice() {
            of(interval, &mut |start, end| {
                all.push(Interval::new(start, end));
            });
        }
        Self(all)
    }

    /// The time in both.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let Some(first) = self.0.first() else {
            return Self::NONE;
        };
        // The other may have those of a whole season.
        let (mut i, mut j) = (0, other.0.partition_point(|b| b.end <= first.start));
        let mut both = List::new();
        while let (Some(a), Some(b)) = (self.0.get(i), other.0.get(j)) {
            let (start, end) = (a.start.max(b.start), a.end.min(b.end));
            if start < end {
                both.push(Interval::new(start, end));
            }
            if a.end < b.end {
                i += 1;
            } else {
                j += 1;
            }
        }
        Self(both)
    }

    /// The time in either.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        let both = self.0.iter().chain(&other.0);
        both.copied().collect()
    }

    /// The periods of `whole` between these.
    pub fn outside(&self, whole: &Self) -> Self {
        let mut rest = List::new();
        for period in whole.as_slice() {
            let mut start = period.start;
            for hole in self.0.iter().filter(|hole| hole.end > period.start) {
                if hole.start >= period.end {
                    break;
                }
                if hole.start > start {
                    rest.push(Interval::new(start, hole.start));
                }
                start = start.max(hole.end);
            }
            if start < period.end {
                rest.push(Interval::new(start, period.end));
            }
        }
        Self(rest)
    }

    /// The periods of at least `minutes`.
    #[must_use]
    pub fn at_least_minutes(mut self, minutes: f64) -> Self {
        self.0.retain(|i| i.minutes() >= minutes);
        self
    }
}

impl IntoIterator for Intervals {
    type Item = Interval;
    type IntoIter = smallvec::IntoIter<[Interval; 2]>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl FromIterator<Interval> for Intervals {
    /// Puts periods in order and joins those that touch.
    fn from_iter<T: IntoIterator<Item = Interval>>(iter: T) -> Self {
        let mut all: List = iter.into_iter().filter(|i| i.start < i.end).collect();
        all.sort_by(|a, b| a.start.total_cmp(&b.start));
        let mut joined = List::new();
        for next in all {
            match joined.last_mut() {
                Some(last) if next.start <= last.end => last.end = last.end.max(next.end),
                _ => joined.push(next),
            }
        }
        Self(joined)
    }
}

impl Serialize for Intervals {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(&self.0)
    }
}

impl Serialize for Interval {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut fields = to.serialize_struct("Interval", 2)?;
        fields.serialize_field("start", &self.first())?;
        fields.serialize_field("end", &self.last())?;
        fields.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::Reading;
    use proptest::prelude::*;

    fn intervals() -> impl Strategy<Value = Intervals> {
        proptest::collection::vec((0..200i32, 1..30i32), 0..8).prop_map(|pairs| {
            pairs
                .into_iter()
                .map(|(start, length)| Interval::new(start.into(), (start + length).into()))
                .collect()
        })
    }

    proptest! {
        #[test]
        fn meeting_is_pointwise(a in intervals(), b in intervals()) {
            let both = a.and(&b);
            for step in 0..4800 {
                // Off the integers, so never on an edge.
                let time = f64::from(step) * 0.05 + 0.012;
                prop_assert_eq!(both.contains(time), a.contains(time) && b.contains(time));
            }
            prop_assert_eq!(&both, &b.and(&a));
            prop_assert_eq!(&a.and(&a), &a);
        }

        #[test]
        fn what_is_known_of_parts_changes_no_period(
            truth in intervals(),
            within in intervals(),
            shortest in 1.0..50.0_f64,
            sure in 0..4_u8,
        ) {
            let edges = || truth.as_slice().iter().flat_map(|i| [i.start, i.end]);
            let reading = |time: f64| {
                let distance = edges().map(|edge| (edge - time).abs()).fold(1e9, f64::min);
                let margin = if truth.contains(time) { distance } else { -distance };
                Reading { margin, safe_seconds: distance }
            };
            let known = |start: f64, end: f64| {
                let free = edges().all(|edge| edge <= start || end <= edge);
                // Now and then it does not know.
                if (start as u64 + u64::from(sure)).is_multiple_of(4) {
                    return Foreseen::Unknown;
                }
                let touched = edges().filter(|edge| start <= *edge && *edge <= end);
                match (free, touched.count()) {
                    (true, _) => Some(truth.contains(0.5 * (start + end))).into(),
                    (false, 1) => Foreseen::TurnsOnce,
                    (false, _) => Foreseen::Unknown,
                }
            };
            let found = within.where_foreseen(shortest, known, reading);
            let plainly = within.where_holds(reading);
            prop_assert_eq!(found.as_slice().len(), plainly.as_slice().len());
            for (a, b) in found.as_slice().iter().zip(plainly.as_slice()) {
                prop_assert!((a.start - b.start).abs() < 0.1 && (a.end - b.end).abs() < 0.1);
            }
        }
    }
}

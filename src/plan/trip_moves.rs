//! The moves between the places of a trip.

use crate::{parallel, scene::Site, terrain::GroundPoint};
use std::{collections::HashSet, num::NonZeroU32};

/// The most places of a trip: a table of all moves between them takes some
/// 60 MB.
pub const MOST_TRIP_PLACES: usize = 2500;

/// More days than any trip has.
const TOO_FAR: u8 = u8::MAX;

/// How far a group may drive in a day, and what is assumed of roads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoveRules {
    /// The longest way of a day, kilometres by road, more than 0.
    pub most_km: f64,
    /// The longest drive of a day, hours, more than 0.
    pub most_hours: f64,
    /// Length of a road over that of the great circle, 1 or more.
    pub detour: f64,
    /// Mean speed of a drive, stops included, km/h, more than 0.
    pub speed_kmh: f64,
}

impl Default for MoveRules {
    /// 300 km and 5 hours in a day; roads 1.3 times as long as the great circle,
    /// at 60 km/h.
    ///
    /// # Source
    ///
    /// Detour: R. H. Ballou, H. Rahardja, N. Sakai, "Selected country circuity
    /// factors for road travel distance estimation", *Transportation Research
    /// A* 36, 843-848 (2002), has means of 1.2 to 1.6 for most countries (from
    /// memory). The others are the project's choice.
    fn default() -> Self {
        Self {
            most_km: 300.0,
            most_hours: 5.0,
            detour: 1.3,
            speed_kmh: 60.0,
        }
    }
}

/// A move from one place to another.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
#[non_exhaustive]
pub struct Move {
    /// Length, kilometres by road, 0 or more.
    pub km: f64,
    /// Time, hours, 0 or more.
    pub hours: f64,
    /// Whether somebody gave it; else it is an estimate.
    pub is_given: bool,
}

impl Move {
    /// Whether there is anything to drive: it does not end where it begins.
    pub fn is_drive(&self) -> bool {
        self.km > 0.0 || self.hours > 0.0
    }
}

/// A move that somebody knows better than the estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GivenMove {
    /// Number of the place where it begins, from 0.
    pub from: usize,
    /// Number of the place where it ends.
    pub to: usize,
    /// Kilometres; `None` for the estimate.
    pub km: Option<f64>,
    /// Hours; `None` for those of the length at the assumed speed.
    pub hours: Option<f64>,
}

/// The moves between all places of a trip, those of a place to itself being 0.
#[derive(Debug, Clone)]
pub struct Moves {
    rules: MoveRules,
    places: usize,
    /// Kilometres and hours from each place (row) to each.
    table: Vec<[f32; 2]>,
    /// Days to each place (row) from each, [`TOO_FAR`] for too many.
    days: Vec<u8>,
    /// Which of them were given, in order.
    given: Vec<(usize, usize)>,
}

impl MoveRules {
    /// A move whose great circle is so long, kilometres.
    pub fn estimate(&self, great_circle_km: f64) -> Move {
        let km = great_circle_km * self.detour;
        Move {
            km,
            hours: km / self.speed_kmh,
            is_given: false,
        }
    }

    /// The estimated move from one site to another.
    pub fn between(&self, from: &Site, to: &Site) -> Move {
        let at = |site: &Site| GroundPoint::new(site.latitude_deg, site.longitude_deg).ok();
        let line = at(from).zip(at(to)).and_then(|(a, b)| a.line_to(b));
        self.estimate(line.map_or(0.0, |line| line.distance_m / 1000.0))
    }

    /// Days that a move takes if no day is longer than these rules allow: 1 or
    /// more; `None` if they are more than can be counted.
    fn days(&self, km: f64, hours: f64) -> Option<NonZeroU32> {
        // A length that is the limit itself, with the error of its rounding, is
        // not longer than the limit.
        const ROUNDING: f64 = 1e-6;
        let share = (km / self.most_km).max(hours / self.most_hours);
        let days = (share - ROUNDING).ceil().max(1.0);
        (days < 1e6).then(|| NonZeroU32::new(days as u32)).flatten()
    }
}

impl Moves {
    /// The moves between some places, each given by one of its sites. A given
    /// move holds both ways, unless the way back is given too; of several the
    /// last counts. Places after [`MOST_TRIP_PLACES`] are left out, and moves of
    /// places that there are not.
    pub fn new(rules: MoveRules, places: &[&Site], given: &[GivenMove]) -> Self {
        let places = places.get(..MOST_TRIP_PLACES).unwrap_or(places);
        // Half of the table is the other half.
        let rows = parallel::map(places.len(), 8, |from| {
            let (before, _) = places.split_at(from);
            let to = |other: &&Site| places.get(from).map(|site| rules.between(site, other));
            before.iter().filter_map(to).collect::<Vec<_>>()
        });
        let mut moves = Self::without_ways(rules, places.len());
        for (from, row) in rows.iter().enumerate() {
            for (to, way) in row.iter().enumerate() {
                moves.set(from, to, way.km, way.hours);
                moves.set(to, from, way.km, way.hours);
            }
        }
        moves.give(given);
        moves
    }

    /// The moves between places whose distances are known: `km` from each
    /// (row) to each.
    pub fn of_km(rules: MoveRules, km: &[Vec<f64>]) -> Self {
        let mut moves = Self::without_ways(rules, km.len().min(MOST_TRIP_PLACES));
        for (from, row) in km.iter().enumerate() {
            for (to, km) in row.iter().enumerate().filter(|(to, _)| *to != from) {
                moves.set(from, to, *km, km / rules.speed_kmh);
            }
        }
        moves
    }

    fn without_ways(rules: MoveRules, places: usize) -> Self {
        Self {
            rules,
            places,
            table: vec![[0.0; 2]; places * places],
            days: vec![0; places * places],
            given: Vec::new(),
        }
    }

    fn index(&self, from: usize, to: usize) -> Option<usize> {
        (from < self.places && to < self.places).then(|| from * self.places + to)
    }

    fn set(&mut self, from: usize, to: usize, km: f64, hours: f64) {
        let index = self.index(from, to);
        if let Some(cell) = index.and_then(|index| self.table.get_mut(index)) {
            *cell = [km as f32, hours as f32];
        }
        // A move from a place to itself is made on any day.
        let days = match self.table_days(from, to) {
            _ if from == to => 0,
            Some(days) => u8::try_from(days.get()).unwrap_or(TOO_FAR),
            None => TOO_FAR,
        };
        let index = self.index(to, from);
        if let Some(cell) = index.and_then(|index| self.days.get_mut(index)) {
            *cell = days;
        }
    }

    fn give(&mut self, given: &[GivenMove]) {
        let named: HashSet<_> = given.iter().map(|way| (way.from, way.to)).collect();
        for way in given.iter().filter(|way| way.from != way.to) {
            let back = (way.to, way.from);
            for (from, to) in [(way.from, way.to), back] {
                if (from, to) == back && named.contains(&back) {
                    continue;
                }
                let Some(known) = self.way(from, to) else {
                    continue;
                };
                let km = way.km.unwrap_or(known.km);
                let hours = way.hours.unwrap_or(km / self.rules.speed_kmh);
                self.set(from, to, km, hours);
                self.given.push((from, to));
            }
        }
        self.given.sort_unstable();
        self.given.dedup();
    }

    /// What they keep to.
    pub fn rules(&self) -> MoveRules {
        self.rules
    }

    /// How many places there are.
    pub fn places(&self) -> usize {
        self.places
    }

    /// The move from one place to another; `None` if there is no such place.
    pub fn way(&self, from: usize, to: usize) -> Option<Move> {
        let [km, hours] = *self.table.get(self.index(from, to)?)?;
        Some(Move {
            km: km.into(),
            hours: hours.into(),
            is_given: self.given.binary_search(&(from, to)).is_ok(),
        })
    }

    fn table_days(&self, from: usize, to: usize) -> Option<NonZeroU32> {
        let [km, hours] = self.table.get(self.index(from, to)?)?.map(f64::from);
        self.rules.days(km, hours)
    }

    /// Kilometres of that move; 0 from a place to itself.
    pub(super) fn km(&self, from: usize, to: usize) -> f64 {
        let cell = self.index(from, to).and_then(|index| self.table.get(index));
        cell.filter(|_| from != to)
            .map_or(0.0, |[km, _]| (*km).into())
    }

    /// The days of the moves to a place, from each place.
    pub(super) fn days_to(&self, to: usize) -> &[u8] {
        let row = to * self.places..(to + 1) * self.places;
        self.days.get(row).unwrap_or_default()
    }

    /// Whether a group can be at `to` so many evenings after it was at `from`:
    /// the evenings in between are free, and each day may have as long a drive
    /// as the rules allow.
    pub fn can_reach(&self, from: usize, to: usize, evenings: u32) -> bool {
        from == to
            || self
                .table_days(from, to)
                .is_some_and(|days| days.get() <= evenings)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules() -> MoveRules {
        MoveRules {
            most_km: 100.0,
            most_hours: 2.0,
            detour: 1.0,
            speed_kmh: 50.0,
        }
    }

    #[test]
    fn a_move_takes_as_many_days_as_its_longest_limit_says() {
        let days = |km, hours| rules().days(km, hours).map(NonZeroU32::get);
        assert_eq!(days(0.0, 0.0), Some(1));
        assert_eq!(days(100.0, 2.0), Some(1));
        assert_eq!(days(100.1, 2.0), Some(2));
        assert_eq!(days(10.0, 4.1), Some(3));
        assert_eq!(days(1e12, 1.0), None);
        assert_eq!(days(f64::NAN, 1.0), Some(1));
    }

    #[test]
    fn a_given_move_holds_both_ways_unless_the_way_back_is_given() {
        let site = |latitude| Site::new(latitude, 0.0).expect("a site");
        let sites = [site(0.0), site(0.5), site(1.0)];
        let given = |from, to, km, hours| GivenMove {
            from,
            to,
            km,
            hours,
        };
        let moves = Moves::new(
            rules(),
            &sites.iter().collect::<Vec<_>>(),
            &[
                given(0, 1, Some(80.0), None),
                given(1, 2, Some(10.0), Some(1.0)),
                given(2, 1, None, Some(1.5)),
                given(7, 1, None, None),
            ],
        );
        let way = |from, to| moves.way(from, to).expect("a move");
        assert_eq!((way(0, 1).km, way(0, 1).hours.round()), (80.0, 2.0));
        assert_eq!(way(1, 0), way(0, 1));
        assert_eq!((way(1, 2).km, way(1, 2).hours), (10.0, 1.0));
        // Half a degree of latitude at the equator is 55.287 km on WGS84.
        assert!((way(2, 1).km - 55.29).abs() < 0.02, "{:?}", way(2, 1));
        assert_eq!(way(2, 1).hours, 1.5);
        assert!(!way(0, 2).is_given && way(1, 0).is_given);
        assert!(!moves.can_reach(0, 2, 1) && moves.can_reach(0, 2, 2));
        assert!(moves.way(0, 7).is_none());
    }
}

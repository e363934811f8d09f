//! A trip that was found, and what stands in for its nights.

use super::{
    trip::{Offer, Trip, TripAsked, TripNight, TripSearch, TripStop},
    trip_moves::{Move, Moves},
    trip_search::TripPath,
};
use crate::search::PlanError;
use chrono::{Days, NaiveDate};
use std::collections::BTreeMap;

/// What a search works with.
pub(super) struct Found<'a> {
    pub search: &'a TripSearch,
    pub asked: &'a TripAsked,
    pub moves: &'a Moves,
    pub best: BTreeMap<(usize, usize), &'a Offer>,
}

impl Found<'_> {
    fn date(&self, night: usize) -> NaiveDate {
        let first = self.search.dates().first();
        let date = first.checked_add_days(Days::new(night as u64));
        date.unwrap_or(first)
    }

    /// A trip with its spare places and nights.
    pub fn trip(&self, rank: usize, path: &TripPath) -> Result<Trip, PlanError> {
        let mut nights = Vec::with_capacity(path.places.len());
        for (since, place) in path.places.iter().enumerate() {
            let night = path.first + since;
            let of = |stop: Option<(usize, usize, Option<Move>)>| {
                stop.map_or(Ok(None), |(night, place, way)| self.stop(night, place, way))
            };
            let before = before(path, since);
            let session = place.map(|place| {
                let way = before.and_then(|(_, from)| self.moves.way(from, place));
                (night, place, way)
            });
            nights.push(TripNight {
                night: self.date(night),
                session: of(session)?,
                spare_place: of(self.spare_place(path, since))?,
                spare_night: of(self.spare_night(path, since))?,
            });
        }
        let stops = || nights.iter().filter_map(|night| night.session.as_ref());
        let ways = || stops().filter_map(|stop| stop.way);
        Ok(Trip {
            rank,
            score: stops().map(|stop| stop.window.score).sum(),
            worth: path.worth,
            km: ways().map(|way| way.km).sum(),
            hours: ways().map(|way| way.hours).sum(),
            nights,
        })
    }

    fn stop(
        &self,
        night: usize,
        place: usize,
        way: Option<Move>,
    ) -> Result<Option<TripStop>, PlanError> {
        match self.best.get(&(night, place)) {
            Some(offer) => self.search.stop(offer, self.date(night), way),
            None => Ok(None),
        }
    }

    /// The place worth most that could stand in for the one of a night: a day's
    /// drive from it at most, and the trip can go on from there as it could
    /// come there.
    fn spare_place(&self, path: &TripPath, since: usize) -> Option<(usize, usize, Option<Move>)> {
        let night = path.first + since;
        let planned = path.places.get(since).copied().flatten()?;
        let (before, after) = (before(path, since), after(path, since));
        let of_night = self.best.range((night, 0)..=(night, usize::MAX));
        let fits = |place: usize| {
            place != planned
                && self.moves.can_reach(planned, place, 1)
                && before.is_none_or(|(gap, from)| self.moves.can_reach(from, place, gap))
                && after.is_none_or(|(gap, to)| self.moves.can_reach(place, to, gap))
        };
        let (_, place) = of_night
            .filter(|((_, place), _)| fits(*place))
            // The first of equals, which `max_by` would pass over.
            .fold(None, |best: Option<(f64, usize)>, ((_, place), offer)| {
                let worth = self.search.worth(offer);
                match best {
                    Some((known, _)) if known >= worth => best,
                    _ => Some((worth, *place)),
                }
            })?;
        Some((night, place, self.moves.way(planned, place)))
    }

    /// The night worth most that could make up for one at its place: a free one
    /// later in the trip, or one after it.
    fn spare_night(&self, path: &TripPath, since: usize) -> Option<(usize, usize, Option<Move>)> {
        let planned = path.places.get(since).copied().flatten()?;
        let last = path.places.len() + self.asked.spare_days;
        let mut best: Option<(f64, usize, Option<Move>)> = None;
        for later in since + 1..last {
            if path.places.get(later).is_some_and(Option::is_some) {
                continue;
            }
            let night = path.first + later;
            let Some(offer) = self.best.get(&(night, planned)) else {
                continue;
            };
            let (before, after) = (before(path, later), after(path, later));
            let comes = before.is_none_or(|(gap, from)| self.moves.can_reach(from, planned, gap));
            let goes = after.is_none_or(|(gap, to)| self.moves.can_reach(planned, to, gap));
            let worth = self.search.worth(offer);
            if comes && goes && best.is_none_or(|(known, ..)| worth > known) {
                let way = before.and_then(|(_, from)| self.moves.way(from, planned));
                best = Some((worth, night, way));
            }
        }
        let (_, night, way) = best?;
        Some((night, planned, way))
    }
}

/// The last place before a night of a trip, and how many nights before.
fn before(path: &TripPath, since: usize) -> Option<(u32, usize)> {
    let places = path.places.iter().take(since).enumerate().rev();
    let mut planned = places.filter_map(|(at, place)| Some((at, (*place)?)));
    let (at, place) = planned.next()?;
    Some((u32::try_from(since - at).ok()?, place))
}

/// The next place after a night of a trip, and how many nights after.
fn after(path: &TripPath, since: usize) -> Option<(u32, usize)> {
    let places = path.places.iter().enumerate().skip(since + 1);
    let mut planned = places.filter_map(|(at, place)| Some((at, (*place)?)));
    let (at, place) = planned.next()?;
    Some((u32::try_from(at - since).ok()?, place))
}

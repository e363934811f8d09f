//! A trip: consecutive evenings, each with a place, and what stands in for it.

use super::{
    chances::chance_of_at_least,
    trip_found::Found,
    trip_moves::{GivenMove, MOST_TRIP_PLACES, Move, MoveRules, Moves},
    trip_search::{TripNights, TripRules},
    trip_site::TripSite,
};
use crate::{
    scene::{Dates, Site},
    search::{PlanError, Planner, SitePlanners, Window},
};
use chrono::NaiveDate;
use std::collections::{BTreeMap, HashMap};

/// What is asked of trips.
#[derive(Debug, Clone, PartialEq)]
pub struct TripAsked {
    /// Consecutive evenings, 1 to [`super::MOST_TRIP_NIGHTS`].
    pub nights: usize,
    /// The most of them that may be free, none of them the first or the last.
    pub free: usize,
    /// The most sessions in a row at one place; `None` for any number.
    pub stay: Option<usize>,
    /// The longest moves.
    pub moves: MoveRules,
    /// Points of score that 100 km of driving must gain, 0 or more.
    pub points_per_100_km: f64,
    /// Evenings after the last on which a clouded night can be made up for.
    pub spare_days: usize,
    /// The most trips to find.
    pub most: usize,
}

impl TripAsked {
    /// The rules of the search.
    pub fn rules(&self) -> TripRules {
        TripRules {
            nights: self.nights,
            free: self.free,
            stay: self.stay,
            cost_per_km: self.points_per_100_km / 100.0,
        }
    }
}

/// One night of one site of a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offer {
    night: usize,
    place: usize,
    site: usize,
    score: f64,
    rank: usize,
    chance: Option<f64>,
}

/// Sites among which trips are searched. Those at one position, such as the
/// views of a place, are one place.
#[derive(Debug, Clone)]
pub struct TripSearch {
    dates: Dates,
    sites: Vec<SitePlanners>,
    /// For each place the first of its sites.
    places: Vec<usize>,
    by_position: HashMap<[u64; 2], usize>,
    offers: Vec<Offer>,
    /// Whether all nights have a chance of being clear.
    has_chances: bool,
}

/// Some consecutive evenings, each at a place or free.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Trip {
    /// From 1.
    pub rank: usize,
    /// The sum of the scores of its sessions.
    pub score: f64,
    /// The sum of what they are worth: scores times the chances of a clear
    /// night, where those are known, less what driving costs.
    pub worth: f64,
    /// Kilometres of driving between its places.
    pub km: f64,
    /// Hours of driving between them.
    pub hours: f64,
    /// Its evenings.
    pub nights: Vec<TripNight>,
}

/// An evening of a trip.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct TripNight {
    /// The night, by its evening.
    pub night: NaiveDate,
    /// What is planned; `None` on a free night.
    pub session: Option<TripStop>,
    /// Another place within reach on that night, the one worth most.
    pub spare_place: Option<TripStop>,
    /// A later night at the same place, the one worth most, on which nothing
    /// else is planned.
    pub spare_night: Option<TripStop>,
}

/// A night at a site.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct TripStop {
    /// Which of the sites it is, from 0 in the order in which they were added;
    /// see [`TripSearch::sites`].
    pub site_number: usize,
    /// The site with its rules.
    pub planner: Planner,
    /// Its best window of the night.
    pub window: Window,
    /// All windows of that night that its rules find there, the best first.
    pub of_night: Vec<Window>,
    /// How likely a clear sky is, 0 to 1, where that is known for all nights of
    /// all sites.
    pub chance: Option<f64>,
    /// The drive to it: of a session and a spare night from the place before
    /// (`None` at the start), of a spare place from the place it stands in for.
    pub way: Option<Move>,
}

impl TripStop {
    /// The site.
    pub fn site(&self) -> &Site {
        self.planner.site()
    }
}

impl Trip {
    /// Its sessions in order.
    pub fn sessions(&self) -> impl Iterator<Item = &TripStop> {
        self.nights
            .iter()
            .filter_map(|night| night.session.as_ref())
    }

    /// The chance that at least `k` of its sessions have a clear night, 0 to 1,
    /// if their nights are independent of each other (see
    /// [`chance_of_at_least`]); `None` where a chance is not known.
    pub fn chance_of(&self, k: usize) -> Option<f64> {
        let chances: Option<Vec<f64>> = self.sessions().map(|stop| stop.chance).collect();
        Some(chance_of_at_least(&chances?, k))
    }

    /// Moves between different places.
    pub fn moves(&self) -> usize {
        let ways = self.sessions().filter_map(|stop| stop.way);
        ways.filter(Move::is_drive).count()
    }

    /// The first evening.
    pub fn first(&self) -> Option<NaiveDate> {
        self.nights.first().map(|night| night.night)
    }

    /// The last evening.
    pub fn last(&self) -> Option<NaiveDate> {
        self.nights.last().map(|night| night.night)
    }
}

impl TripSearch {
    /// A search of trips that lie within some evenings.
    pub fn new(dates: Dates) -> Self {
        Self {
            dates,
            sites: Vec::new(),
            places: Vec::new(),
            by_position: HashMap::new(),
            offers: Vec::new(),
            has_chances: true,
        }
    }

    /// Adds a site. The flag is false where there are more places than
    /// [`MOST_TRIP_PLACES`]: the site is then left out.
    #[must_use]
    pub fn add(&mut self, site: TripSite) -> bool {
        let at = site.planners.site();
        // A zero has no minus here.
        let position = [at.latitude_deg, at.longitude_deg].map(|deg| (deg + 0.0).to_bits());
        let next = self.places.len();
        let place = *self.by_position.entry(position).or_insert(next);
        if place >= MOST_TRIP_PLACES {
            return false;
        }
        let number = self.sites.len();
        if place == next {
            self.places.push(number);
        }
        self.sites.push(site.planners);
        for of in site.nights {
            let since = (of.night - self.dates.first()).num_days();
            let Ok(night) = usize::try_from(since) else {
                continue;
            };
            self.has_chances &= of.chance.is_some();
            self.offers.push(Offer {
                night,
                place,
                site: number,
                score: of.score,
                rank: of.rank,
                chance: of.chance,
            });
        }
        true
    }

    /// The sites in the order in which they were added, each with all of its
    /// rules.
    pub fn sites(&self) -> &[SitePlanners] {
        &self.sites
    }

    /// A site of each place, in the order in which they came.
    pub fn places(&self) -> Vec<&Site> {
        let sites = self.places.iter().filter_map(|at| self.sites.get(*at));
        sites.map(SitePlanners::site).collect()
    }

    /// The place that each site belongs to, by their numbers from 0.
    pub fn place_of_each_site(&self) -> Vec<(&Site, usize)> {
        let place = |site: &Site| {
            let position = [site.latitude_deg, site.longitude_deg].map(|deg| (deg + 0.0).to_bits());
            self.by_position.get(&position).copied()
        };
        let sites = self.sites.iter().map(SitePlanners::site);
        sites
            .filter_map(|site| Some((site, place(site)?)))
            .collect()
    }

    /// Nights on which at least one place has a window.
    pub fn nights_with_a_window(&self) -> usize {
        let nights: std::collections::HashSet<usize> =
            self.offers.iter().map(|offer| offer.night).collect();
        nights.len()
    }

    /// Nights with a window, counted at each site, for which no chance of a clear
    /// sky is known.
    pub fn nights_without_a_chance(&self) -> usize {
        let offers = self.offers.iter();
        offers.filter(|offer| offer.chance.is_none()).count()
    }

    /// Whether nights are weighted by the chance of a clear one: it is known at
    /// every site.
    pub fn is_weighted(&self) -> bool {
        self.has_chances && !self.offers.is_empty()
    }

    /// A night of a site, computed again.
    pub(super) fn stop(
        &self,
        offer: &Offer,
        date: NaiveDate,
        way: Option<Move>,
    ) -> Result<Option<TripStop>, PlanError> {
        let Some(planners) = self.sites.get(offer.site) else {
            return Ok(None);
        };
        let mut best: Option<(&Planner, Vec<Window>)> = None;
        for planner in planners.iter() {
            let windows = planner.of_night(date)?.windows();
            let score = |windows: &[Window]| windows.first().map(|window| window.score);
            let known = best.as_ref().and_then(|(_, known)| score(known));
            if score(&windows) > known {
                best = Some((planner, windows));
            }
        }
        let Some((planner, of_night)) = best else {
            return Ok(None);
        };
        Ok(of_night.first().cloned().map(|window| TripStop {
            site_number: offer.site,
            planner: planner.clone(),
            window: Window {
                // The rank among all of its windows.
                rank: offer.rank,
                ..window
            },
            of_night,
            chance: self.chance(offer),
            way,
        }))
    }

    /// The dates in which trips lie.
    pub fn dates(&self) -> Dates {
        self.dates
    }

    pub(super) fn chance(&self, offer: &Offer) -> Option<f64> {
        offer.chance.filter(|_| self.has_chances)
    }

    pub(super) fn worth(&self, offer: &Offer) -> f64 {
        offer.score * self.chance(offer).unwrap_or(1.0)
    }

    /// What each place is worth on each night.
    pub(super) fn worths(&self) -> TripNights {
        let count = usize::try_from(self.dates.count()).unwrap_or(0);
        let mut nights = TripNights::new(count);
        for ((night, place), offer) in self.best_offers() {
            nights.offer(night, place, self.worth(offer));
        }
        nights
    }

    /// The best offer of each place and night, in their order.
    pub(super) fn best_offers(&self) -> BTreeMap<(usize, usize), &Offer> {
        let mut best: BTreeMap<(usize, usize), &Offer> = BTreeMap::new();
        for offer in &self.offers {
            let known = best.entry((offer.night, offer.place)).or_insert(offer);
            if self.worth(offer) > self.worth(known) {
                *known = offer;
            }
        }
        best
    }

    /// The best trips, each with its spare places and nights; see
    /// [`TripNights::best_trips`]. `given` are moves between places that are
    /// better known than their estimates.
    ///
    /// # Errors
    ///
    /// A night that cannot be computed again; there is none in a season.
    pub fn find(&self, asked: &TripAsked, given: &[GivenMove]) -> Result<Vec<Trip>, PlanError> {
        let moves = Moves::new(asked.moves, &self.places(), given);
        let found = Found {
            search: self,
            asked,
            moves: &moves,
            best: self.best_offers(),
        };
        let nights = self.worths();
        let paths = nights.best_trips(&moves, &asked.rules(), asked.most);
        let paths = paths.iter().enumerate();
        paths
            .map(|(index, path)| found.trip(index + 1, path))
            .collect()
    }
}

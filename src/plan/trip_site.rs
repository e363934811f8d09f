//! A site in the search of trips.

use crate::{scene::Site, search::SitePlanners};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A site with the best window of each of its nights.
#[derive(Debug, Clone)]
pub struct TripSite {
    pub(super) planners: SitePlanners,
    pub(super) nights: Vec<SiteNight>,
}

/// The best window of a night, in few bytes: a long season of many sites has
/// more windows than memory.
#[derive(Debug, Clone, Copy)]
pub(super) struct SiteNight {
    pub(super) night: NaiveDate,
    pub(super) score: f64,
    pub(super) rank: usize,
    pub(super) chance: Option<f64>,
}

impl TripSite {
    /// A site with its windows under its rules, those of each kind of light
    /// together. `chance` is how likely a night
    /// is to be clear there, 0 to 1, if that is known.
    pub fn new(planners: SitePlanners, chance: impl Fn(NaiveDate) -> Option<f64>) -> Self {
        let mut best: BTreeMap<NaiveDate, (f64, usize)> = BTreeMap::new();
        for window in planners.windows() {
            let found = (window.score, window.rank);
            let known = best.entry(window.night).or_insert(found);
            if window.rank < known.1 {
                *known = found;
            }
        }
        let nights = best
            .into_iter()
            .map(|(night, (score, rank))| SiteNight {
                night,
                score,
                rank,
                chance: chance(night).filter(|chance| (0.0..=1.0).contains(chance)),
            })
            .collect();
        Self { planners, nights }
    }

    /// How many of its nights have a window.
    pub fn nights(&self) -> usize {
        self.nights.len()
    }

    /// The site.
    pub fn site(&self) -> &Site {
        self.planners.site()
    }
}

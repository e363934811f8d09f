//! A site in the search of trips.

use crate::{
    scene::Site,
    search::{SitePlanners, Window},
};
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
    /// together. `chance` is how likely the sky is to be clear there in the best
    /// window of a night, 0 to 1, if that is known; see [`Window::clear_chance`].
    pub fn new(planners: SitePlanners, chance: impl Fn(&Window) -> Option<f64>) -> Self {
        let windows = planners.windows();
        let mut best: BTreeMap<NaiveDate, &Window> = BTreeMap::new();
        for window in &windows {
            let known = best.entry(window.night).or_insert(window);
            if window.rank < known.rank {
                *known = window;
            }
        }
        let nights = best
            .into_iter()
            .map(|(night, window)| SiteNight {
                night,
                score: window.score,
                rank: window.rank,
                chance: chance(window).filter(|chance| (0.0..=1.0).contains(chance)),
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

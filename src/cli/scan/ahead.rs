//! The next window after a range of evenings in which a site has none.

use super::reasons::NextWindow;
use rakelight::{
    scene::Dates,
    search::{PlanError, Season, SitePlanners},
};
use std::sync::{Arc, OnceLock};

/// The year after a range of evenings; its sky is fitted when it is needed.
pub struct Ahead {
    /// None at the end of 2099.
    dates: Option<Dates>,
    season: OnceLock<Season>,
}

impl Ahead {
    pub fn after(dates: Dates) -> Self {
        let next = dates.last().succ_opt();
        Self {
            dates: next.and_then(|next| Dates::year_from(next).ok()),
            season: OnceLock::new(),
        }
    }

    /// The next window of a site.
    pub fn next(&self, planners: &SitePlanners) -> Result<NextWindow, PlanError> {
        let Some(dates) = self.dates else {
            return Ok(NextWindow::default());
        };
        let season = self.season.get_or_init(|| Season::new(dates));
        let site = Arc::new(planners.site().clone());
        let rules = planners.iter().map(|planner| planner.rules().clone());
        let planners = season.site_planners(site, rules)?;
        Ok(NextWindow {
            window: planners.next_window(),
            nights: dates.count(),
        })
    }
}

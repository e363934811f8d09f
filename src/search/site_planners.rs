//! The planners of one site, one for each brief and each kind of light.

use super::{plan_error::PlanError, planner::Planner, season::Season, window::Window};
use crate::{
    rule::Rules,
    scene::{LightKind, Site},
};
use std::sync::Arc;

/// The planners of one site through a season, one for each of its rules: those
/// of each brief and each kind of light. There is one at least.
///
/// # Example
///
/// ```
/// use chrono::NaiveDate;
/// use rakelight::{
///     rule::{Brief, Rules},
///     scene::{Dates, Site},
///     search::Season,
/// };
///
/// let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).unwrap();
/// let site = Site::new(-31.4, 139.2)?;
/// let mut brief = Brief::default();
/// brief.set("light", "raking,dark")?;
/// let rules = Rules::of_kinds(&brief, &site)?;
/// let season = Season::new(Dates::new(day(5, 1), day(5, 31))?);
/// let windows = season.site_planners(site, rules)?.windows();
/// assert_eq!(windows[0].rank, 1);
/// assert!(windows.iter().any(|window| window.light != windows[0].light));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct SitePlanners {
    first: Planner,
    others: Vec<Planner>,
}

impl SitePlanners {
    /// The planner of the first rules.
    pub fn first(&self) -> &Planner {
        &self.first
    }

    /// The planners, in the order of their rules.
    pub fn iter(&self) -> impl Iterator<Item = &Planner> + Clone {
        std::iter::once(&self.first).chain(&self.others)
    }

    /// Whether there is more than one.
    pub fn are_several(&self) -> bool {
        !self.others.is_empty()
    }

    /// The site.
    pub fn site(&self) -> &Site {
        self.first.site()
    }

    /// The planner that found a window.
    pub fn of(&self, window: &Window) -> &Planner {
        let found = self.iter().find(|planner| planner.found(window));
        found.unwrap_or(&self.first)
    }

    /// The windows of all of them whose score is high enough, best score first;
    /// equal scores in order of time. Ranks are filled in.
    pub fn windows(&self) -> Vec<Window> {
        let mut windows: Vec<Window> = self.iter().flat_map(Planner::worthwhile).collect();
        windows.sort_by(|a, b| {
            b.score
                .total_cmp(&a.score)
                .then(a.interval.start.total_cmp(&b.interval.start))
        });
        for (index, window) in windows.iter_mut().enumerate() {
            window.rank = index + 1;
        }
        windows
    }

    /// The best score of the windows that keep every rule but the lowest score;
    /// `None` if there are none, or no lowest score.
    pub fn best_score_below(&self) -> Option<f64> {
        let with_least = self
            .iter()
            .filter(|planner| planner.rules().min_score() > 0.0);
        let windows = with_least.flat_map(Planner::windows_of_any_score);
        windows.map(|window| window.score).reduce(f64::max)
    }

    /// The kinds of light asked for, each once, in order.
    pub fn kinds(&self) -> Vec<LightKind> {
        kinds_of(self.iter())
    }
}

/// The kinds of light that some planners ask for, each once, in order.
pub fn kinds_of<'a>(planners: impl IntoIterator<Item = &'a Planner>) -> Vec<LightKind> {
    let mut kinds = Vec::new();
    for planner in planners {
        let light = planner.rules().light;
        if !kinds.contains(&light) {
            kinds.push(light);
        }
    }
    kinds
}

impl From<Planner> for SitePlanners {
    fn from(first: Planner) -> Self {
        Self {
            first,
            others: Vec::new(),
        }
    }
}

impl Planner {
    /// Whether a window of this site was found under these rules.
    fn found(&self, window: &Window) -> bool {
        let rules = self.rules();
        rules.light == window.light && rules.brief == window.brief
    }
}

impl Season {
    /// The planners of a site for each of some rules over this season. Rules
    /// that were not made for the site, or none, are refused.
    ///
    /// # Errors
    ///
    /// As [`Season::planner`].
    pub fn site_planners<R: Into<Arc<Rules>>>(
        &self,
        site: impl Into<Arc<Site>>,
        rules: impl IntoIterator<Item = R>,
    ) -> Result<SitePlanners, PlanError> {
        let site = site.into();
        let planner = |rules: R| self.planner(Arc::clone(&site), rules);
        let mut rules = rules.into_iter();
        let first = planner(rules.next().ok_or(PlanError::NoRules)?)?;
        let others = rules.map(planner).collect::<Result<_, _>>()?;
        Ok(SitePlanners { first, others })
    }
}

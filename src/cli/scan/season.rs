//! `scan --season`: the season in characters.

use super::{circumstances::Circumstances, pages::Page};
use crate::cli::{asked_rules::AskedRules, batch::Ready, manners::Failure};
use rakelight::{
    report::season::SeasonText,
    rule::Rules,
    scene::Dates,
    search::{LUNATION_DAYS, Planner, Season, lunations},
};

/// Finds every night of a season, in one row per lunar month.
pub struct SeasonPages<'a> {
    /// Covers whole lunar months, so more than the evenings asked for.
    season: Season,
    dates: Dates,
    asked_rules: &'a AskedRules,
    width: usize,
}

impl<'a> SeasonPages<'a> {
    pub fn new(at: &Circumstances<'a>, width: usize) -> Self {
        Self {
            season: Season::new(at.dates.widened(LUNATION_DAYS)),
            dates: at.dates,
            asked_rules: at.asked_rules,
            width,
        }
    }

    /// The season of a site.
    pub fn page(&self, Ready { site, .. }: &Ready) -> Result<Page, Failure> {
        let planners = self.season.planners(site, &self.asked_rules.at(site))?;
        let rows = lunations(&planners, self.dates);
        let rules = || planners.iter().map(Planner::rules);
        let mut text = Vec::new();
        SeasonText {
            site,
            target: rules().next().map_or("core", Rules::target_name),
            kinds: &rules().map(|rules| rules.light).collect::<Vec<_>>(),
            lunations: &rows,
            width: self.width,
        }
        .write(&mut text)?;
        let mut nights = rows.iter().flat_map(|lunation| &lunation.nights);
        Ok(Page {
            text,
            found: nights.any(|mark| mark.found.is_some()),
        })
    }
}

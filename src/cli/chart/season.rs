//! `rakelight chart season`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
    season_limit,
};
use crate::cli::{
    args::{BriefArgs, RangeArgs, SiteArgs},
    asked_rules::AskedRules,
    batch::{Batch, Reading, Writer},
    inputs,
    manners::{Failure, Outcome, progress::Progress},
};
use clap::Args;
use rakelight::{
    chart::{SeasonChart, SeasonPanel, places_with_views},
    rule::Rules,
    scene::Site,
    search::{LUNATION_DAYS, Lunation, Planner, Season, kinds_of, lunations},
};
use std::sync::Arc;

#[derive(Debug, Args)]
pub struct ChartSeasonArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub range: RangeArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

/// Collects the sites, so that a picture of too many is refused before any of
/// it is drawn.
struct Gathered<'a>(&'a mut Vec<Arc<Site>>);

impl Writer for Gathered<'_> {
    type Answer = Arc<Site>;

    fn found(&mut self) -> Option<&mut bool> {
        None
    }

    fn take(&mut self, site: Arc<Site>) -> Result<(), Failure> {
        self.0.push(site);
        Ok(())
    }

    fn end(self) -> Result<bool, Failure> {
        Ok(true)
    }
}

pub fn run(args: &ChartSeasonArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
    let quiet = args.picture.output.quiet;
    let asked_rules = AskedRules::read(&args.brief)?;
    let reading = Reading {
        keep_going: false,
        // Nothing is printed about sites whose picture may be refused.
        quiet: true,
        lists_left_out: false,
        closing: false,
        ids: None,
        counts_by: None,
    };
    let sites = inputs::sites(&args.place, &asked_rules.defaults, quiet)?;
    let sites = args.picture.output.conventions.of_all(sites);
    let mut batch = Batch::begin(sites, &asked_rules, reading);
    let here = batch.here();
    let mut sites = Vec::new();
    let progress = Progress::begin(&[], false);
    batch.ask(progress, |ready| Ok(ready.site), Gathered(&mut sites))?;
    let dates = args.range.dates(here)?;
    let (first, last) = (dates.first(), dates.last());
    let look = look(&args.picture);
    let kind = (format(&args.picture)?, look.size);
    let places = places_with_views(sites.iter().map(Arc::as_ref));
    season_limit::check(kind, (sites.len(), places), first, last)?;
    let season = Season::new(dates.widened(LUNATION_DAYS));
    let mut rows: Vec<(Vec<Planner>, Vec<Lunation>)> = Vec::new();
    for site in sites {
        let planners = season.planners(&site, &asked_rules.at(&site))?;
        let lunations = lunations(&planners, dates);
        rows.push((planners, lunations));
    }
    let kinds = kinds_of(rows.iter().flat_map(|(planners, _)| planners));
    let planners = || rows.iter().flat_map(|(planners, _)| planners);
    let weighed = Rules::are_weighed(planners().map(Planner::rules));
    let panels = rows
        .iter()
        .filter_map(|(planners, lunations)| {
            let planner = planners.first()?;
            Some(SeasonPanel {
                site: planner.site(),
                rules: planner.rules(),
                lunations,
            })
        })
        .collect();
    let picture = SeasonChart {
        first,
        last,
        kinds,
        weighed,
        panels,
    }
    .draw(look);
    let outcome = write(&picture, &args.picture)?;
    if !quiet {
        for planner in rows.iter().filter_map(|(planners, _)| planners.first()) {
            inputs::say_found_zone(planner.site());
        }
    }
    Ok(outcome)
}

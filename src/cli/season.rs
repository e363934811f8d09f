//! `rakelight scan --season`: the season in characters. Also which kinds of
//! night a season shows.

use super::{
    Outcome,
    args::ScanArgs,
    batch::Batch,
    failure::Failure,
    inputs::{self, Wishes},
    output::Output,
    progress::Progress,
};
use rakelight::{
    input::Faults,
    report::season::SeasonText,
    rule::{LIGHT, Rules},
    scene::{Dates, LightKind, Site},
    search::{LUNATION_DAYS, Planner, Season, lunations},
};
use rayon::prelude::*;
use std::{io::Write, sync::Arc};

/// The rules of every kind of night that a season shows: the one asked for,
/// else raking, blend and dark.
pub fn kinds(wishes: &Wishes, site: &Site) -> Result<Vec<Rules>, Faults> {
    if wishes.at(site).value_of(&LIGHT).is_some() {
        return Ok(vec![inputs::rules(wishes, site)?]);
    }
    [LightKind::Raking, LightKind::Blend, LightKind::Dark]
        .into_iter()
        .map(|light| {
            let mut wishes = wishes.clone();
            wishes.options.put(&LIGHT, Some(light.into()));
            if light == LightKind::Dark {
                // Rules about moonlight say nothing about a night without.
                let mut brief = wishes.at(site);
                brief.forget_moonlight();
                return Rules::new(&brief, site).map_err(|error| inputs::no_subject(&error));
            }
            inputs::rules(&wishes, site)
        })
        .collect()
}

/// A planner for each kind of night.
pub fn planners(
    season: &Season,
    site: &Arc<Site>,
    kinds: Vec<Rules>,
) -> Result<Vec<Planner>, Failure> {
    kinds
        .into_iter()
        .map(|rules| Ok(season.planner(Arc::clone(site), rules)?))
        .collect()
}

/// Writes every site's season.
pub fn write(
    batch: &mut Batch<'_>,
    wishes: &Wishes,
    dates: Dates,
    args: &ScanArgs,
    out: &mut Output,
) -> Result<Outcome, Failure> {
    let season = Season::new(dates.widened(LUNATION_DAYS));
    let progress = Progress::begin(args, out, false);
    let mut found = false;
    let mut pages = 0;
    loop {
        let chunk = batch.next()?;
        if chunk.is_empty() {
            break;
        }
        let answers: Vec<Result<(Vec<u8>, bool), Failure>> = chunk
            .par_iter()
            .map(|(site, _)| {
                let answer = page(&season, dates, wishes, site);
                progress.site_done(0);
                answer
            })
            .collect();
        for ((site, _), answer) in chunk.iter().zip(answers) {
            let (page, any) = answer?;
            found |= any;
            if !args.output.quiet {
                inputs::say_assumed_zone(site);
            }
            if pages > 0 {
                writeln!(out)?;
            }
            pages += 1;
            out.write_all(&page)?;
        }
    }
    Ok(if found {
        Outcome::Done
    } else {
        Outcome::NothingFound
    })
}

/// One site's season, and whether any night of it was found.
fn page(
    season: &Season,
    dates: Dates,
    wishes: &Wishes,
    site: &Arc<Site>,
) -> Result<(Vec<u8>, bool), Failure> {
    let rules = kinds(wishes, site)?;
    let planners = planners(season, site, rules)?;
    let rows = lunations(&planners, dates);
    let found = rows
        .iter()
        .flat_map(|lunation| &lunation.nights)
        .any(|mark| mark.found.is_some());
    let rules = || planners.iter().map(Planner::rules);
    let mut page = Vec::new();
    SeasonText {
        site,
        target: rules().next().map_or("core", Rules::target_name),
        kinds: &rules().map(|rules| rules.light).collect::<Vec<_>>(),
        lunations: &rows,
    }
    .write(&mut page)?;
    Ok((page, found))
}

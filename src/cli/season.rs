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
use chrono::NaiveDate;
use rakelight::{
    report::season::SeasonText,
    rule::{LIGHT, Rules},
    scan::{Season, lunations, season_around},
    scene::{Faults, LightKind, Site},
};
use rayon::prelude::*;
use std::io::Write;

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
                // Wishes about moonlight say nothing about a night without.
                let mut site = site.clone();
                site.brief.forget_moonlight();
                wishes.options.forget_moonlight();
                wishes.file.forget_moonlight();
                return inputs::rules(&wishes, &site);
            }
            inputs::rules(&wishes, site)
        })
        .collect()
}

/// Writes every site's season.
pub fn write(
    batch: &mut Batch<'_>,
    wishes: &Wishes,
    (first, last): (NaiveDate, NaiveDate),
    args: &ScanArgs,
    out: &mut Output,
) -> Result<Outcome, Failure> {
    let season = season_around(first, last);
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
                let answer = page(&season, (first, last), wishes, site);
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
    (first, last): (NaiveDate, NaiveDate),
    wishes: &Wishes,
    site: &Site,
) -> Result<(Vec<u8>, bool), Failure> {
    let rules = kinds(wishes, site)?;
    let rows = lunations(season, (first, last), site, &rules);
    let found = rows
        .iter()
        .flat_map(|lunation| &lunation.nights)
        .any(|mark| mark.found.is_some());
    let mut page = Vec::new();
    SeasonText {
        site,
        target: rules.first().map_or("core", Rules::target_name),
        kinds: &rules.iter().map(|rules| rules.light).collect::<Vec<_>>(),
        lunations: &rows,
    }
    .write(&mut page)?;
    Ok((page, found))
}

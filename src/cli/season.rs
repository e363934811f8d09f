//! `rakelight scan --season`: the season in characters. Also which kinds of
//! night a season shows.

use super::{
    Outcome,
    args::ScanArgs,
    failure::Failure,
    inputs::{self, SiteIter, Wishes},
    output::Output,
    scan,
};
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Direction,
    report::season::SeasonText,
    scan::{Rules, lunations, season_around},
    scene::{Brief, Faults, LightKind, Site},
};
use std::io::Write;

/// The rules of every kind of night that a season shows: the one asked for,
/// else raking, blend and dark.
pub fn kinds(wishes: &Wishes, site: &Site) -> Result<Vec<Rules>, Faults> {
    if wishes.at(site).light.is_some() {
        return Ok(vec![inputs::rules(wishes, site)?]);
    }
    [LightKind::Raking, LightKind::Blend, LightKind::Dark]
        .into_iter()
        .map(|light| {
            let mut wishes = wishes.clone();
            wishes.options.light = Some(light);
            if light == LightKind::Dark {
                // Wishes about moonlight say nothing about a night without.
                let no_moon = |brief: &mut Brief| {
                    brief.moon_altitude = None;
                    brief.moon_fraction = None;
                    brief.light_angle = None;
                    brief.light_side = None;
                };
                let mut site = site.clone();
                no_moon(&mut site.brief);
                no_moon(&mut wishes.options);
                no_moon(&mut wishes.file);
                return inputs::rules(&wishes, &site);
            }
            inputs::rules(&wishes, site)
        })
        .collect()
}

/// Writes every site's season.
pub fn write(
    mut chunk: Vec<(Site, Rules)>,
    mut sites: SiteIter,
    wishes: &Wishes,
    (first, last): (NaiveDate, NaiveDate),
    args: &ScanArgs,
    mut out: Output,
    mut faults: Faults,
) -> Result<Outcome, Failure> {
    let season = season_around(first, last);
    let mut found = false;
    let mut pages = 0;
    while !chunk.is_empty() {
        for (site, _) in &chunk {
            let rules = kinds(wishes, site)?;
            let rows = lunations(&season, (first, last), site, &rules);
            found |= rows
                .iter()
                .flat_map(|lunation| &lunation.nights)
                .any(|mark| mark.found.is_some());
            if !args.output.quiet {
                inputs::say_assumed_zone(site);
            }
            if pages > 0 {
                writeln!(out)?;
            }
            pages += 1;
            let target = rules.first().map(|rules| rules.target);
            SeasonText {
                site,
                target: match target {
                    Some(Direction::Core) | None => "core",
                    Some(_) => "target",
                },
                kinds: &rules.iter().map(|rules| rules.light).collect::<Vec<_>>(),
                lunations: &rows,
            }
            .write(&mut out)?;
        }
        chunk = scan::next_chunk(&mut sites, wishes, &mut faults);
        if !args.keep_going && !faults.0.is_empty() {
            scan::drain(sites, wishes, &mut faults);
            return Err(faults.into());
        }
    }
    out.finish()?;
    let outcome = if found {
        Outcome::Done
    } else {
        Outcome::NothingFound
    };
    scan::left_out(faults, outcome)
}

//! `rakelight scan --summary`: the best night of each site and month.

use super::{
    Outcome,
    args::{ScanArgs, ScanFormat},
    batch::Batch,
    failure::Failure,
    inputs,
    output::{Output, say},
    progress::Progress,
};
use anyhow::anyhow;
use rakelight::{
    report::summary::{SiteMonths, Summary, write_csv, write_csv_header},
    search::{Season, months},
};
use rayon::prelude::*;
use std::{io::Write, sync::Arc};

/// Refuses formats that have no such summary.
pub fn check(args: &ScanArgs) -> Result<(), Failure> {
    if matches!(
        args.format(),
        ScanFormat::Table | ScanFormat::Csv | ScanFormat::Markdown
    ) {
        return Ok(());
    }
    Err(Failure::Said(anyhow!(
        "--summary is printed as a table, csv or markdown; for another format --per-month 1 \
         gives the best window of each month"
    )))
}

/// Writes every site's months; a table when all are done, CSV as they are.
pub fn write(
    args: &ScanArgs,
    season: &Season,
    batch: &mut Batch<'_>,
    out: &mut Output,
) -> Result<Outcome, Failure> {
    let csv = args.format() == ScanFormat::Csv;
    let progress = Progress::begin(args, out, !csv);
    if csv {
        write_csv_header(out)?;
    }
    let (first, last) = (season.dates().first(), season.dates().last());
    let mut found = false;
    let mut all: Vec<SiteMonths> = Vec::new();
    loop {
        let chunk = batch.next()?;
        if chunk.is_empty() {
            break;
        }
        let answers: Result<Vec<(SiteMonths, Vec<u8>, usize)>, Failure> = chunk
            .par_iter()
            .map(|(site, rules)| {
                let windows = season
                    .planner(Arc::clone(site), Arc::clone(rules))?
                    .windows();
                let months = months(first, last, &windows);
                let mut page = Vec::new();
                if csv {
                    let written = write_csv(&mut page, site, &months);
                    debug_assert!(written.is_ok(), "a vector takes all");
                }
                progress.site_done(windows.len());
                Ok((SiteMonths::of(site, &months), page, windows.len()))
            })
            .collect();
        for ((site, _), (months, page, windows)) in chunk.iter().zip(answers?) {
            found |= windows > 0;
            if !args.output.quiet {
                inputs::say_assumed_zone(site);
            }
            if csv {
                out.write_all(&page)?;
            } else {
                all.push(months);
            }
        }
    }
    drop(progress);
    let summary = Summary {
        sites: &all,
        first,
        last,
        width: out.width(),
    };
    match args.format() {
        ScanFormat::Csv => {}
        ScanFormat::Markdown => summary.write_markdown(out)?,
        _ => summary.write_table(out)?,
    }
    if found {
        return Ok(Outcome::Done);
    }
    if !args.output.quiet {
        say("No window at any site in these evenings; without --summary the scan says why.");
    }
    Ok(Outcome::NothingFound)
}

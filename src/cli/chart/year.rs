//! `rakelight chart year`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, Here, RangeArgs, SiteArgs},
    asked_rules::AskedRules,
    inputs,
    manners::{
        Failure, Outcome,
        typed::{PATH_SIGNS, quoted},
    },
    site_stream::alone,
};
use anyhow::anyhow;
use chrono::{Days, Months};
use clap::Args;
use rakelight::{
    chart::{Picture, YearChart},
    input::Faults,
    scene::{Dates, Site, shown},
    search::Season,
};
use std::sync::Arc;

#[derive(Debug, Args)]
pub struct ChartYearArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub range: RangeArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

/// The most sites on one sheet.
const MOST_SITES: usize = 2;
/// The most years: each has a panel of its own.
const MOST_YEARS: u32 = 3;

pub fn run(args: &ChartYearArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
    let asked_rules = AskedRules::read(&args.brief)?;
    let sites = sites(args, &asked_rules)?;
    let first = sites
        .first()
        .ok_or_else(|| Failure::Reported(anyhow!("found no site")))?;
    let dates = args.range.dates(Here {
        zone: first.zone,
        longitude_deg: first.longitude_deg,
    })?;
    check_years(dates)?;
    let season = Season::new(dates);
    let mut pictures = Vec::new();
    for site in &sites {
        let planners = season.site_planners(Arc::clone(site), asked_rules.all_rules(site)?)?;
        let leading = planners.first();
        let nights = planners.hours();
        let advice = leading.study().map(|study| leading.advice(&study));
        let would_add = advice
            .as_ref()
            .map_or_else(Vec::new, |advice| leading.would_add(advice));
        let chart = YearChart {
            site: leading.site(),
            rules: leading.rules(),
            kinds: planners.kinds(),
            dates,
            nights: &nights,
            advice: advice.as_ref(),
            would_add: &would_add,
            on_a_sheet: sites.len(),
        };
        pictures.push(chart.draw(look(&args.picture).numbered(pictures.len() + 1)));
    }
    let outcome = write(&Picture::stacked(pictures), &args.picture)?;
    if !args.picture.output.quiet {
        for site in &sites {
            inputs::say_found_zone(site);
        }
    }
    Ok(outcome)
}

/// The sites or views, two at most.
fn sites(args: &ChartYearArgs, asked_rules: &AskedRules) -> Result<Vec<Arc<Site>>, Failure> {
    let output = &args.picture.output;
    let given = inputs::sites(&args.place, &asked_rules.defaults, output.quiet)?;
    let mut sites: Vec<Arc<Site>> = Vec::new();
    let mut faults = Faults::default();
    for site in alone(output.conventions.of_all(given)) {
        match site {
            Ok(site) => sites.push(Arc::new(site)),
            Err(wrong) => faults.extend(wrong),
        }
        if sites.len() > MOST_SITES {
            break;
        }
    }
    if !faults.0.is_empty() {
        return Err(faults.into());
    }
    match sites.len() > MOST_SITES {
        true => Err(too_many(args, &sites)),
        false => Ok(sites),
    }
}

fn too_many(args: &ChartYearArgs, sites: &[Arc<Site>]) -> Failure {
    let titles: Vec<String> = sites.iter().map(|site| shown(&site.title())).collect();
    let addresses = inputs::addresses(&args.place, sites.iter().map(|site| &**site));
    let typed: Vec<String> = addresses
        .iter()
        .take(MOST_SITES)
        .filter_map(|address| quoted(address, PATH_SIGNS))
        .collect();
    let remedy = match typed.len() == MOST_SITES {
        true => format!("write {}", typed.join(" ")),
        false => "name two of them".to_owned(),
    };
    Failure::Reported(anyhow!(
        "found {} or more, expected one site or view, or two; {remedy}",
        titles.join(", ")
    ))
}

/// Refuses more years than a sheet has room for.
fn check_years(dates: Dates) -> Result<(), Failure> {
    let most = dates
        .first()
        .checked_add_months(Months::new(12 * MOST_YEARS))
        .and_then(|after| after.checked_sub_days(Days::new(1)));
    match most {
        Some(most) if dates.last() > most => Err(Failure::Reported(anyhow!(
            "found the evenings from {} to {}, expected {MOST_YEARS} years at most; use --to {most}",
            dates.first(),
            dates.last()
        ))),
        _ => Ok(()),
    }
}

//! `rakelight chart cluster`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, SiteArgs, WHERE, WeatherArgs, day::day},
    asked_rules::AskedRules,
    manners::{Failure, Outcome},
    one_site::OnePlace,
    values,
};
use chrono::{Days, NaiveDate};
use clap::Args;
use rakelight::{
    chart::{ClusterChart, Picture},
    scene::{Dates, Day},
    search::{CLUSTER_NIGHTS, NightHours, Season, cluster_around},
};
use std::{collections::BTreeSet, sync::Arc};

#[derive(Debug, Args)]
pub struct ChartClusterArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// An evening among them: YYYY-MM-DD, fri
    ///
    /// Or today, tonight, tomorrow, a day of the week (the next one; today
    /// counts).
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Day,

    /// So many evenings with that in the middle
    ///
    /// By default those that belong together: the run of evenings with a window
    /// around the date, and one more at either end, 3 to 11 in all.
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(3, 31), help_heading = WHERE)]
    pub nights: Option<u32>,

    #[command(flatten)]
    pub weather: WeatherArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

pub fn run(args: &ChartClusterArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
    let quiet = args.picture.output.quiet;
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, &args.picture.output)?;
    let on = place.first()?.evening(args.on)?;
    let one = Dates::one(on).map_err(|error| Failure::Reported(error.into()))?;
    let dates = one.widened(args.nights.map_or(CLUSTER_NIGHTS, u64::from));
    let place = place.with_weather_over(&args.weather, dates, quiet)?;
    let season = Season::new(dates);
    let mut views = Vec::new();
    for view in &place.views {
        let planners =
            season.site_planners(Arc::clone(&view.site), asked_rules.all_rules(&view.site)?)?;
        let nights = planners.hours();
        views.push((planners, nights));
    }
    let [first, last] = match args.nights {
        Some(nights) => around(on, nights, dates),
        None => {
            let nights = views.iter().flat_map(|(_, nights)| nights);
            let found = nights.filter(|night| !night.windows.is_empty());
            let found: BTreeSet<NaiveDate> = found.map(|night| night.night.date).collect();
            cluster_around(on, &found)
        }
    };
    let mut pictures = Vec::new();
    for (planners, nights) in &mut views {
        nights.retain(|night: &NightHours| (first..=last).contains(&night.night.date));
        let chart = ClusterChart {
            site: planners.site(),
            rules: planners.first().rules(),
            kinds: planners.kinds(),
            nights,
        };
        pictures.push(chart.draw(look(&args.picture).numbered(pictures.len() + 1)));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

/// So many evenings with a date in the middle, or one before it.
fn around(on: NaiveDate, nights: u32, known: Dates) -> [NaiveDate; 2] {
    let before = Days::new(u64::from((nights - 1) / 2));
    let first = on.checked_sub_days(before).unwrap_or(on).max(known.first());
    let last = first.checked_add_days(Days::new(u64::from(nights - 1)));
    [first, last.unwrap_or(on).min(known.last())]
}

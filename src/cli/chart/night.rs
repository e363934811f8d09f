//! `rakelight chart night`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, SiteArgs, WHERE, day::day},
    asked_rules::AskedRules,
    manners::{Failure, Outcome},
    one_site::OnePlace,
};
use clap::Args;
use rakelight::{
    chart::{NightChart, Picture},
    scene::Day,
    search::NightSeries,
};

#[derive(Debug, Args)]
pub struct ChartNightArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening: YYYY-MM-DD, tonight, fri
    ///
    /// Or today, tomorrow, a day of the week (the next one; today counts).
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Day,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

pub fn run(args: &ChartNightArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, &args.picture.output)?;
    let on = place.first()?.evening(args.on)?;
    let mut pictures = Vec::new();
    for planner in place.planners(on)? {
        let series = planner.series(on, NightSeries::STEPS)?;
        let chart = NightChart {
            site: planner.site(),
            rules: planner.rules(),
            series: &series,
        };
        pictures.push(chart.draw(look(&args.picture).numbered(pictures.len() + 1)));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

//! `rakelight chart night`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, SiteArgs, WHERE, day::day},
    asked_rules::AskedRules,
    manners::{Failure, Outcome},
    night::plan_of,
    one_site::OnePlace,
};
use clap::Args;
use rakelight::{chart::NightChart, plan::PlanSettings, scene::Day};

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
    let planners = place.planners(on)?;
    let settings = PlanSettings::default();
    let plan = |planner| plan_of(planner, on, &settings);
    let plans = planners.iter().map(plan).collect::<Result<Vec<_>, _>>()?;
    let charts = planners.iter().zip(&plans);
    let charts = charts.map(|(planner, plan)| NightChart::of(planner, plan));
    let charts = charts.collect::<Result<Vec<_>, _>>()?;
    let picture = NightChart::draw_all(&charts, look(&args.picture));
    write(&picture, &args.picture)
}

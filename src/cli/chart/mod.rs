//! `rakelight chart`.

pub mod args;
mod picture;
mod png;
mod season;
mod season_limit;

use super::{Outcome, asked_rules::AskedRules, manners::Failure, one_site::OneSite};
use args::{ChartCommand, ChartFrameArgs, ChartNightArgs};
use picture::{format, palette, write};
use rakelight::{
    chart::{FrameChart, NightChart},
    search::NightSeries,
};

pub fn run(command: &ChartCommand) -> Result<Outcome, Failure> {
    let picture = match command {
        ChartCommand::Night(args) => &args.picture,
        ChartCommand::Frame(args) => &args.picture,
        ChartCommand::Season(args) => &args.picture,
    };
    format(picture)?;
    match command {
        ChartCommand::Night(args) => night(args),
        ChartCommand::Frame(args) => frame(args),
        ChartCommand::Season(args) => season::run(args),
    }
}

fn night(args: &ChartNightArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OneSite::read(&args.place, asked_rules, args.picture.output.quiet)?;
    place.check_night(args.on)?;
    let planner = place.planner(args.on, 0)?;
    let series = planner.series(args.on, NightSeries::STEPS)?;
    let picture = NightChart {
        site: planner.site(),
        rules: planner.rules(),
        series: &series,
    }
    .draw(palette(&args.picture));
    write(&picture, &args.picture)
}

fn frame(args: &ChartFrameArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OneSite::read(&args.place, asked_rules, args.picture.output.quiet)?;
    let moment = place.moment(&args.time)?;
    let planner = place.planner_at(moment, 0)?;
    let picture = FrameChart::at(&planner, moment)?.draw(palette(&args.picture));
    write(&picture, &args.picture)
}

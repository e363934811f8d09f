//! `rakelight chart`.

pub mod args;
mod picture;
mod png;
mod season;
mod season_limit;

use super::{
    Outcome, asked_rules::AskedRules, manners::Failure, one_site::OnePlace, photo::at_instant,
};
use args::{ChartCommand, ChartFrameArgs, ChartNightArgs};
use picture::{format, palette, write};
use rakelight::{
    chart::{FrameChart, NightChart, Picture},
    scene::Zone,
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
        pictures.push(chart.draw_numbered(palette(&args.picture), pictures.len() + 1));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

fn frame(args: &ChartFrameArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let output = &args.picture.output;
    let (place, moment) = if args.at.photo.is_some() {
        // A photo is of one view.
        let (view, moment, _) = at_instant((&args.place, &args.at, &asked_rules), output)?;
        (OnePlace::of(view, args.picture.output.quiet), moment)
    } else {
        let place = OnePlace::read(&args.place, &asked_rules, output)?;
        // Without a photo clap wants a time.
        let time = args.at.time.as_deref().unwrap_or_default();
        let moment = place.first()?.moment(time, output.quiet)?;
        (place, moment)
    };
    let mut pictures = Vec::new();
    for planner in place.planners(Zone::UTC.local_date(moment))? {
        let chart = FrameChart::at(&planner, moment)?;
        pictures.push(chart.draw_numbered(palette(&args.picture), pictures.len() + 1));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

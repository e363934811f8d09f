//! `rakelight chart frame`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, InstantArgs, SiteArgs},
    asked_rules::AskedRules,
    manners::{Failure, Outcome},
    one_site::OnePlace,
    photo::at_instant,
};
use clap::Args;
use rakelight::{
    chart::{FrameChart, Picture},
    scene::Zone,
};

#[derive(Debug, Args)]
pub struct ChartFrameArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub at: InstantArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

pub fn run(args: &ChartFrameArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
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
        pictures.push(chart.draw(look(&args.picture).numbered(pictures.len() + 1)));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

//! `rakelight chart skyline`.

use super::{
    args::PictureArgs,
    picture::{format, look, write},
};
use crate::cli::{
    args::{BriefArgs, PRINT, SiteArgs, WHERE, day::day},
    asked_rules::AskedRules,
    manners::{Failure, Outcome},
    one_site::OnePlace,
    values,
};
use clap::{Args, ValueEnum};
use rakelight::{
    chart::{Around, Picture, SkylineChart},
    plan::{MOST_RIDGE_NIGHTS, RIDGE_NIGHTS_AROUND},
    scene::Day,
};

#[derive(Debug, Args)]
pub struct ChartSkylineArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening: YYYY-MM-DD, tonight, fri
    ///
    /// Or today, tomorrow, a day of the week (the next one; today counts).
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Day,

    /// As many nights from there on [default: its cluster]
    ///
    /// 1 to 7. By default the nights without a gap about it that have a window,
    /// two to either side at most, one to either side at least.
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, MOST_RIDGE_NIGHTS), help_heading = WHERE)]
    pub nights: Option<u32>,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// all round, or the side the camera looks at
    ///
    /// all or camera. [default: as far round as the paths go; on a phone camera]
    #[arg(long, value_name = "SIDE", hide_possible_values = true, hide_short_help = true, help_heading = PRINT)]
    pub around: Option<Sides>,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sides {
    All,
    Camera,
}

pub fn run(args: &ChartSkylineArgs) -> Result<Outcome, Failure> {
    format(&args.picture)?;
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, &args.picture.output)?;
    let on = place.first()?.evening(args.on)?;
    let look = look(&args.picture);
    let around = match args.around {
        Some(Sides::All) => Around::All,
        Some(Sides::Camera) => Around::Camera,
        None => Around::usual(look.size),
    };
    let reach = args.nights.map_or(RIDGE_NIGHTS_AROUND, u64::from);
    let mut pictures = Vec::new();
    for planner in place.planners_around(on, reach)? {
        let nights = planner.ridge_nights(on, args.nights)?;
        let chart = SkylineChart::of(&planner, &nights, around)?;
        pictures.push(chart.draw(look.numbered(pictures.len() + 1)));
    }
    write(&Picture::stacked(pictures), &args.picture)
}

//! The arguments of `chart`.

use crate::cli::args::{
    BriefArgs, InstantArgs, PRINT, RangeArgs, SiteArgs, SiteOutputArgs, WHERE,
    brief::rules_in_long_help, day::day, examples,
};
use clap::{Args, Subcommand, ValueEnum};
use rakelight::scene::Day;

#[derive(Debug, Subcommand)]
pub enum ChartCommand {
    /// One night: altitude over local time
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_NIGHT)]
    Night(Box<ChartNightArgs>),
    /// The view from the camera at one instant
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_FRAME)]
    Frame(Box<ChartFrameArgs>),
    /// A season: one row per lunar month, one mark per night
    ///
    /// Shows the kind of night asked for with --light (or by the site's
    /// brief); without one, raking, else blend, else dark nights.
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_SEASON)]
    Season(Box<ChartSeasonArgs>),
}

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

#[derive(Debug, Args)]
pub struct ChartSeasonArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub range: RangeArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct PictureArgs {
    /// As svg or png [default: as -o ends, else svg]
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<PictureFormat>,

    /// light to print, dark for the night
    ///
    /// Dark ink on white, or dim ink on black.
    #[arg(long, value_name = "PAPER", hide_possible_values = true, default_value = "light", help_heading = PRINT)]
    pub paper: Paper,

    #[command(flatten)]
    pub output: SiteOutputArgs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PictureFormat {
    Svg,
    Png,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    Light,
    Dark,
}

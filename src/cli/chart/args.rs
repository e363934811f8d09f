//! The arguments that every kind of `chart` has.

use super::{
    cluster::ChartClusterArgs, frame::ChartFrameArgs, night::ChartNightArgs,
    season::ChartSeasonArgs, skyline::ChartSkylineArgs, year::ChartYearArgs,
};
use crate::cli::args::{Deferred, PRINT, SiteOutputArgs, brief::rules_in_long_help, examples};
use clap::{Args, Subcommand, ValueEnum};

#[derive(Debug, Subcommand)]
pub enum ChartCommand {
    /// One night: when to shoot, and what opens and closes the window
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_NIGHT)]
    Night(Deferred<ChartNightArgs>),
    /// The view from the camera at one instant
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_FRAME)]
    Frame(Deferred<ChartFrameArgs>),
    /// A season: one row per lunar month, one mark per night
    ///
    /// Shows the kind of night asked for with --light (or by the site's
    /// brief); without one, raking, else blend, else dark nights.
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_SEASON)]
    Season(Deferred<ChartSeasonArgs>),
    /// The land all round, and when Moon and target clear it
    ///
    /// The paths of the Moon on several nights, and that of the target, over the
    /// site's skyline (`rakelight sites horizon` makes one), else over the level
    /// horizon.
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_SKYLINE)]
    Skyline(Deferred<ChartSkylineArgs>),
    /// A year by date and hour: how often, when, why not more often
    ///
    /// Night, the target's hours, the Moon and the windows of a site, or of two
    /// one beneath the other, with what to change for more.
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_YEAR)]
    Year(Deferred<ChartYearArgs>),
    /// Neighbouring evenings on one clock: which one, and its spare
    ///
    /// Night, target, Moon and windows of each evening around a date, the best
    /// of them and the spare in case of cloud; without a window the rule that
    /// fails.
    #[command(mut_args = rules_in_long_help, after_help = examples::RULES_SHORT, after_long_help = examples::CHART_CLUSTER)]
    Cluster(Deferred<ChartClusterArgs>),
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

    /// a4 for paper, phone for a screen
    ///
    /// As wide as a sheet of A4 within its margins, or 390 pixels.
    #[arg(long, value_name = "SIZE", hide_possible_values = true, default_value = "a4", help_heading = PRINT)]
    pub size: PictureSize,

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

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PictureSize {
    A4,
    Phone,
}

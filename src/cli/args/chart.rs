//! What `chart` takes.

use super::{BriefArgs, OutputArgs, PRINT, SiteArgs, WHERE};
use crate::cli::values;
use clap::{Args, Subcommand, ValueEnum};

#[derive(Debug, Subcommand)]
pub enum ChartCommand {
    /// One night: altitude over local time
    Night(Box<ChartNightArgs>),
    /// The view from the camera at one instant
    Frame(Box<ChartFrameArgs>),
    /// A season: one row a lunation, one mark a night
    ///
    /// Shows the kind of night asked for with --light (or by the site's
    /// brief); without one, raking, else blend, else dark nights.
    Season(Box<ChartSeasonArgs>),
}

#[derive(Debug, Args)]
pub struct ChartNightArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening, YYYY-MM-DD
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub on: chrono::NaiveDate,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct ChartFrameArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The instant: RFC 3339, or local time of the site (2027-05-13T21:30)
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct ChartSeasonArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// First evening, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<chrono::NaiveDate>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<chrono::NaiveDate>,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct PictureArgs {
    /// Output format [default: what the name after -o ends in, else svg]
    #[arg(long, value_name = "FORMAT", help_heading = PRINT)]
    pub format: Option<PictureFormat>,

    /// Dark ink on white for print, or dim ink on black for the dark
    #[arg(long, value_name = "PAPER", default_value = "light", help_heading = PRINT)]
    pub paper: Paper,

    #[command(flatten)]
    pub output: OutputArgs,
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

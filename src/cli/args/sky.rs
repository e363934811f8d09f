//! What `sky` and `phases` take.

use super::{OutputArgs, PRINT, SiteArgs, TextFormat, WHERE, brief::wish, headings::STAND};
use crate::cli::values;
use clap::Args;

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The instant: RFC 3339, or local time of the site (2027-05-13T21:30)
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    /// What to follow: core, gal:L,B or icrs:RA,DEC in degrees [default: core]
    #[arg(long, value_name = "TARGET", value_parser = wish("target"), help_heading = STAND)]
    pub target: Option<String>,

    /// Where the camera looks: a true bearing, subject, target or arch
    #[arg(long, value_name = "DEG|subject|target|arch", value_parser = wish("facing"), help_heading = STAND)]
    pub facing: Option<String>,

    /// Output format
    #[arg(long, value_name = "FORMAT", default_value = "table", help_heading = PRINT)]
    pub format: TextFormat,

    #[command(flatten)]
    pub output: OutputArgs,
}

#[derive(Debug, Args)]
pub struct PhasesArgs {
    /// First day, YYYY-MM-DD, UTC [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date)]
    pub from: Option<chrono::NaiveDate>,

    /// Last day [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date)]
    pub to: Option<chrono::NaiveDate>,

    /// IANA time zone for the table; JSON is in UTC [default: UTC]
    #[arg(long, value_name = "ZONE")]
    pub time_zone: Option<String>,

    /// Output format
    #[arg(long, value_name = "FORMAT", default_value = "table")]
    pub format: TextFormat,

    #[command(flatten)]
    pub output: OutputArgs,
}

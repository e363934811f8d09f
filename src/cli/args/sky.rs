//! What `sky` and `phases` take.

use super::{OutputArgs, PRINT, SiteArgs, TextFormat, ViewArgs, WHERE};
use crate::cli::values;
use clap::Args;

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// RFC 3339, or local time (2027-05-13T21:30)
    ///
    /// The instant; local time is that of the site.
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    #[command(flatten)]
    pub view: ViewArgs,

    /// As table or json [default: table]
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<TextFormat>,

    #[command(flatten)]
    pub output: OutputArgs,
}

#[derive(Debug, Args)]
pub struct PhasesArgs {
    /// First day, YYYY-MM-DD, UTC [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<chrono::NaiveDate>,

    /// Last day [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<chrono::NaiveDate>,

    /// IANA time zone of the table [default: UTC]
    ///
    /// JSON is in UTC.
    #[arg(long, value_name = "ZONE", help_heading = WHERE)]
    pub time_zone: Option<String>,

    /// As table or json [default: table]
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<TextFormat>,

    #[command(flatten)]
    pub output: OutputArgs,
}

//! The evenings of a command about many.

use super::WHERE;
use crate::cli::values;
use chrono::NaiveDate;
use clap::Args;

/// The first and the last evening, both looked at.
#[derive(Debug, Clone, Copy, Args)]
pub struct RangeArgs {
    /// First evening, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<NaiveDate>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<NaiveDate>,
}

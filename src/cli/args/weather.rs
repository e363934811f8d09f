//! How often nights are clear, and what cloud is foretold.

use super::headings::WHERE;
use clap::{Args, ValueHint};
use std::path::PathBuf;

#[derive(Debug, Clone, Default, Args)]
pub struct WeatherArgs {
    /// Clear nights of each month, a table
    ///
    /// Columns month (1 to 12), clear (a share from 0 to 1, or 60%) and, where it
    /// serves several, site. Replaces what the sites named say themselves.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, hide_short_help = true, help_heading = WHERE)]
    pub climate: Option<PathBuf>,

    /// A forecast of cloud, a table
    ///
    /// Columns time_utc, cloud (percent of the sky) and, where it serves several,
    /// site. Nights that it does not reach have no forecast. The score does not
    /// change.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, hide_short_help = true, help_heading = WHERE)]
    pub forecast: Option<PathBuf>,
}

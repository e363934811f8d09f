//! Which site.

use super::WHERE;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct SiteArgs {
    /// Site files (.toml), tables of sites (.csv), or - for such a table on
    /// standard input
    #[arg(value_name = "SITE")]
    pub sites: Vec<PathBuf>,

    /// Stand in for a site file: latitude, longitude (degrees, north and east
    /// positive) and elevation (metres)
    #[arg(long, value_name = "LAT,LON[,ELEVATION]", allow_hyphen_values = true, conflicts_with = "sites", help_heading = WHERE)]
    pub place: Option<String>,

    /// IANA time zone for --place [default: UTC]
    #[arg(long, value_name = "ZONE", requires = "place", conflicts_with = "sites", help_heading = WHERE)]
    pub time_zone: Option<String>,
}

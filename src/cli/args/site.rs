//! Which site.

use super::headings::WHERE;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct SiteArgs {
    /// Names or files of sites or points; - for standard input
    ///
    /// A name, such as saltbush-tank, is a file of that name and .toml, .csv,
    /// .gpx, .kml or .geojson here, else in a folder of RAKELIGHT_SITES. - is a
    /// table of sites on standard input. "saltbush-tank#north wall" is one view of
    /// a site, table.csv#ROW one row of a table, table.csv#ROW#VIEW one of its
    /// views, "hike.gpx#old mill" one point by name, hike.gpx#3 by number.
    #[arg(value_name = "SITE")]
    pub sites: Vec<PathBuf>,

    /// Latitude, longitude, elevation instead of a file
    ///
    /// In degrees, north and east positive, and metres; or in any other notation,
    /// in quotes: degrees, minutes and seconds, geo: and ISO 6709, UTM, MGRS, a
    /// link to a map. An elevation may have its unit (6230 ft).
    #[arg(long, value_name = "LAT,LON[,M]", allow_hyphen_values = true, conflicts_with = "sites", help_heading = WHERE)]
    pub place: Option<String>,

    /// IANA time zone for --place [default: its own]
    ///
    /// Near a border at which clocks change it must be given. An offset such as
    /// +05:30 or -8 is a zone whose clocks never change.
    #[arg(long, value_name = "ZONE", allow_hyphen_values = true, requires = "place", conflicts_with = "sites", help_heading = WHERE)]
    pub time_zone: Option<String>,
}

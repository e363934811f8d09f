//! Which instant: a time, or that of a photo.

use super::headings::WHERE;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct InstantArgs {
    /// Local time (2027-05-13T21:30), now, 21:30
    ///
    /// The instant: local time of the site, RFC 3339, now, or a time of day in
    /// the night that goes on.
    #[arg(long, value_name = "T", required_unless_present = "photo", help_heading = WHERE)]
    pub time: Option<String>,

    /// A photo: its place, time and lens
    ///
    /// By its Exif. --time and --place replace its own; a SITE gives what it lacks.
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub photo: Option<PathBuf>,
}

//! What `sites` takes.

use super::{OutputArgs, examples, headings::WHERE};
use crate::cli::values;
use clap::Subcommand;
use std::path::PathBuf;

const HOW: &str = "How to look";

#[derive(Debug, Subcommand)]
pub enum SitesCommand {
    /// Prove site files: every error of every file, with its place
    #[command(after_long_help = examples::SITES_CHECK)]
    Check {
        /// Names or files of sites (.toml, .csv); - for standard input
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Compute a site's skyline from elevation tiles (.hgt)
    ///
    /// Writes the azimuth_deg,altitude_deg profile that a site's [horizon]
    /// takes, with each ridge's distance and height.
    #[command(after_long_help = examples::SITES_HORIZON)]
    Horizon {
        /// Elevation tiles in the .hgt layout, such as S32E139.hgt
        #[arg(required = true, value_name = "TILE")]
        tiles: Vec<PathBuf>,

        /// The camera's place: latitude and longitude, degrees
        #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true, help_heading = WHERE)]
        place: String,

        /// Eye above the ground, metres
        #[arg(long, value_name = "M", default_value = "1.6", value_parser = values::number(0.0, 1000.0), help_heading = HOW)]
        eye_height_m: f64,

        /// From one direction to the next, degrees
        #[arg(long, value_name = "DEG", default_value = "0.5", value_parser = values::number(0.01, 30.0), help_heading = HOW)]
        step_deg: f64,

        /// How far to look, kilometres
        #[arg(long, value_name = "KM", default_value = "60", value_parser = values::number(0.2, 300.0), help_heading = HOW)]
        farthest_km: f64,

        /// Take ground without a tile as the sea
        #[arg(long, help_heading = HOW)]
        sea: bool,

        #[command(flatten)]
        output: OutputArgs,
    },
    /// Name the sites in your folders: name, place, file
    ///
    /// A file that can't be read is told and left out; then the exit code
    /// is 2.
    #[command(after_long_help = examples::SITES_LIST)]
    List {
        /// Folders of site files [default: those of RAKELIGHT_SITES]
        #[arg(value_name = "DIR")]
        folders: Vec<PathBuf>,
    },
    /// Write a commented site file to begin with
    #[command(after_long_help = examples::SITES_NEW)]
    New {
        /// The file to make; it must not be there yet. - for standard output
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

//! What `sites` takes.

use super::OutputArgs;
use crate::cli::values;
use clap::Subcommand;
use std::path::PathBuf;

#[derive(Debug, Subcommand)]
pub enum SitesCommand {
    /// Prove site files: every error of every file, with its place
    Check {
        /// Site files (.toml), tables of sites (.csv), or -
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Compute a site's skyline from elevation tiles (.hgt)
    ///
    /// Writes the azimuth_deg,altitude_deg profile that a site's [horizon]
    /// takes, with each ridge's distance and height.
    Horizon {
        /// Elevation tiles in the .hgt layout, such as S32E139.hgt
        #[arg(required = true, value_name = "TILE")]
        tiles: Vec<PathBuf>,

        /// The camera's place: latitude and longitude, degrees
        #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true)]
        place: String,

        /// Height of the eye above the ground, metres
        #[arg(long, value_name = "M", default_value = "1.6", value_parser = values::number(0.0, 1000.0))]
        eye_height_m: f64,

        /// Turn from one direction to the next, degrees
        #[arg(long, value_name = "DEG", default_value = "0.5", value_parser = values::number(0.01, 30.0))]
        step_deg: f64,

        /// How far to look, kilometres
        #[arg(long, value_name = "KM", default_value = "60", value_parser = values::number(0.2, 300.0))]
        farthest_km: f64,

        /// Take ground without a tile as the sea
        #[arg(long)]
        sea: bool,

        #[command(flatten)]
        output: OutputArgs,
    },
    /// Write a commented site file to begin with
    New {
        /// The file to make; it must not be there yet. - for standard output
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

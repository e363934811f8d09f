//! `rakelight sites`.

mod check;
mod list;
mod new;
mod skyline;

use super::{Outcome, args::examples, manners::Failure};
use check::CheckArgs;
use clap::Subcommand;
use list::ListArgs;
use new::NewArgs;
use skyline::SkylineArgs;

#[derive(Debug, Subcommand)]
pub enum SitesCommand {
    /// Check site files: every error in every file, with its place
    #[command(after_long_help = examples::SITES_CHECK)]
    Check(CheckArgs),
    /// Compute a site's skyline from elevation tiles (.hgt)
    ///
    /// Writes the azimuth_deg,altitude_deg profile that a site's [skyline]
    /// takes, with each ridge's distance and height.
    #[command(after_long_help = examples::SITES_SKYLINE)]
    Skyline(SkylineArgs),
    /// List the sites in your folders: name, place, file
    ///
    /// A file that can't be read is reported and skipped; then the exit code
    /// is 2.
    #[command(after_long_help = examples::SITES_LIST)]
    List(ListArgs),
    /// Write a commented site file to begin with, or a table (.csv)
    #[command(after_long_help = examples::SITES_NEW)]
    New(NewArgs),
}

pub fn run(command: &SitesCommand) -> Result<Outcome, Failure> {
    match command {
        SitesCommand::Check(args) => check::run(args),
        SitesCommand::Skyline(args) => skyline::run(args),
        SitesCommand::List(args) => list::run(args),
        SitesCommand::New(args) => new::run(args),
    }
}

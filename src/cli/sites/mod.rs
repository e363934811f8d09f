//! `rakelight sites`.

mod check;
mod horizon;
mod land;
mod list;
mod new;
mod skyline;

use super::{
    Outcome,
    args::{Deferred, examples},
    manners::Failure,
};
use check::CheckArgs;
use clap::Subcommand;
use horizon::HorizonArgs;
use list::ListArgs;
use new::NewArgs;
use skyline::SkylineArgs;

#[derive(Debug, Subcommand)]
pub enum SitesCommand {
    /// Check site files: every error in every file, with its place
    #[command(after_long_help = examples::SITES_CHECK)]
    Check(Deferred<CheckArgs>),
    /// Compute a site's skylines from elevation files and put them into it
    ///
    /// Writes NAME.skyline.csv and, for a subject whose place is known,
    /// NAME.subject-skyline.csv beside the site file, and their names into it,
    /// with the elevations that it lacks. Its comments, order and line ends
    /// stay. Of a table of sites a new table is written, and the skylines of all
    /// rows into a folder beside it.
    #[command(after_long_help = examples::SITES_HORIZON)]
    Horizon(Deferred<HorizonArgs>),
    /// Compute a skyline from elevation files (.hgt, GeoTIFF)
    ///
    /// Writes the azimuth_deg,altitude_deg profile that a site's [skyline]
    /// takes, with each ridge's distance and height.
    #[command(after_long_help = examples::SITES_SKYLINE)]
    Skyline(Deferred<SkylineArgs>),
    /// List the sites in your folders: name, place, file
    ///
    /// A file that can't be read is reported and skipped; then the exit code
    /// is 3, or 2 if there is no other.
    #[command(after_long_help = examples::SITES_LIST)]
    List(Deferred<ListArgs>),
    /// Write a commented site file to begin with, or a table (.csv)
    #[command(after_long_help = examples::SITES_NEW)]
    New(Deferred<NewArgs>),
}

impl SitesCommand {
    /// Whether it has work for several threads.
    pub const fn computes(&self) -> bool {
        matches!(self, Self::Horizon(_) | Self::Skyline(_))
    }
}

pub fn run(command: &SitesCommand) -> Result<Outcome, Failure> {
    match command {
        SitesCommand::Check(args) => check::run(args),
        SitesCommand::Horizon(args) => horizon::run(args),
        SitesCommand::Skyline(args) => skyline::run(args),
        SitesCommand::List(args) => list::run(args),
        SitesCommand::New(args) => new::run(args),
    }
}

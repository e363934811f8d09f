//! `rakelight chart`.

pub mod args;
pub mod cluster;
pub mod frame;
pub mod night;
mod picture;
mod png;
pub mod season;
mod season_limit;
pub mod skyline;
pub mod year;

use super::{Outcome, manners::Failure};
use args::ChartCommand;

pub fn run(command: &ChartCommand) -> Result<Outcome, Failure> {
    match command {
        ChartCommand::Night(args) => night::run(args),
        ChartCommand::Frame(args) => frame::run(args),
        ChartCommand::Season(args) => season::run(args),
        ChartCommand::Skyline(args) => skyline::run(args),
        ChartCommand::Year(args) => year::run(args),
        ChartCommand::Cluster(args) => cluster::run(args),
    }
}

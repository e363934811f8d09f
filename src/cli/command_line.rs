//! The command line as it is typed: the program's own options, and every
//! command. The arguments of a command are defined in the command's own module.

use super::{
    args::{
        PRINT,
        brief::{brief_in_long_help, rules_in_long_help},
        examples::{self, RULES_SHORT, TRIP_SHORT},
    },
    chart::args::ChartCommand,
    exposure::ExposureArgs,
    handout::HandoutArgs,
    manners::completions::CompletionsArgs,
    manual::ManArgs,
    night::NightArgs,
    phases::PhasesArgs,
    scan::args::ScanArgs,
    sites::SitesCommand,
    sky::SkyArgs,
    trip::TripArgs,
    tripod::TripodArgs,
};
use clap::{Parser, Subcommand, ValueEnum};

#[derive(Debug, Parser)]
#[command(
    version,
    disable_version_flag = true,
    arg_required_else_help = true,
    max_term_width = 100,
    about = "Finds nights for Milky Way landscapes that a low Moon lights from the side",
    long_about = "Finds nights for landscape photographs of the Milky Way, above all nights when a \
                  low Moon lights the foreground from the side.",
    override_usage = "rakelight [OPTIONS] <COMMAND>\n       rakelight --version [--verbose]",
    after_help = examples::ROOT_SHORT,
    after_long_help = examples::ROOT
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Option<Command>,

    /// Print the version
    #[arg(short = 'V', long)]
    pub version: bool,

    /// With --version: models and data in use, how good, how long they hold
    #[arg(long, requires = "version", hide_short_help = true)]
    pub verbose: bool,

    /// Colour and weight: auto, always or never
    ///
    /// auto: on a terminal, unless NO_COLOR is set or TERM is dumb.
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        hide_possible_values = true,
        hide_short_help = true,
        help_heading = PRINT
    )]
    pub color: Color,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Color {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find and rank nights
    #[command(after_help = examples::SCAN_SHORT, after_long_help = examples::SCAN)]
    Scan(Box<ScanArgs>),
    /// The best trip: which place on each of several evenings
    ///
    /// The exact optimum over all evenings and places within reach of each
    /// other, with a spare place or night for each.
    #[command(mut_args = rules_in_long_help, after_help = TRIP_SHORT, after_long_help = examples::TRIP)]
    Trip(Box<TripArgs>),
    /// The timetable of one night: events, light, settings, advice
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::NIGHT)]
    Night(Box<NightArgs>),
    /// The same night with its pictures as one HTML page
    ///
    /// The page needs no other file: for the phone, and to print.
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::HANDOUT)]
    Handout(Box<HandoutArgs>),
    /// Tripod position that puts the target over the subject
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::TRIPOD)]
    Tripod(Box<TripodArgs>),
    /// Sun, Moon and target at one instant, and how bright it is
    #[command(after_long_help = examples::SKY)]
    Sky(Box<SkyArgs>),
    /// Quarters of the Moon, perigees and apogees, lunar eclipses
    #[command(after_long_help = examples::PHASES)]
    Phases(PhasesArgs),
    /// Exposure for a given light, trail limit, field of view
    #[command(mut_args = brief_in_long_help, after_long_help = examples::EXPOSURE)]
    Exposure(Box<ExposureArgs>),
    /// The same answers as pictures
    #[command(after_long_help = examples::CHART)]
    Chart {
        #[command(subcommand)]
        command: ChartCommand,
    },
    /// Check, list and write site files
    #[command(after_long_help = examples::SITES)]
    Sites {
        #[command(subcommand)]
        command: SitesCommand,
    },
    /// Completions for a shell: commands, options, values, files, sites
    ///
    /// The script goes to standard output; the examples show where a shell
    /// looks for it. Names of sites in RAKELIGHT_SITES, and the views and rows
    /// of a file behind a #, are completed in bash, zsh and fish.
    #[command(after_long_help = examples::COMPLETIONS)]
    Completions(CompletionsArgs),
    /// Manual pages for man
    ///
    /// Without a folder the main page goes to standard output.
    #[command(after_long_help = examples::MAN)]
    Man(ManArgs),
}

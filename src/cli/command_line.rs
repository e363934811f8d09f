//! The command line as it is typed: the program's own options, and every
//! command. The arguments of a command are defined in the command's own module.

use super::{
    args::{
        Deferred, PRINT,
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
use clap::{Args, Error, FromArgMatches, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;

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

    #[command(flatten)]
    pub own: OwnArgs,
}

/// The program's own options.
#[derive(Debug, Args)]
pub struct OwnArgs {
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

impl Cli {
    /// The words typed, with the arguments of no other command built. What does
    /// not parse so (help is asked for, or something is wrong) is parsed again by
    /// the whole command line, which knows what to tell.
    pub fn typed() -> Result<Self, Error> {
        Self::of_one_command(std::env::args_os()).or_else(|_| Self::try_parse())
    }

    fn of_one_command(
        words: impl IntoIterator<Item = impl Into<OsString> + Clone>,
    ) -> Result<Self, Error> {
        let mut found = without_arguments().try_get_matches_from(words)?;
        Self::from_arg_matches_mut(&mut found)
    }
}

/// The command line with commands that get their arguments when they are met.
fn without_arguments() -> clap::Command {
    let own = OwnArgs::augment_args(clap::Command::new(env!("CARGO_PKG_NAME")));
    let own = own.disable_version_flag(true).arg_required_else_help(true);
    Command::augment_subcommands_for_update(own)
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
    Scan(Deferred<ScanArgs>),
    /// The best trip: which place on each of several evenings
    ///
    /// The exact optimum over all evenings and places within reach of each
    /// other, with a spare place or night for each.
    #[command(mut_args = rules_in_long_help, after_help = TRIP_SHORT, after_long_help = examples::TRIP)]
    Trip(Deferred<TripArgs>),
    /// The timetable of one night: events, light, settings, advice
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::NIGHT)]
    Night(Deferred<NightArgs>),
    /// The same night with its pictures as one HTML page
    ///
    /// The page needs no other file: for the phone, and to print.
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::HANDOUT)]
    Handout(Deferred<HandoutArgs>),
    /// Tripod position that puts the target over the subject
    #[command(mut_args = rules_in_long_help, after_help = RULES_SHORT, after_long_help = examples::TRIPOD)]
    Tripod(Deferred<TripodArgs>),
    /// Sun, Moon and target at one instant, and how bright it is
    #[command(after_long_help = examples::SKY)]
    Sky(Deferred<SkyArgs>),
    /// Quarters of the Moon, perigees and apogees, lunar eclipses
    #[command(after_long_help = examples::PHASES)]
    Phases(Deferred<PhasesArgs>),
    /// Exposure for a given light, trail limit, field of view
    #[command(mut_args = brief_in_long_help, after_long_help = examples::EXPOSURE)]
    Exposure(Deferred<ExposureArgs>),
    /// The same answers as pictures
    #[command(subcommand, after_long_help = examples::CHART)]
    Chart(ChartCommand),
    /// Check, list and write site files
    #[command(subcommand, after_long_help = examples::SITES)]
    Sites(SitesCommand),
    /// Completions for a shell: commands, options, values, files, sites
    ///
    /// The script goes to standard output; the examples show where a shell
    /// looks for it. Names of sites in RAKELIGHT_SITES, and the views and rows
    /// of a file behind a #, are completed in bash, zsh and fish.
    #[command(after_long_help = examples::COMPLETIONS)]
    Completions(Deferred<CompletionsArgs>),
    /// Manual pages for man
    ///
    /// Without a folder the main page goes to standard output.
    #[command(after_long_help = examples::MAN)]
    Man(Deferred<ManArgs>),
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    /// The names of all commands, with how many arguments each has.
    fn counted(command: &clap::Command, above: &str) -> Vec<(String, usize)> {
        let name = format!("{above} {}", command.get_name());
        let below = command.get_subcommands();
        let below = below.flat_map(|below| counted(below, &name));
        let own = [(name.clone(), command.get_arguments().count())];
        own.into_iter().chain(below).collect()
    }

    #[test]
    fn no_command_has_arguments_before_it_is_met() {
        let [whole, bare] =
            [Cli::command(), without_arguments()].map(|command| counted(&command, ""));
        assert!(whole.len() > 20, "{whole:?}");
        for ((name, whole), (same, bare)) in whole.iter().zip(&bare).skip(1) {
            let has_commands = ["chart", "sites"].iter().any(|end| name.ends_with(end));
            assert_eq!(name, same);
            assert_eq!((*bare, *whole == 0), (0, has_commands), "{name}");
        }
        assert_eq!((whole.len(), whole.first()), (bare.len(), bare.first()));
    }

    #[test]
    fn what_is_right_is_parsed_once() {
        for typed in [
            "--version --verbose",
            "scan a.toml --nights 3 --light raking --color never",
            "--color always night a.toml --on 2027-05-29",
            "trip a.toml --nights 3",
            "chart season a.toml --paper dark",
            "sites list",
            "completions bash",
            "man",
        ] {
            let words = ["rakelight"].into_iter().chain(typed.split(' '));
            assert!(Cli::of_one_command(words).is_ok(), "{typed}");
        }
        for typed in ["", "scan -h", "help", "chart", "sites", "scna", "man -x y"] {
            let words = ["rakelight"].into_iter().chain(typed.split_terminator(' '));
            assert!(Cli::of_one_command(words).is_err(), "{typed}");
        }
    }
}

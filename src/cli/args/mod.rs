//! The command line as it is typed; [`super::inputs`] makes it mean something.

mod brief;
mod chart;
mod headings;
mod output;
mod scan;
mod site;
mod sites;
mod sky;

pub use brief::BriefArgs;
pub use chart::{
    ChartCommand, ChartFrameArgs, ChartNightArgs, ChartSeasonArgs, Paper, PictureArgs,
    PictureFormat,
};
pub use headings::{PRINT, WHERE};
pub use output::{OutputArgs, TextFormat};
pub use scan::{ScanArgs, ScanFormat, Sort};
pub use site::SiteArgs;
pub use sites::SitesCommand;
pub use sky::{PhasesArgs, SkyArgs};

use clap::{Parser, Subcommand, ValueEnum};

const EXIT_CODES: &str = "Exit codes: 0 nights were found (or the command did its work); \
1 the scan ran and found none; 2 wrong usage or input, or a site left out under --keep-going.";

const EXAMPLES: &str = "Examples:
  rakelight scan                                a year at the built-in demo site
  rakelight scan tank.toml --from 2027-03-01 --to 2027-10-31 --weekdays fri,sat
  rakelight scan --place -34,-70.5,900 --time-zone America/Santiago --facing arch
  rakelight scan coast.toml desert.toml --light dark --format csv -o dark.csv";

/// Finds nights for landscape photographs of the Milky Way, above all nights
/// when a low Moon lights the foreground from the side.
#[derive(Debug, Parser)]
#[command(version, propagate_version = true, after_help = EXIT_CODES, max_term_width = 100)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,

    /// When to use colour and weight
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        help_heading = "What to print"
    )]
    pub color: Color,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal, unless NO_COLOR is set or TERM is dumb
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Sweep a range of evenings for each site and rank the candidate nights
    #[command(after_help = EXIT_CODES, after_long_help = format!("{EXAMPLES}\n\n{EXIT_CODES}"))]
    Scan(Box<ScanArgs>),
    /// The running order of one night: events, light, settings, advice
    #[command(after_help = EXIT_CODES)]
    Night(Box<super::night::NightArgs>),
    /// The same night with its pictures as one page of HTML, for phone and paper
    #[command(after_help = EXIT_CODES)]
    Handout(Box<super::handout::HandoutArgs>),
    /// Where to put the tripod so that the target stands over the subject
    #[command(after_help = EXIT_CODES)]
    Stand(Box<super::stand::StandArgs>),
    /// Where everything is at one instant, and how bright it is
    Sky(Box<SkyArgs>),
    /// Quarters of the Moon, perigees and apogees, lunar eclipses
    Phases(PhasesArgs),
    /// Trail limit, field of view, panorama, exposure for a given light
    Expose(Box<super::expose::ExposeArgs>),
    /// The same answers as a picture
    Chart {
        #[command(subcommand)]
        command: ChartCommand,
    },
    /// Prove site files, or write a commented one
    Sites {
        #[command(subcommand)]
        command: SitesCommand,
    },
}

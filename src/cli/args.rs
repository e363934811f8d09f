//! The command line as it is typed; [`super::inputs`] makes it mean something.

use super::reason_args::ReasonArgs;
use super::values;
use clap::{Args, Parser, Subcommand, ValueEnum};
use rakelight::scene::Brief;
use std::path::PathBuf;

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

#[derive(Debug, Args)]
pub struct SiteArgs {
    /// Site files (.toml), tables of sites (.csv), or - for such a table on
    /// standard input
    #[arg(value_name = "SITE")]
    pub sites: Vec<PathBuf>,

    /// Stand in for a site file: latitude, longitude (degrees, north and east
    /// positive) and elevation (metres)
    #[arg(long, value_name = "LAT,LON[,ELEVATION]", allow_hyphen_values = true, conflicts_with = "sites", help_heading = WHERE)]
    pub place: Option<String>,

    /// IANA time zone for --place [default: UTC]
    #[arg(long, value_name = "ZONE", requires = "place", help_heading = WHERE)]
    pub time_zone: Option<String>,
}

pub(super) const WHERE: &str = "Where and when";
const STAND: &str = "What must stand where";
const DARK: &str = "How dark";
const LIGHT: &str = "Which light";
pub(super) const PRINT: &str = "What to print";

/// Checks a wish by the one parser that files use too, so that what is no band
/// is refused even where it begins with a minus sign like an option.
fn wish(key: &'static str) -> impl Fn(&str) -> Result<String, String> + Clone {
    move |text| {
        Brief::default()
            .set(key, text)
            .map(|()| text.to_string())
            .map_err(|error| error.to_string())
    }
}

/// The photographer's wishes; each option is also a key of a brief.
#[derive(Debug, Args)]
pub struct BriefArgs {
    /// The same rules from a TOML file
    ///
    /// Keys are spelled as the options, with _ for -. An option wins over the
    /// file, the file over the site's own [brief].
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub brief: Option<PathBuf>,

    /// Local wall-clock hours that suit
    #[arg(long, value_name = "HH:MM..HH:MM", value_parser = wish("clock"), help_heading = WHERE)]
    pub clock: Option<String>,

    /// Evenings that suit, such as fri,sat
    #[arg(long, value_name = "DAYS", value_parser = wish("weekdays"), help_heading = WHERE)]
    pub weekdays: Option<String>,

    /// Shortest useful window, minutes [default: 20]
    #[arg(long, value_name = "N", value_parser = wish("min_minutes"), help_heading = WHERE)]
    pub min_minutes: Option<String>,

    /// What must stand in the sky: core, gal:L,B or icrs:RA,DEC in degrees
    /// [default: core]
    #[arg(long, value_name = "TARGET", value_parser = wish("target"), help_heading = STAND)]
    pub target: Option<String>,

    /// Where the camera looks: a true bearing, subject, target or arch
    ///
    /// `target` follows the target; `arch` follows the highest point of the
    /// Milky Way's arch, for a panorama of the whole. Default: the subject
    /// where the site has one, else the target.
    #[arg(long, value_name = "DEG|subject|target|arch", value_parser = wish("facing"), help_heading = STAND)]
    pub facing: Option<String>,

    /// Apparent altitude of the target, degrees [default: 10..]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_altitude"), help_heading = STAND)]
    pub core_altitude: Option<String>,

    /// True azimuth of the target, clockwise; 320..40 goes through north
    #[arg(long, value_name = "A..B", value_parser = wish("core_azimuth"), help_heading = STAND)]
    pub core_azimuth: Option<String>,

    /// Azimuth of the target relative to the facing direction, left negative
    /// [default: -60..60 when facing the subject, else any]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_offset"), help_heading = STAND)]
    pub core_offset: Option<String>,

    /// Altitude of the highest point of the Milky Way's arch
    #[arg(long, value_name = "A..B", value_parser = wish("arch_altitude"), help_heading = STAND)]
    pub arch_altitude: Option<String>,

    /// Azimuth of that point relative to the facing direction
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("arch_offset"), help_heading = STAND)]
    pub arch_offset: Option<String>,

    /// Angle of the Milky Way to the horizon at the target: 0 lying, 90 upright
    #[arg(long, value_name = "A..B", value_parser = wish("tilt"), help_heading = STAND)]
    pub tilt: Option<String>,

    /// Geometric altitude of the Sun's centre, degrees [default: ..-18]
    #[arg(long, value_name = "..B", allow_hyphen_values = true, value_parser = wish("sun_altitude"), help_heading = DARK)]
    pub sun_altitude: Option<String>,

    /// The kind of night [default: raking]
    ///
    /// raking: a low Moon from the side. dark: no Moon. blend: such a Moon for
    /// the land, and a dark spell with the target up in the same night. any:
    /// no rule about the Moon.
    #[arg(long, value_name = "raking|dark|blend|any", value_parser = wish("light"), help_heading = LIGHT)]
    pub light: Option<String>,

    /// Apparent altitude of the Moon's centre, degrees [default: 3..30 for
    /// raking and blend]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("moon_altitude"), help_heading = LIGHT)]
    pub moon_altitude: Option<String>,

    /// Illuminated fraction, 0..1 or in percent [default: 0.03..0.5 for raking
    /// and blend]
    #[arg(long, value_name = "A..B", value_parser = wish("moon_fraction"), help_heading = LIGHT)]
    pub moon_fraction: Option<String>,

    /// Angle between the facing direction and the Moon's azimuth [default:
    /// 40..150 for raking and blend]
    ///
    /// 0: the Moon stands behind the subject; 90: square from the side; 180:
    /// behind the camera.
    #[arg(long, value_name = "A..B", value_parser = wish("light_angle"), help_heading = LIGHT)]
    pub light_angle: Option<String>,

    /// Which side of the facing direction the light comes from [default:
    /// either]
    #[arg(long, value_name = "left|right|either", value_parser = wish("light_side"), help_heading = LIGHT)]
    pub light_side: Option<String>,

    /// What counts how much in the score, such as contrast=2,length=0
    #[arg(long, value_name = "NAME=N,...", value_parser = wish("weights"), help_heading = PRINT)]
    pub weights: Option<String>,
}

impl BriefArgs {
    /// The wishes typed, by key.
    pub fn typed(&self) -> [(&'static str, Option<&String>); 18] {
        [
            ("light", self.light.as_ref()),
            ("target", self.target.as_ref()),
            ("core_altitude", self.core_altitude.as_ref()),
            ("core_azimuth", self.core_azimuth.as_ref()),
            ("facing", self.facing.as_ref()),
            ("core_offset", self.core_offset.as_ref()),
            ("arch_altitude", self.arch_altitude.as_ref()),
            ("arch_offset", self.arch_offset.as_ref()),
            ("tilt", self.tilt.as_ref()),
            ("sun_altitude", self.sun_altitude.as_ref()),
            ("moon_altitude", self.moon_altitude.as_ref()),
            ("moon_fraction", self.moon_fraction.as_ref()),
            ("light_angle", self.light_angle.as_ref()),
            ("light_side", self.light_side.as_ref()),
            ("min_minutes", self.min_minutes.as_ref()),
            ("clock", self.clock.as_ref()),
            ("weekdays", self.weekdays.as_ref()),
            ("weights", self.weights.as_ref()),
        ]
    }
}

#[derive(Debug, Args)]
pub struct ScanArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// First evening, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<chrono::NaiveDate>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<chrono::NaiveDate>,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// How many windows of each site [default: 20; all in machine formats]
    #[arg(long, value_name = "N", conflicts_with = "all", help_heading = PRINT)]
    pub top: Option<usize>,

    /// All windows
    #[arg(long, help_heading = PRINT)]
    pub all: bool,

    /// At most N windows a calendar month
    #[arg(long, value_name = "N", help_heading = PRINT)]
    pub per_month: Option<usize>,

    /// In what order
    #[arg(long, value_name = "ORDER", default_value = "score", help_heading = PRINT)]
    pub sort: Sort,

    /// Rank the windows of all sites together
    #[arg(long, help_heading = PRINT)]
    pub across: bool,

    #[command(flatten)]
    pub reason: ReasonArgs,
    /// A row of characters a lunation instead of the ranking
    ///
    /// Shows the kind of night asked for with --light; without it, raking, else
    /// blend, else dark nights. A letter tells the first rule that fails.
    #[arg(long, conflicts_with_all = ["explain", "across", "format", "top", "all", "per_month", "sort"], help_heading = PRINT)]
    pub season: bool,

    /// The best night of each site and month instead of the windows
    ///
    /// As a table, Markdown or CSV; in CSV a line a site and month, with the
    /// count of nights and every column of the best window.
    #[arg(long, conflicts_with_all = ["season", "explain", "across", "top", "all", "per_month", "sort", "near_misses", "advise", "spare", "vary", "compare", "turn"], help_heading = PRINT)]
    pub summary: bool,

    /// Print the rules in force and where each came from, and stop
    #[arg(long, help_heading = PRINT)]
    pub explain: bool,

    /// Output format
    #[arg(long, value_name = "FORMAT", default_value = "table", help_heading = PRINT)]
    pub format: ScanFormat,

    #[command(flatten)]
    pub output: OutputArgs,

    /// Threads [default: all cores]
    #[arg(long, value_name = "N", help_heading = PRINT)]
    pub jobs: Option<std::num::NonZeroUsize>,

    /// Leave out the sites that can't be read, report each, exit 2 at the end
    #[arg(long, help_heading = PRINT)]
    pub keep_going: bool,
}

#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Write there, whole or not at all, instead of to standard output
    #[arg(short, long = "output", value_name = "FILE", help_heading = PRINT)]
    pub output: Option<PathBuf>,

    /// Say nothing on standard error but errors
    #[arg(long, help_heading = PRINT)]
    pub quiet: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sort {
    Score,
    Date,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ScanFormat {
    Table,
    Csv,
    Json,
    Ndjson,
    Ical,
    Geojson,
    Markdown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TextFormat {
    Table,
    Json,
}

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The instant: RFC 3339, or local time of the site (2027-05-13T21:30)
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    /// What to follow: core, gal:L,B or icrs:RA,DEC in degrees [default: core]
    #[arg(long, value_name = "TARGET", value_parser = wish("target"), help_heading = STAND)]
    pub target: Option<String>,

    /// Where the camera looks: a true bearing, subject, target or arch
    #[arg(long, value_name = "DEG|subject|target|arch", value_parser = wish("facing"), help_heading = STAND)]
    pub facing: Option<String>,

    /// Output format
    #[arg(long, value_name = "FORMAT", default_value = "table", help_heading = PRINT)]
    pub format: TextFormat,

    #[command(flatten)]
    pub output: OutputArgs,
}

#[derive(Debug, Args)]
pub struct PhasesArgs {
    /// First day, YYYY-MM-DD, UTC [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date)]
    pub from: Option<chrono::NaiveDate>,

    /// Last day [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date)]
    pub to: Option<chrono::NaiveDate>,

    /// IANA time zone for the table; JSON is in UTC [default: UTC]
    #[arg(long, value_name = "ZONE")]
    pub time_zone: Option<String>,

    /// Output format
    #[arg(long, value_name = "FORMAT", default_value = "table")]
    pub format: TextFormat,

    #[command(flatten)]
    pub output: OutputArgs,
}

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
        #[arg(long, value_name = "M", default_value = "1.6", value_parser = values::number(0.0, 10_000.0))]
        eye_height_m: f64,

        /// Turn from one direction to the next, degrees
        #[arg(long, value_name = "DEG", default_value = "0.5", value_parser = values::number(0.01, 90.0))]
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

#[derive(Debug, Subcommand)]
pub enum ChartCommand {
    /// One night: altitude over local time
    Night(Box<ChartNightArgs>),
    /// The view from the camera at one instant
    Frame(Box<ChartFrameArgs>),
    /// A season: one row a lunation, one mark a night
    ///
    /// Shows the kind of night asked for with --light (or by the site's
    /// brief); without one, raking, else blend, else dark nights.
    Season(Box<ChartSeasonArgs>),
}

#[derive(Debug, Args)]
pub struct ChartNightArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening, YYYY-MM-DD
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub on: chrono::NaiveDate,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct ChartFrameArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The instant: RFC 3339, or local time of the site (2027-05-13T21:30)
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct ChartSeasonArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// First evening, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<chrono::NaiveDate>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<chrono::NaiveDate>,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub picture: PictureArgs,
}

#[derive(Debug, Args)]
pub struct PictureArgs {
    /// Output format [default: what the name after -o ends in, else svg]
    #[arg(long, value_name = "FORMAT", help_heading = PRINT)]
    pub format: Option<PictureFormat>,

    /// Dark ink on white for print, or dim ink on black for the dark
    #[arg(long, value_name = "PAPER", default_value = "light", help_heading = PRINT)]
    pub paper: Paper,

    #[command(flatten)]
    pub output: OutputArgs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PictureFormat {
    Svg,
    Png,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    Light,
    Dark,
}

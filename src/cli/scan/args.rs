//! The arguments of `scan`.

use super::reason_args::ReasonArgs;
use crate::cli::{
    args::{
        BriefArgs, CalendarArgs, EmptyArgs, Format, PRINT, PartArgs, RangeArgs, SiteArgs,
        SiteOutputArgs, TableArgs, WeatherArgs, format,
    },
    manners::threads,
    values,
};
use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub struct ScanArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub part: PartArgs,

    #[command(flatten)]
    pub range: RangeArgs,

    #[command(flatten)]
    pub weather: WeatherArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// Show at most N windows per site [default: 20]
    ///
    /// The default applies to tables; machine formats have all.
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, 1_000_000), conflicts_with = "all", help_heading = PRINT)]
    pub top: Option<usize>,

    /// Show all windows
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub all: bool,

    /// Show at most N windows per calendar month
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, 1_000_000), hide_short_help = true, help_heading = PRINT)]
    pub per_month: Option<usize>,

    /// The next N windows, in order of time
    ///
    /// The earliest of the range, whatever their score; without --from from today
    /// on.
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, 1_000_000), conflicts_with_all = ["top", "all", "sort"], hide_short_help = true, help_heading = PRINT)]
    pub next: Option<usize>,

    /// Order by score or by date
    #[arg(long, value_name = "ORDER", hide_possible_values = true, default_value = "score", help_heading = PRINT)]
    pub sort: Sort,

    /// Rank the windows of all sites together
    #[arg(long, conflicts_with = "part", hide_short_help = true, help_heading = PRINT)]
    pub together: bool,

    #[command(flatten)]
    pub reason: ReasonArgs,

    /// One row per lunar month, one mark per night
    ///
    /// Shows the kind of night that --light asks for, of several the best; without
    /// it raking, else blend, else dark nights. A letter stands for the first rule that fails.
    /// As csv, json or ndjson a record per night, as geojson a point per site
    /// with its counts of nights and its best window.
    #[arg(long, conflicts_with_all = ["explain", "together", "top", "next", "all", "per_month", "sort", "vary", "compare", "by", "near_misses", "advise", "spare"], help_heading = PRINT)]
    pub season: bool,

    /// Count nights by month, year, site or bearing
    ///
    /// month: the best night of each site and month, as a table, Markdown or
    /// CSV; in CSV a line per site and month, with the count of nights and every
    /// column of the best window. year: nights, hours and the best night of
    /// each site and calendar year, as a table, Markdown or CSV; --from is then
    /// 1 January of this year where it is not given, --to the end of the ninth
    /// year after that of --from. site: a row per site, with its place, nights,
    /// minutes and best night, 0 where there is none, in each format; lines with
    /// --columns that leave out score and best night are found much sooner. bearing: nights by the bearing of a subject,
    /// for a site where that is still open, as a table or JSON. With --compare
    /// years or sites stand side by side.
    #[arg(long, value_name = "WHAT", hide_possible_values = true, conflicts_with_all = ["season", "explain", "together", "top", "next", "all", "per_month", "sort", "near_misses", "advise", "spare", "vary"], help_heading = PRINT)]
    pub by: Option<By>,

    /// Show the rules in use, where each comes from; exit
    #[arg(long, help_heading = PRINT)]
    pub explain: bool,

    #[arg(long, value_name = "FORMAT", help = format::help(format::ALL), long_help = formats_told(), value_parser = format::parser(format::ALL), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub table: TableArgs,

    #[command(flatten)]
    pub output: SiteOutputArgs,

    #[command(flatten)]
    pub calendar: CalendarArgs,

    /// Threads [default: all cores]
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, threads::MOST), hide_short_help = true, help_heading = PRINT)]
    pub jobs: Option<u32>,

    /// Skip sites that can't be read, report each; exit code 3, 4 if none can
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub keep_going: bool,

    /// Keep what is done if the run is cut short; the same command goes on
    ///
    /// For CSV and NDJSON that go to a file (-o FILE). Until all sites are done the
    /// file is called FILE.part, and FILE.progress says how far it is. Take
    /// FILE.part away to begin anew.
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub resume: bool,

    #[command(flatten)]
    pub empty: EmptyArgs,
}

/// What nights are counted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum By {
    Month,
    Year,
    Site,
    Bearing,
}

impl By {
    /// The option, as it is typed.
    pub fn typed(self) -> &'static str {
        match self {
            Self::Month => "--by month",
            Self::Year => "--by year",
            Self::Site => "--by site",
            Self::Bearing => "--by bearing",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sort {
    Score,
    Date,
}

/// What each format is for.
fn formats_told() -> String {
    format::listed(format::ALL)
        + "\n\ntable is for reading; csv, json and ndjson (a window a line) for programs; ical for \
           calendars, geojson for maps, gpx and kml for points on maps and devices, markdown for \
           notes. [default: as the name of --output ends, \
           else table]"
}

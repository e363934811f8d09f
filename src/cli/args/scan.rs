//! What `scan` takes.

use super::{BriefArgs, OutputArgs, PRINT, SiteArgs, WHERE};
use crate::cli::{reason_args::ReasonArgs, values};
use clap::{Args, ValueEnum};

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
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, 1_000_000), conflicts_with = "all", help_heading = PRINT)]
    pub top: Option<usize>,

    /// All windows
    #[arg(long, help_heading = PRINT)]
    pub all: bool,

    /// At most N windows a calendar month
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, 1_000_000), help_heading = PRINT)]
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
    #[arg(long, conflicts_with_all = ["explain", "across", "format", "top", "all", "per_month", "sort", "vary", "compare", "turn", "near_misses", "advise", "spare"], help_heading = PRINT)]
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
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, 1024), help_heading = PRINT)]
    pub jobs: Option<u32>,

    /// Leave out the sites that can't be read, report each, exit 2 at the end
    #[arg(long, help_heading = PRINT)]
    pub keep_going: bool,
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

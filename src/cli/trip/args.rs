//! The arguments of `trip`.

use super::question::FORMATS;
use crate::cli::{
    args::{
        BriefArgs, CalendarArgs, EmptyArgs, EndsArgs, Format, PRINT, SiteArgs, SiteOutputArgs,
        TRIP, TableArgs, WHERE, format,
    },
    values,
};
use clap::Args;
use rakelight::plan::MOST_TRIP_NIGHTS;
use std::path::PathBuf;

/// The longest limits that a move can have.
const MOST_KM: f64 = 20_000.0;
const MOST_HOURS: f64 = 200.0;
/// The most trips.
const MOST_TRIPS: u32 = 1000;

/// What `rakelight trip` takes.
#[derive(Debug, Args)]
pub struct TripArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub range: EndsArgs,

    /// Clear nights of each month, a table
    ///
    /// Columns month (1 to 12), clear (a share from 0 to 1, or 60%) and, where it
    /// serves several, site. Where every site has a climate, in its file or here,
    /// each score is weighted with the chance of a clear night.
    #[arg(long, value_name = "FILE", hide_short_help = true, help_heading = WHERE)]
    pub climate: Option<PathBuf>,

    /// A forecast of cloud, a table
    ///
    /// Columns time_utc, cloud (percent of the sky) and, where it serves several,
    /// site. Where it reaches all of a window, the sky without cloud is the
    /// chance of a clear night, in place of the climate's.
    #[arg(long, value_name = "FILE", hide_short_help = true, help_heading = WHERE)]
    pub forecast: Option<PathBuf>,

    /// Evenings of the trip
    ///
    /// One after the other; each has a place, except those that --free allows. 1 to 30.
    #[arg(long, value_name = "N", default_value = "5", value_parser = values::count::<usize>(1, MOST_TRIP_NIGHTS as u32), help_heading = TRIP)]
    pub nights: usize,

    /// Free evenings that are allowed
    ///
    /// Evenings without a place, to rest or to drive on: with a free evening between, the next place may
    /// be two days' drives away, with two free evenings three. The first and the
    /// last evening have a place.
    #[arg(long, value_name = "N", default_value = "0", value_parser = values::count::<usize>(0, MOST_TRIP_NIGHTS as u32 - 2), help_heading = TRIP)]
    pub free: usize,

    /// At most N sessions in a row at one place
    ///
    /// Without it a trip stays where the scores are best. The views of a place
    /// are one place; a free evening does not end a row.
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, MOST_TRIP_NIGHTS as u32), help_heading = TRIP)]
    pub stay: Option<usize>,

    /// Longest drive of a day, km by road
    #[arg(long, value_name = "KM", default_value = "300", value_parser = values::number(1.0, MOST_KM), help_heading = TRIP)]
    pub max_km: f64,

    /// Longest drive of a day, hours
    #[arg(long, value_name = "HOURS", default_value = "5", value_parser = values::number(0.1, MOST_HOURS), help_heading = TRIP)]
    pub max_hours: f64,

    /// Table of moves: from,to,km,hours
    ///
    /// CSV with the names of sites. It overrides the estimate of a move, both
    /// ways unless it has the way back too; without hours they follow from the
    /// km, without km these stay the estimate. Other moves are estimated.
    #[arg(long, value_name = "FILE", help_heading = TRIP)]
    pub moves: Option<PathBuf>,

    /// Road length over that of the great circle
    #[arg(long, value_name = "FACTOR", default_value = "1.3", value_parser = values::number(1.0, 10.0), hide_short_help = true, help_heading = TRIP)]
    pub detour: f64,

    /// Mean speed of a drive, km/h, stops included
    #[arg(long, value_name = "KM_PER_HOUR", default_value = "60", value_parser = values::number(1.0, 200.0), hide_short_help = true, help_heading = TRIP)]
    pub speed_kmh: f64,

    /// Points of score that 100 km of driving must gain
    ///
    /// 0: the sum of the scores decides, and only among equal sums the shorter
    /// drive.
    #[arg(long, value_name = "POINTS", default_value = "0", value_parser = values::number(0.0, 1000.0), hide_short_help = true, help_heading = TRIP)]
    pub points_per_100_km: f64,

    /// Evenings after the trip that count as spare nights
    #[arg(long, value_name = "N", default_value = "2", value_parser = values::count::<usize>(0, 14), hide_short_help = true, help_heading = TRIP)]
    pub spare_days: usize,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// Show at most N trips [default: 3, html 1]
    ///
    /// The best first; no two share an evening. HTML has at most 10.
    #[arg(long, value_name = "N", value_parser = values::count::<usize>(1, MOST_TRIPS), help_heading = PRINT)]
    pub top: Option<usize>,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub table: TableArgs,

    #[command(flatten)]
    pub output: SiteOutputArgs,

    #[command(flatten)]
    pub calendar: CalendarArgs,

    #[command(flatten)]
    pub empty: EmptyArgs,
}

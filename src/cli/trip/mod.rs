//! `rakelight trip`.

mod args;
mod known_moves;
mod nothing;
mod question;

use super::{
    args::WeatherArgs,
    asked_rules::AskedRules,
    batch::{Batch, Reading, Ready, Writer},
    inputs,
    manners::{Failure, Outcome, Output, progress::Progress},
    weather::Weather,
};
use anyhow::anyhow;
pub use args::TripArgs;
use question::{FORMATS, TripFormat};
use rakelight::{
    plan::{GivenMove, MOST_TRIP_PLACES, Trip, TripAsked, TripSearch, TripSite},
    report::{
        CsvLayout, CsvTable, json,
        trip::{TripTables, trip_object, write_csv, write_csv_header},
    },
    scene::Dates,
    search::Season,
};
use serde_json::{Value, json};
use std::io::Write;

pub fn run(args: &TripArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read_several(&args.brief)?;
    let asked = question::asked(args)?;
    let quiet = args.output.quiet;
    let (format, does) = args.output.format(FORMATS, args.format);
    let table = matches!(does, TripFormat::Csv).then_some(CsvTable::Trip);
    args.table.check(format, table)?;
    if let Some(path) = &args.moves {
        known_moves::check(path)?;
    }
    // Only the header of a CSV must be known before all sites are read.
    let (own, sites) = match does {
        TripFormat::Csv => inputs::sites_and_own(&args.place, &asked_rules.defaults, quiet)?,
        _ => (
            Vec::new(),
            inputs::sites(&args.place, &asked_rules.defaults, quiet)?,
        ),
    };
    let lines = args.table.layout(table, own)?;
    let sites = args.output.conventions.of_all(sites);
    let reading = Reading {
        keep_going: false,
        quiet,
        lists_left_out: false,
        closing: !quiet,
        ids: None,
    };
    let mut batch = Batch::begin(sites, &asked_rules, reading);
    let dates = args.range.dates(batch.here())?;
    question::check_range(&asked, dates)?;
    batch.check()?;
    let weather = WeatherArgs {
        climate: args.climate.clone(),
        ..WeatherArgs::default()
    };
    batch.over(dates, Weather::read(&weather, dates, quiet)?);
    let mut out = Output::open(args.output.output.as_deref())?;
    let progress = Progress::begin(&args.place.sites, !quiet);
    let season = Season::new(dates);
    let writer = TripWriter {
        args,
        asked: &asked,
        asked_rules: &asked_rules,
        dates,
        does,
        csv: lines,
        search: TripSearch::new(dates),
        out: &mut out,
    };
    let answer = |Ready { site, rules, .. }| {
        let climate = site.climate;
        let planners = season.site_planners(site, rules)?;
        Ok(TripSite::new(planners, |night| {
            Some(climate?.clear_chance(night))
        }))
    };
    let outcome = batch.ask(progress, answer, writer)?;
    out.finish()?;
    Ok(outcome)
}

/// Gathers the sites, and writes the trips when all are done.
struct TripWriter<'a> {
    args: &'a TripArgs,
    asked: &'a TripAsked,
    asked_rules: &'a AskedRules,
    dates: Dates,
    does: TripFormat,
    csv: CsvLayout,
    search: TripSearch,
    out: &'a mut Output,
}

impl Writer for TripWriter<'_> {
    type Answer = TripSite;

    fn windows(answer: &TripSite) -> usize {
        answer.nights()
    }

    fn take(&mut self, answer: TripSite) -> Result<(), Failure> {
        if self.search.add(answer) {
            return Ok(());
        }
        Err(Failure::Reported(anyhow!(
            "the sites: found more than {MOST_TRIP_PLACES} places, expected so many at most; plan \
             the trip among fewer"
        )))
    }

    fn end(self) -> Result<bool, Failure> {
        let quiet = self.args.output.quiet;
        let given = match &self.args.moves {
            Some(path) => known_moves::read(path, &self.search, quiet)?,
            None => Vec::new(),
        };
        let trips = self.search.find(self.asked, &given)?;
        if trips.is_empty() && !quiet {
            nothing::say(&self.search, self.asked, self.dates, &given);
        }
        self.write(&trips, &given)?;
        Ok(!trips.is_empty())
    }
}

impl TripWriter<'_> {
    fn write(self, trips: &[Trip], given: &[GivenMove]) -> Result<(), Failure> {
        let out = self.out;
        match self.does {
            TripFormat::Table => TripTables {
                trips,
                moves: self.asked.moves,
                any_given: !given.is_empty(),
                is_weighted: self.search.is_weighted(),
                width: out.width(),
                keyed: !self.args.output.quiet,
            }
            .write(out)?,
            TripFormat::Csv => {
                write_csv_header(out, &self.csv)?;
                for trip in trips {
                    write_csv(out, trip, &self.csv)?;
                }
            }
            TripFormat::Json => {
                let is_weighted = self.search.is_weighted();
                let query = question::query(self.asked, self.asked_rules, self.dates, is_weighted);
                let trips: Vec<Value> = trips.iter().map(trip_object).collect();
                let document = json::document(query, json!({ "trips": trips }));
                serde_json::to_writer_pretty(&mut *out, &document).map_err(std::io::Error::from)?;
                writeln!(out)?;
            }
        }
        Ok(())
    }
}

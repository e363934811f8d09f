//! `rakelight trip`.

mod args;
mod booklet;
mod known_moves;
mod nothing;
mod question;

use super::{
    args::WeatherArgs,
    asked_rules::AskedRules,
    batch::{Batch, Reading, Ready, Writer},
    inputs,
    manners::{Failure, Outcome, Output, progress::Progress, today},
    weather::Weather,
};
use anyhow::anyhow;
pub use args::TripArgs;
use question::{FORMATS, TripFormat};
use rakelight::{
    input::OldCalendar,
    plan::{GivenMove, MOST_TRIP_PLACES, Trip, TripAsked, TripSearch, TripSite, TripStop},
    report::{
        CsvLayout, CsvTable, SiteId, SiteIds,
        ical::{Calendar, sites_in},
        json,
        trip::{TripTables, trip_object, write_csv, write_csv_header},
    },
    scene::Dates,
    search::Season,
};
use serde_json::{Value, json};
use std::{io::Write, sync::Arc};

pub fn run(args: &TripArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read_several(&args.brief)?;
    let quiet = args.output.quiet;
    let (format, does) = args.output.format(FORMATS, args.format);
    let asked = question::asked(args, does)?;
    let table = matches!(does, TripFormat::Csv).then_some(CsvTable::Trip);
    args.table.check(format, table)?;
    args.calendar.check(does == TripFormat::Ical)?;
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
    let before = args.calendar.before()?;
    let reading = Reading {
        keep_going: false,
        quiet,
        lists_left_out: false,
        closing: !quiet,
        ids: (does == TripFormat::Ical).then(|| SiteIds::after(sites_in(&before))),
        counts_by: None,
    };
    let mut batch = Batch::begin(sites, &asked_rules, reading);
    let dates = args.range.dates(batch.here())?;
    question::check_range(&asked, dates)?;
    batch.check()?;
    let weather = WeatherArgs {
        climate: args.climate.clone(),
        forecast: args.forecast.clone(),
    };
    batch.over(dates, Weather::read(&weather, dates, quiet)?);
    let mut out = args.output.open(FORMATS, args.format)?;
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
        ids: Vec::new(),
        before,
        out: &mut out,
    };
    let answer = |Ready {
                      site, rules, id, ..
                  }| {
        let at = Arc::clone(&site);
        let planners = season.site_planners(site, rules)?;
        let site = TripSite::new(planners, |window| window.clear_chance(&at));
        Ok((site, id))
    };
    let outcome = batch.ask(progress, answer, writer)?;
    out.finish()?;
    Ok(args.empty.told(outcome))
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
    /// What distinguishes the records of each site, for a calendar.
    ids: Vec<SiteId>,
    /// The calendar that is brought up to date.
    before: OldCalendar,
    out: &'a mut Output,
}

impl Writer for TripWriter<'_> {
    type Answer = (TripSite, SiteId);

    fn windows((site, _): &Self::Answer) -> usize {
        site.nights()
    }

    fn found(&mut self) -> Option<&mut bool> {
        None
    }

    fn take(&mut self, (site, id): Self::Answer) -> Result<(), Failure> {
        if self.search.add(site) {
            if self.does == TripFormat::Ical {
                self.ids.push(id);
            }
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
        if let (Some(path), false, false) = (&self.args.forecast, self.search.is_weighted(), quiet)
        {
            nothing::say_forecast_unused(path, &self.search);
        }
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
        let tables = TripTables {
            trips,
            moves: self.asked.moves,
            any_given: !given.is_empty(),
            is_weighted: self.search.is_weighted(),
            width: out.width(),
            keyed: !self.args.output.quiet,
        };
        match self.does {
            TripFormat::Table => tables.write(out)?,
            TripFormat::Html => booklet::write(out, &tables)?,
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
            TripFormat::Ical => {
                let style = self.args.calendar.style();
                let mut calendar = Calendar::new(style, self.dates, today::now(), self.before);
                out.write_all(calendar.begin().as_bytes())?;
                let sites = || self.search.sites().iter().zip(&self.ids);
                for (planners, id) in sites() {
                    let first = planners.first().rules();
                    for planner in planners.iter() {
                        calendar.ask(&id.of_rules(planner.rules(), first), planner.rules());
                    }
                }
                let id_of = |stop: &TripStop| match sites().nth(stop.site_number) {
                    Some((planners, id)) => {
                        id.of_rules(stop.planner.rules(), planners.first().rules())
                    }
                    None => SiteId::of(stop.site()),
                };
                for trip in trips {
                    out.write_all(calendar.trip(trip, id_of).as_bytes())?;
                }
                out.write_all(calendar.end().as_bytes())?;
            }
        }
        Ok(())
    }
}

//! `rakelight phases`.

use super::{
    Outcome,
    args::{PhasesArgs, TextFormat},
    failure::Failure,
    output::Output,
    today,
};
use anyhow::anyhow;
use chrono::{Days, NaiveDate, NaiveTime};
use rakelight::{
    ephemeris::{Moment, Span},
    report::phases::Almanac,
    scene::Zone,
};

/// Days after the first when no last one is named.
const DEFAULT_DAYS: u64 = 365;

pub fn run(args: &PhasesArgs) -> Result<Outcome, Failure> {
    let zone = match &args.time_zone {
        Some(name) => Zone::named(name).map_err(|error| Failure::option("time-zone", &error))?,
        None => Zone::UTC,
    };
    let first = args.from.unwrap_or_else(|| today::today(Zone::UTC));
    let end = NaiveDate::from_ymd_opt(2099, 12, 31).unwrap_or(NaiveDate::MAX);
    let year_later = first.checked_add_days(Days::new(DEFAULT_DAYS));
    let last = args.to.or(year_later).unwrap_or(end).min(end);
    if last < first {
        return Err(Failure::Said(anyhow!(
            "--to {last} lies before --from {first}; the last day comes after the first"
        )));
    }
    let midnight = |date: NaiveDate| Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc());
    let (from, to) = (midnight(first), midnight(last).plus_seconds(86_400.0));
    // An eclipse's contacts reach beyond its middle.
    let day = 86_400.0;
    let span = Span::covering(from.plus_seconds(-day), to.plus_seconds(day));
    let almanac = Almanac {
        quarters: span.quarters(from, to),
        apsides: span.apsides(from, to),
        eclipses: span.lunar_eclipses(from, to),
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    match args.output.format(args.format, TextFormat::Table) {
        TextFormat::Table => almanac.write_table(&mut out, zone)?,
        TextFormat::Json => almanac.write_json(&mut out)?,
    }
    out.finish()?;
    Ok(Outcome::Done)
}

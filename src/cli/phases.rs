//! `rakelight phases`.

use super::{
    args::{Format, Formats, OutputArgs, PRINT, WHERE, format},
    manners::{Failure, Outcome, Output, today},
    values,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    ephemeris::Ephemeris,
    report::phases::Almanac,
    scene::{DateError, Dates, Zone},
};
use std::io;

#[derive(Debug, Args)]
pub struct PhasesArgs {
    /// First day, YYYY-MM-DD, UTC [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<chrono::NaiveDate>,

    /// Last day [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<chrono::NaiveDate>,

    /// IANA time zone of the table [default: UTC]
    ///
    /// Or an offset such as +05:30. JSON is in UTC.
    #[arg(long, value_name = "ZONE", allow_hyphen_values = true, help_heading = WHERE)]
    pub time_zone: Option<String>,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: OutputArgs,
}

type Write = fn(&Almanac, &mut Output, Zone) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, |almanac, out, zone| {
        let width = out.width();
        almanac.write_table(out, zone, width)
    }),
    (Format::Json, |almanac, out, _| almanac.write_json(out)),
];

pub fn run(args: &PhasesArgs) -> Result<Outcome, Failure> {
    let zone = match &args.time_zone {
        Some(name) => Zone::named(name).map_err(|error| Failure::option("time-zone", &error))?,
        None => Zone::UTC,
    };
    let first = args.from.unwrap_or_else(|| today::today(Zone::UTC));
    let dates = match args.to {
        Some(last) => Dates::new(first, last),
        None => Dates::year_from(first),
    };
    let [from, to] = dates.map_err(refusal)?.utc_days();
    // The contacts of an eclipse are before and after its middle.
    let day = 86_400.0;
    let ephemeris = Ephemeris::covering(from.plus_seconds(-day), to.plus_seconds(day));
    let almanac = Almanac {
        quarters: ephemeris.quarters(from, to),
        apsides: ephemeris.apsides(from, to),
        eclipses: ephemeris.lunar_eclipses(from, to),
    };
    let mut out = args.output.open(FORMATS, args.format)?;
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&almanac, &mut out, zone)?;
    out.finish()?;
    Ok(Outcome::Done)
}

fn refusal(error: DateError) -> Failure {
    Failure::Reported(match error {
        DateError::Backwards { first, last } => {
            anyhow!("--to {last} lies before --from {first}; swap the two dates")
        }
        error => error.into(),
    })
}

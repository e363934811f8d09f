//! The evenings of a command about many nights.

use super::headings::WHERE;
use crate::cli::{
    manners::{Failure, today},
    values,
};
use anyhow::anyhow;
use chrono::{Datelike, NaiveDate};
use clap::Args;
use rakelight::scene::{DateError, Dates, Zone};

/// Calendar years that are counted if no last evening is given.
const DEFAULT_YEARS: u16 = 10;

/// The first and the last evening, both included.
#[derive(Debug, Clone, Copy, Args)]
pub struct RangeArgs {
    /// First evening, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub from: Option<NaiveDate>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub to: Option<NaiveDate>,
}

impl RangeArgs {
    /// Whether an end of the range was not given.
    pub fn is_open(self) -> bool {
        self.from.is_none() || self.to.is_none()
    }

    /// The evenings asked for; today is the date in `zone`.
    pub fn dates(self, zone: Zone) -> Result<Dates, Failure> {
        let Self { from, to } = self;
        let first = from.unwrap_or_else(|| match to {
            Some(last) => today::today(zone).min(last),
            None => today::today(zone),
        });
        let dates = match to {
            Some(last) => Dates::new(first, last),
            None => Dates::year_from(first),
        };
        dates.map_err(refused)
    }

    /// The evenings of a question about calendar years. The default is from
    /// 1 January of this year, or of the year of the last evening if that is
    /// earlier, to the end of the tenth year.
    pub fn calendar_years(self, zone: Zone) -> Result<Dates, Failure> {
        let today = today::today(zone);
        let first = self.from.unwrap_or_else(|| {
            let day = self.to.map_or(today, |last| today.min(last));
            day.with_ordinal(1).unwrap_or(day)
        });
        let dates = match self.to {
            Some(last) => Dates::new(first, last),
            None => Dates::calendar_years_from(first, DEFAULT_YEARS),
        };
        dates.map_err(refused)
    }
}

fn refused(error: DateError) -> Failure {
    Failure::Reported(match error {
        DateError::Backwards { first, last } => {
            anyhow!("--to {last} lies before --from {first}; swap the two dates")
        }
        error => error.into(),
    })
}

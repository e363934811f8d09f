//! The evenings of a command about many nights.

use super::{
    day::{Here, day},
    headings::WHERE,
};
use crate::cli::{manners::Failure, values};
use anyhow::anyhow;
use chrono::{Datelike, Days, NaiveDate};
use clap::Args;
use rakelight::scene::{DateError, Dates, Day};
use std::ops::Deref;

/// Calendar years that are counted if no last evening is given.
const DEFAULT_YEARS: u16 = 10;

/// The first and the last evening, both included, for a command whose --nights
/// means something else.
#[derive(Debug, Clone, Copy, Args)]
pub struct EndsArgs {
    /// First evening, YYYY-MM-DD [default: today]
    ///
    /// Or today, tonight, tomorrow or a day of the week, the next one.
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub from: Option<Day>,

    /// Last evening [default: 365 days after the first]
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub to: Option<Day>,
}

/// The evenings of a command about each of them.
#[derive(Debug, Clone, Copy, Args)]
pub struct RangeArgs {
    #[command(flatten)]
    ends: EndsArgs,

    /// As many evenings, instead of --to: 7 for a week
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, MOST_NIGHTS), conflicts_with = "to", hide_short_help = true, help_heading = WHERE)]
    pub nights: Option<u32>,
}

/// The two hundred years that are known.
const MOST_NIGHTS: u32 = 73_050;

impl Deref for RangeArgs {
    type Target = EndsArgs;

    fn deref(&self) -> &EndsArgs {
        &self.ends
    }
}

impl EndsArgs {
    /// The evenings asked for; today is the date `here`.
    pub fn dates(self, here: Here) -> Result<Dates, Failure> {
        let (ends, nights) = (self, None);
        RangeArgs { ends, nights }.dates(here)
    }
}

impl RangeArgs {
    /// Whether an end of the range was not given.
    pub fn is_open(self) -> bool {
        self.from.is_none() || (self.to.is_none() && self.nights.is_none())
    }

    /// The evenings asked for; today is the date `here`.
    pub fn dates(self, here: Here) -> Result<Dates, Failure> {
        let [from, to] = [self.from, self.to].map(|day| day.map(|day| here.date(day)));
        let today = here.date(Day::Today);
        let first = from.unwrap_or_else(|| match to {
            Some(last) => today.min(last),
            None => today,
        });
        let dates = match to.or_else(|| self.last_of(first)) {
            Some(last) => Dates::new(first, last),
            None => Dates::year_from(first),
        };
        dates.map_err(|error| self.refused(first, error))
    }

    /// The last of the evenings that were counted from `first`.
    fn last_of(self, first: NaiveDate) -> Option<NaiveDate> {
        first.checked_add_days(Days::new(u64::from(self.nights?.saturating_sub(1))))
    }

    /// The evenings of a question about calendar years. The default is from
    /// 1 January of this year, or of the year of the last evening if that is
    /// earlier, to the end of the tenth year.
    pub fn calendar_years(self, here: Here) -> Result<Dates, Failure> {
        let [from, to] = [self.from, self.to].map(|day| day.map(|day| here.date(day)));
        let today = here.date(Day::Today);
        let first = from.unwrap_or_else(|| {
            let day = to.map_or(today, |last| today.min(last));
            day.with_ordinal(1).unwrap_or(day)
        });
        let dates = match to.or_else(|| self.last_of(first)) {
            Some(last) => Dates::new(first, last),
            None => Dates::calendar_years_from(first, DEFAULT_YEARS),
        };
        dates.map_err(|error| self.refused(first, error))
    }

    fn refused(self, first: NaiveDate, error: DateError) -> Failure {
        Failure::Reported(match (error, self.nights) {
            (DateError::Backwards { first, last }, _) => {
                anyhow!("--to {last} lies before --from {first}; swap the two dates")
            }
            (DateError::OutOfRange(last), Some(nights)) if last != first => {
                let known =
                    Dates::one(first).map_or(first, |one| one.widened(MOST_NIGHTS.into()).last());
                anyhow!(
                    "--nights {nights} from {first} on reaches beyond {known}, the last evening \
                     that is known; use --to {known}"
                )
            }
            (error, _) => error.into(),
        })
    }
}

//! The evenings of a command about many.

use super::headings::WHERE;
use crate::cli::{
    manners::{Failure, today},
    values,
};
use anyhow::anyhow;
use chrono::NaiveDate;
use clap::Args;
use rakelight::scene::{DateError, Dates, Zone};

/// The first and the last evening, both looked at.
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
    /// Whether an end of the range was left to the program.
    pub fn is_open(self) -> bool {
        self.from.is_none() || self.to.is_none()
    }

    /// The evenings asked for; today is that of a zone.
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
        dates.map_err(|error| {
            Failure::Reported(match error {
                DateError::Backwards { first, last } => anyhow!(
                    "--to {last} lies before --from {first}; the last evening comes after the first"
                ),
                error => error.into(),
            })
        })
    }
}

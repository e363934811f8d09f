//! `scan --summary`: the best night of each site and month.

use super::question::{Circumstances, MonthFormat};
use crate::cli::{
    batch::{Ready, Writer},
    manners::{Failure, Output, say},
};
use rakelight::{
    report::summary::{SiteMonths, Summary, write_csv, write_csv_header},
    scene::Dates,
    search::{Season, months},
};
use std::{io::Write, sync::Arc};

/// Finds the best night of each month.
pub struct MonthSearch {
    format: MonthFormat,
    season: Season,
}

/// The months of a site, their lines of CSV, and how many windows there were.
pub struct Months {
    months: SiteMonths,
    lines: Vec<u8>,
    windows: usize,
}

impl MonthSearch {
    pub fn new(format: MonthFormat, at: &Circumstances<'_>) -> Self {
        Self {
            format,
            season: Season::new(at.dates),
        }
    }

    pub fn answer(&self, Ready { site, rules, .. }: Ready) -> Result<Months, Failure> {
        let dates = self.season.dates();
        let windows = self.season.planner(Arc::clone(&site), rules)?.windows();
        let months = months(dates.first(), dates.last(), &windows);
        let mut lines = Vec::new();
        if self.format == MonthFormat::Csv {
            write_csv(&mut lines, &site, &months)?;
        }
        Ok(Months {
            months: SiteMonths::of(&site, &months),
            lines,
            windows: windows.len(),
        })
    }
}

/// Writes the months: a table when all sites are done, CSV as they are.
pub struct MonthWriter<'a> {
    format: MonthFormat,
    dates: Dates,
    quiet: bool,
    out: &'a mut Output,
    found: bool,
    all: Vec<SiteMonths>,
}

impl<'a> MonthWriter<'a> {
    pub fn begin(
        search: &MonthSearch,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        if search.format == MonthFormat::Csv {
            write_csv_header(out)?;
        }
        Ok(Self {
            format: search.format,
            dates: at.dates,
            quiet: at.quiet,
            out,
            found: false,
            all: Vec::new(),
        })
    }
}

impl Writer for MonthWriter<'_> {
    type Answer = Months;

    fn windows(answer: &Months) -> usize {
        answer.windows
    }

    fn take(&mut self, answer: Months) -> Result<(), Failure> {
        self.found |= answer.windows > 0;
        if self.format == MonthFormat::Csv {
            self.out.write_all(&answer.lines)?;
        } else {
            self.all.push(answer.months);
        }
        Ok(())
    }

    fn end(self) -> Result<bool, Failure> {
        let summary = Summary {
            sites: &self.all,
            first: self.dates.first(),
            last: self.dates.last(),
            width: self.out.width(),
        };
        match self.format {
            MonthFormat::Csv => {}
            MonthFormat::Markdown => summary.write_markdown(self.out)?,
            MonthFormat::Table => summary.write_table(self.out)?,
        }
        if !self.found && !self.quiet {
            say("No window at any site in these evenings; without --summary the scan says why.");
        }
        Ok(self.found)
    }
}

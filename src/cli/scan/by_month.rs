//! `scan --by month`: the best night of each site and month.

use super::circumstances::Circumstances;
use crate::cli::{
    args::{Format, Formats},
    batch::{Ready, Writer},
    manners::{Failure, Output},
};
use rakelight::{
    report::{
        CsvLayout, calendar_csv,
        rows::calendar::MONTH,
        summary::{SiteMonths, Summary},
    },
    scene::Dates,
    search::{Season, months},
};
use std::{
    io::{self, Write},
    sync::Arc,
};

/// The writer of the months of all sites; `None` for CSV, which is written site
/// by site.
pub type MonthsPage = Option<fn(&Summary<'_>, &mut Output) -> io::Result<()>>;

pub const FORMATS: Formats<MonthsPage> = &[
    (Format::Table, Some(|months, out| months.write_table(out))),
    (Format::Csv, None),
    (
        Format::Markdown,
        Some(|months, out| months.write_markdown(out)),
    ),
];

/// Finds the best night of each month.
pub struct MonthSearch<'a> {
    csv: &'a CsvLayout,
    page: MonthsPage,
    season: Season,
}

/// The months of a site, their lines of CSV, and how many windows there were.
pub struct Months {
    months: SiteMonths,
    lines: Vec<u8>,
    windows: usize,
}

impl<'a> MonthSearch<'a> {
    pub fn new(page: MonthsPage, at: &Circumstances<'a>) -> Self {
        Self {
            csv: at.csv,
            page,
            season: Season::new(at.dates),
        }
    }

    pub fn answer(&self, Ready { site, rules, .. }: Ready) -> Result<Months, Failure> {
        let dates = self.season.dates();
        let windows = self
            .season
            .site_planners(Arc::clone(&site), rules)?
            .windows();
        let months = months(dates.first(), dates.last(), &windows);
        let mut lines = Vec::new();
        if self.page.is_none() {
            calendar_csv::write(&mut lines, MONTH, &site, &months, self.csv)?;
        }
        Ok(Months {
            months: SiteMonths::of(&site, &months),
            lines,
            windows: windows.len(),
        })
    }
}

/// Writes the months: a table when all sites are done, CSV after each site.
pub struct MonthWriter<'a> {
    page: MonthsPage,
    dates: Dates,
    out: &'a mut Output,
    found: bool,
    all: Vec<SiteMonths>,
}

impl<'a> MonthWriter<'a> {
    pub fn begin(
        search: &MonthSearch<'_>,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        if search.page.is_none() {
            calendar_csv::write_header(out, MONTH, at.csv)?;
        }
        Ok(Self {
            page: search.page,
            dates: at.dates,
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

    fn pass_on(&mut self) -> Result<(), Failure> {
        Ok(self.out.pass_on()?)
    }

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, answer: Months) -> Result<(), Failure> {
        self.found |= answer.windows > 0;
        if self.page.is_none() {
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
        if let Some(write) = self.page {
            write(&summary, self.out)?;
        }
        Ok(self.found)
    }
}

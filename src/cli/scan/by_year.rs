//! `scan --by year`: nights, hours and the best night of each site and year.

use super::circumstances::Circumstances;
use crate::cli::{
    args::{Format, Formats},
    batch::{Ready, Writer},
    manners::{Failure, Output},
};
use rakelight::{
    report::{
        CsvLayout,
        by_year::{SiteYears, YearPage},
        calendar_csv,
        rows::calendar::YEAR,
    },
    search::{Season, years},
};
use std::{io::Write, sync::Arc};

/// The format of the years of all sites.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YearFormat {
    Table,
    Csv,
    Markdown,
}

pub const FORMATS: Formats<YearFormat> = &[
    (Format::Table, YearFormat::Table),
    (Format::Csv, YearFormat::Csv),
    (Format::Markdown, YearFormat::Markdown),
];

/// Counts the nights of each year.
pub struct YearSearch<'a> {
    csv: &'a CsvLayout,
    format: YearFormat,
    season: Season,
}

/// The years of a site, their lines of CSV, and how many windows there were.
pub struct Years {
    years: SiteYears,
    lines: Vec<u8>,
    windows: usize,
}

impl<'a> YearSearch<'a> {
    pub fn new(format: YearFormat, at: &Circumstances<'a>) -> Self {
        Self {
            csv: at.csv,
            format,
            season: Season::new(at.dates),
        }
    }

    pub fn answer(&self, Ready { site, rules, .. }: Ready) -> Result<Years, Failure> {
        let dates = self.season.dates();
        let windows = self
            .season
            .site_planners(Arc::clone(&site), rules)?
            .windows();
        let years = years(dates.first(), dates.last(), &windows);
        let mut lines = Vec::new();
        if self.format == YearFormat::Csv {
            calendar_csv::write(&mut lines, YEAR, &site, &years, self.csv)?;
        }
        Ok(Years {
            years: SiteYears::of(&site, &years),
            lines,
            windows: windows.len(),
        })
    }
}

/// Writes the years of each site when that site is done.
pub struct YearWriter<'a> {
    format: YearFormat,
    page: YearPage,
    out: &'a mut Output,
    found: bool,
}

impl<'a> YearWriter<'a> {
    pub fn begin(
        search: &YearSearch<'_>,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        let page = YearPage::new(at.dates, out.width());
        match search.format {
            YearFormat::Table => page.begin_table(out)?,
            YearFormat::Csv => calendar_csv::write_header(out, YEAR, at.csv)?,
            YearFormat::Markdown => page.begin_markdown(out)?,
        }
        Ok(Self {
            format: search.format,
            page,
            out,
            found: false,
        })
    }
}

impl Writer for YearWriter<'_> {
    type Answer = Years;

    fn windows(answer: &Years) -> usize {
        answer.windows
    }

    fn pass_on(&mut self) -> Result<(), Failure> {
        Ok(self.out.pass_on()?)
    }

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, answer: Years) -> Result<(), Failure> {
        self.found |= answer.windows > 0;
        match self.format {
            YearFormat::Table => self.page.add_to_table(self.out, &answer.years)?,
            YearFormat::Csv => self.out.write_all(&answer.lines)?,
            YearFormat::Markdown => self.page.add_to_markdown(self.out, &answer.years)?,
        }
        Ok(())
    }

    fn end(self) -> Result<bool, Failure> {
        match self.format {
            YearFormat::Table => self.page.end_table(self.out)?,
            YearFormat::Csv => {}
            YearFormat::Markdown => self.page.end_markdown(self.out)?,
        }
        Ok(self.found)
    }
}

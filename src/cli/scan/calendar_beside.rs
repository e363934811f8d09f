//! `scan --by month` and `--by year` with `--compare`: years of a site side by
//! side, or sites.

use super::{
    circumstances::Circumstances,
    compare_args::{CalendarBeside, one_site},
    pages::Page,
    what_if::block,
};
use crate::cli::{
    args::{Format, Formats},
    batch::{Ready, Writer},
    manners::{Failure, Output},
};
use rakelight::{
    report::{
        CsvLayout, calendar_csv, calendar_json,
        row::Field,
        rows::calendar::{MONTH_OF_YEAR, SitePeriods, YEAR},
        sites_beside::{PeriodRows, SiteColumn, SitesBeside},
        years_beside::{SiteMonthsOfYears, YearsBesidePage},
    },
    scene::Dates,
    search::{CalendarPeriod, Season, Window, months, years},
};
use std::{io::Write, sync::Arc};

/// The format of counts side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BesideFormat {
    Table,
    Csv,
    Markdown,
    Json,
}

pub const FORMATS: Formats<BesideFormat> = &[
    (Format::Table, BesideFormat::Table),
    (Format::Csv, BesideFormat::Csv),
    (Format::Markdown, BesideFormat::Markdown),
    (Format::Json, BesideFormat::Json),
];

/// Counts the nights of each site by calendar.
pub struct CalendarSearch<'a> {
    csv: &'a CsvLayout,
    beside: CalendarBeside,
    format: BesideFormat,
    season: Season,
}

/// What a page for people keeps of a site.
enum Kept {
    Years(SiteMonthsOfYears),
    Column(SiteColumn),
    /// Nothing: its lines say all.
    Lines,
}

/// The counts of a site, its lines of CSV or its part of JSON, and how many
/// windows there were.
pub struct Counts {
    kept: Kept,
    lines: Vec<u8>,
    windows: usize,
}

impl<'a> CalendarSearch<'a> {
    pub fn new(beside: CalendarBeside, format: BesideFormat, at: &Circumstances<'a>) -> Self {
        Self {
            csv: at.csv,
            beside,
            format,
            season: Season::new(at.dates),
        }
    }

    fn dates(&self) -> Dates {
        self.season.dates()
    }

    fn fields(&self) -> &'static [Field<SitePeriods>] {
        match self.beside {
            CalendarBeside::MonthsOfYears | CalendarBeside::MonthsOfSites => MONTH_OF_YEAR,
            CalendarBeside::YearsOfSites => YEAR,
        }
    }

    fn periods<'w>(&self, windows: &'w [Window]) -> Vec<CalendarPeriod<'w>> {
        let (first, last) = (self.dates().first(), self.dates().last());
        match self.beside {
            CalendarBeside::MonthsOfYears | CalendarBeside::MonthsOfSites => {
                months(first, last, windows)
            }
            CalendarBeside::YearsOfSites => years(first, last, windows),
        }
    }

    pub fn answer(&self, Ready { site, rules, .. }: Ready) -> Result<Counts, Failure> {
        let windows = self
            .season
            .site_planners(Arc::clone(&site), rules)?
            .windows();
        let periods = self.periods(&windows);
        let mut lines = Vec::new();
        let kept = match (self.format, self.beside) {
            (BesideFormat::Csv, _) => {
                calendar_csv::write(&mut lines, self.fields(), &site, &periods, self.csv)?;
                Kept::Lines
            }
            (BesideFormat::Json, _) => {
                let key = match self.beside {
                    CalendarBeside::YearsOfSites => "by_year",
                    _ => "by_month",
                };
                let counts = calendar_json::array(self.fields(), &site, &periods);
                lines = block(&site, None, key, counts);
                Kept::Lines
            }
            (_, CalendarBeside::MonthsOfYears) => {
                Kept::Years(SiteMonthsOfYears::of(&site, &periods))
            }
            _ => Kept::Column(SiteColumn::of(&site, &periods)),
        };
        Ok(Counts {
            kept,
            lines,
            windows: windows.len(),
        })
    }

    /// A site's part of a JSON document.
    pub fn page(&self, ready: Ready) -> Result<Page, Failure> {
        let counts = self.answer(ready)?;
        Ok(Page {
            text: counts.lines,
            found: counts.windows > 0,
        })
    }
}

/// Writes years and CSV after each site, sites side by side when all are done.
pub struct CalendarWriter<'a> {
    beside: CalendarBeside,
    format: BesideFormat,
    years: YearsBesidePage,
    columns: Vec<SiteColumn>,
    dates: Dates,
    out: &'a mut Output,
    found: bool,
}

impl<'a> CalendarWriter<'a> {
    pub fn begin(
        search: &CalendarSearch<'_>,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        let years = YearsBesidePage::new(at.dates, out.width());
        match (search.format, search.beside) {
            (BesideFormat::Csv, _) => calendar_csv::write_header(out, search.fields(), at.csv)?,
            (BesideFormat::Table, CalendarBeside::MonthsOfYears) => years.begin_table(out)?,
            (BesideFormat::Markdown, CalendarBeside::MonthsOfYears) => years.begin_markdown(out)?,
            _ => {}
        }
        Ok(Self {
            beside: search.beside,
            format: search.format,
            years,
            columns: Vec::new(),
            dates: at.dates,
            out,
            found: false,
        })
    }

    /// Writes the sites side by side.
    fn write_columns(&mut self, rows: PeriodRows) -> Result<(), Failure> {
        if self.columns.len() == 1 {
            return Err(one_site(None));
        }
        let page = SitesBeside {
            sites: &self.columns,
            rows,
            dates: self.dates,
            width: self.out.width(),
        };
        match self.format {
            BesideFormat::Markdown => page.write_markdown(self.out)?,
            _ => page.write_table(self.out)?,
        }
        Ok(())
    }
}

impl Writer for CalendarWriter<'_> {
    type Answer = Counts;

    fn windows(answer: &Counts) -> usize {
        answer.windows
    }

    fn pass_on(&mut self) -> Result<(), Failure> {
        Ok(self.out.pass_on()?)
    }

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, answer: Counts) -> Result<(), Failure> {
        self.found |= answer.windows > 0;
        match answer.kept {
            Kept::Lines => self.out.write_all(&answer.lines)?,
            Kept::Column(column) => self.columns.push(column),
            Kept::Years(site) if self.format == BesideFormat::Markdown => {
                self.years.add_to_markdown(self.out, &site)?;
            }
            Kept::Years(site) => self.years.add_to_table(self.out, &site)?,
        }
        Ok(())
    }

    fn end(mut self) -> Result<bool, Failure> {
        match (self.format, self.beside) {
            (BesideFormat::Csv | BesideFormat::Json, _) => {}
            (BesideFormat::Table, CalendarBeside::MonthsOfYears) => {
                self.years.end_table(self.out)?;
            }
            (BesideFormat::Markdown, CalendarBeside::MonthsOfYears) => {
                self.years.end_markdown(self.out)?;
            }
            (_, CalendarBeside::MonthsOfSites) => self.write_columns(PeriodRows::Months)?,
            (_, CalendarBeside::YearsOfSites) => self.write_columns(PeriodRows::Years)?,
        }
        Ok(self.found)
    }
}

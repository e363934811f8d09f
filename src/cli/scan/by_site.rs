//! `scan --by site`: nights, hours and the best night of each site, in a row.

use super::{circumstances::Circumstances, pages::Pages};
use crate::cli::{
    args::{Format, Formats},
    batch::{Ready, Writer},
    features::counts_feature,
    manners::{Failure, Output},
};
use rakelight::{
    report::{
        CsvLayout, LeftOutSite, SiteCounts,
        by_site::{SiteRow, SitesPage, tells_best, write_csv_header},
    },
    scene::Dates,
    search::Season,
};
use std::sync::Arc;

/// The format of the counts of all sites.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountsFormat {
    Table,
    Csv,
    Json,
    Ndjson,
    Map,
    Markdown,
}

impl CountsFormat {
    /// Whether nothing is written before the last site is done.
    pub const fn is_page(self) -> bool {
        matches!(self, Self::Table | Self::Markdown)
    }
}

pub const FORMATS: Formats<CountsFormat> = &[
    (Format::Table, CountsFormat::Table),
    (Format::Csv, CountsFormat::Csv),
    (Format::Json, CountsFormat::Json),
    (Format::Ndjson, CountsFormat::Ndjson),
    (Format::Geojson, CountsFormat::Map),
    (Format::Markdown, CountsFormat::Markdown),
];

/// Counts the nights of each site.
pub struct CountSearch<'a> {
    csv: &'a CsvLayout,
    format: CountsFormat,
    season: Season,
    /// Whether the best window of a site is asked for.
    with_best: bool,
}

/// The counts of a site as they are written, or as they are kept for a page.
pub struct Counted {
    text: Vec<u8>,
    row: Option<SiteRow>,
    windows: usize,
}

impl<'a> CountSearch<'a> {
    pub fn new(format: CountsFormat, at: &Circumstances<'a>) -> Self {
        let is_lines = matches!(format, CountsFormat::Csv | CountsFormat::Ndjson);
        Self {
            csv: at.csv,
            format,
            season: Season::new(at.dates),
            with_best: !is_lines || tells_best(at.csv),
        }
    }

    pub fn answer(&self, ready: Ready) -> Result<Counted, Failure> {
        let Ready {
            site, rules, id, ..
        } = ready;
        let planners = self.season.site_planners(Arc::clone(&site), rules)?;
        let kinds = planners.kinds();
        // Who only counts windows need not look for their best instants.
        let (windows, spans) = match self.with_best {
            true => (planners.windows(), Vec::new()),
            false => (Vec::new(), planners.spans()),
        };
        let counts = match self.with_best {
            true => {
                let with_light = windows.iter().map(|window| (window.light, window));
                SiteCounts::of_windows(&site, &kinds, with_light)
            }
            false => SiteCounts::of_spans(&site, &kinds, &spans),
        };
        let mut text = Vec::new();
        match self.format {
            CountsFormat::Csv => counts.write_csv(&mut text, self.csv)?,
            CountsFormat::Ndjson => counts.write_line(&mut text, self.csv)?,
            CountsFormat::Json => counts.write_block(&mut text)?,
            CountsFormat::Map => text = counts_feature(&site, &id, &counts).into_bytes(),
            CountsFormat::Table | CountsFormat::Markdown => {}
        }
        let row = self.format.is_page().then(|| SiteRow::of(&site, &counts));
        Ok(Counted {
            text,
            row,
            windows: windows.len() + spans.len(),
        })
    }
}

/// Writes the counts: a page when all sites are done, all else after each site.
pub struct CountWriter<'a> {
    format: CountsFormat,
    dates: Dates,
    width: usize,
    pages: Pages<'a>,
    rows: Vec<SiteRow>,
    found: bool,
}

impl<'a> CountWriter<'a> {
    pub fn begin(
        search: &CountSearch<'_>,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        let width = out.width();
        if search.format == CountsFormat::Csv {
            write_csv_header(out, at.csv)?;
        }
        Ok(Self {
            format: search.format,
            dates: at.dates,
            width,
            pages: match search.format {
                CountsFormat::Json => Pages::document(out, at)?,
                CountsFormat::Map => Pages::map(out)?,
                _ => Pages::Plain(out),
            },
            rows: Vec::new(),
            found: false,
        })
    }
}

impl Writer for CountWriter<'_> {
    type Answer = Counted;

    fn windows(answer: &Counted) -> usize {
        answer.windows
    }

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, answer: Counted) -> Result<(), Failure> {
        self.found |= answer.windows > 0;
        match answer.row {
            Some(row) => self.rows.push(row),
            None => self.pages.page(&answer.text)?,
        }
        Ok(())
    }

    fn pass_on(&mut self) -> Result<(), Failure> {
        self.pages.pass_on()
    }

    fn left_out(&mut self, site: LeftOutSite) {
        self.pages.left_out(&site);
    }

    fn stop(self, reason: &str) -> Result<(), Failure> {
        self.pages.stop(reason)
    }

    fn end(mut self) -> Result<bool, Failure> {
        let page = SitesPage {
            sites: &self.rows,
            dates: self.dates,
            width: self.width,
        };
        let mut text = Vec::new();
        match self.format {
            CountsFormat::Table => page.write_table(&mut text)?,
            CountsFormat::Markdown => page.write_markdown(&mut text)?,
            _ => {}
        }
        if !text.is_empty() {
            self.pages.page(&text)?;
        }
        self.pages.end()?;
        Ok(self.found)
    }
}

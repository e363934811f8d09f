//! The pages of sites, written one after the other.

use super::circumstances::Circumstances;
use crate::cli::{
    args::Format,
    batch::Writer,
    manners::{Failure, output::Output},
};
use rakelight::report::{LeftOutSite, WINDOW_FIELDS, csv, json, map};
use std::io::{self, Write};

/// What comes before, between and after the pages.
pub enum Pages<'a> {
    Plain(&'a mut Output),
    Spaced {
        out: &'a mut Output,
        pages: usize,
    },
    Json(json::Document<&'a mut Output>),
    Closed {
        out: &'a mut Output,
        pages: usize,
        between: &'static str,
        end: String,
    },
}

impl<'a> Pages<'a> {
    /// Pages of windows.
    pub fn begin(
        out: &'a mut Output,
        format: Format,
        at: &Circumstances<'_>,
    ) -> Result<Self, Failure> {
        Ok(match format {
            Format::Table | Format::Markdown => Self::spaced(out),
            Format::Geojson => Self::map(out)?,
            Format::Gpx | Format::Kml => {
                let file = format.waypoint_file();
                let [begin, end] = file.map_or_else(Default::default, |file| {
                    [file.begin(), file.end().to_owned()]
                });
                write!(out, "{begin}")?;
                Self::Closed {
                    out,
                    pages: 0,
                    between: "",
                    end,
                }
            }
            Format::Csv => {
                csv::write_header(out, WINDOW_FIELDS, at.csv)?;
                Self::Plain(out)
            }
            // A calendar has what comes before and after its entries.
            Format::Ndjson | Format::Ical | Format::Html => Self::Plain(out),
            Format::Json => Self::document(out, at)?,
        })
    }

    /// The features of a map.
    pub fn map(out: &'a mut Output) -> Result<Self, Failure> {
        writeln!(out, "{}", map::BEGIN)?;
        Ok(Self::Closed {
            out,
            pages: 0,
            between: ",\n",
            end: format!("\n{}", map::END),
        })
    }

    /// Pages with an empty line between them.
    pub fn spaced(out: &'a mut Output) -> Self {
        Self::Spaced { out, pages: 0 }
    }

    /// The sites of a JSON document, written one by one. It is a document
    /// wherever the run ends.
    pub fn document(out: &'a mut Output, at: &Circumstances<'_>) -> Result<Self, Failure> {
        out.closes_with(json::stopped("interrupted"));
        let document = json::Document::begin(out, &at.query())?;
        Ok(Self::Json(match at.keep_going {
            true => document.listing_left_out(),
            false => document,
        }))
    }

    pub fn page(&mut self, page: &[u8]) -> Result<(), Failure> {
        self.page_by(|out| out.write_all(page))
    }

    /// A page that is written as it is made.
    pub fn page_by(
        &mut self,
        write: impl FnOnce(&mut Output) -> io::Result<()>,
    ) -> Result<(), Failure> {
        match self {
            Self::Plain(out) => write(out)?,
            Self::Spaced { out, pages } => {
                if *pages > 0 {
                    writeln!(out)?;
                }
                *pages += 1;
                write(out)?;
            }
            Self::Json(document) => {
                document.site_by(|out| write(out))?;
                document.output().part_done()?;
            }
            Self::Closed {
                out,
                pages,
                between,
                ..
            } => {
                if *pages > 0 {
                    out.write_all(between.as_bytes())?;
                }
                *pages += 1;
                write(out)?;
            }
        }
        Ok(())
    }

    /// Writes what comes once below all pages, after an empty line if there are
    /// several.
    pub fn foot(&mut self, foot: &[u8]) -> Result<(), Failure> {
        match self {
            Self::Spaced { out, pages } if *pages > 0 && !foot.is_empty() => {
                if *pages > 1 {
                    writeln!(out)?;
                }
                out.write_all(foot)?;
            }
            _ => {}
        }
        Ok(())
    }

    /// Lets whoever reads the output have what is whole.
    pub fn pass_on(&mut self) -> Result<(), Failure> {
        match self {
            Self::Plain(out) | Self::Spaced { out, .. } | Self::Closed { out, .. } => out,
            Self::Json(document) => document.output(),
        }
        .pass_on()?;
        Ok(())
    }

    /// Takes note of a site that was left out.
    pub fn left_out(&mut self, site: &LeftOutSite) {
        if let Self::Json(document) = self {
            document.left_out(site);
        }
    }

    /// Ends a document of which a part has gone out already.
    pub fn stop(self, reason: &str) -> Result<(), Failure> {
        if let Self::Json(mut document) = self {
            document.output().stop(&json::stopped(reason))?;
        }
        Ok(())
    }

    pub fn end(self) -> Result<(), Failure> {
        match self {
            Self::Json(document) => {
                document.end()?;
            }
            Self::Closed { out, end, .. } => out.write_all(end.as_bytes())?,
            Self::Plain(_) | Self::Spaced { .. } => {}
        }
        Ok(())
    }
}

/// One site's part of an output.
pub struct Page {
    pub text: Vec<u8>,
    /// Whether something was found there.
    pub found: bool,
}

/// Writes answers that are whole pages.
pub struct PageWriter<'a> {
    pages: Pages<'a>,
    found: bool,
    foot: Vec<u8>,
}

impl<'a> PageWriter<'a> {
    pub fn new(pages: Pages<'a>) -> Self {
        Self::with_foot(pages, Vec::new())
    }

    /// With what stands once under all pages.
    pub fn with_foot(pages: Pages<'a>, foot: Vec<u8>) -> Self {
        Self {
            pages,
            found: false,
            foot,
        }
    }
}

impl Writer for PageWriter<'_> {
    type Answer = Page;

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, page: Page) -> Result<(), Failure> {
        self.found |= page.found;
        self.pages.page(&page.text)
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
        if self.found {
            self.pages.foot(&self.foot)?;
        }
        self.pages.end()?;
        Ok(self.found)
    }
}

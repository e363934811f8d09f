//! The pages of sites, written one after the other.

use super::circumstances::Circumstances;
use crate::cli::{
    args::Format,
    batch::Writer,
    manners::{Failure, output::Output},
};
use rakelight::report::{WINDOW_FIELDS, csv, json, map};
use serde_json::Value;
use std::io::Write;

/// What comes before, between and after the pages.
pub enum Pages<'a> {
    Plain(&'a mut Output),
    Spaced {
        out: &'a mut Output,
        pages: usize,
    },
    Json(json::Document<&'a mut Output>),
    /// JSON that is written only when it is complete.
    Held {
        out: &'a mut Output,
        document: json::Document<Vec<u8>>,
    },
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
            Format::Ndjson | Format::Ical => Self::Plain(out),
            Format::Json => Self::document(out, &at.query())?,
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

    /// The sites of a JSON document, written one by one.
    pub fn document(out: &'a mut Output, query: &Value) -> Result<Self, Failure> {
        Ok(Self::Json(json::Document::begin(out, query)?))
    }

    /// Pages with an empty line between them.
    pub fn spaced(out: &'a mut Output) -> Self {
        Self::Spaced { out, pages: 0 }
    }

    /// A JSON document that is written when it is complete.
    pub fn held(out: &'a mut Output, query: &Value) -> Result<Self, Failure> {
        let document = json::Document::begin(Vec::new(), query)?;
        Ok(Self::Held { out, document })
    }

    pub fn page(&mut self, page: &[u8]) -> Result<(), Failure> {
        match self {
            Self::Plain(out) => out.write_all(page)?,
            Self::Spaced { out, pages } => {
                if *pages > 0 {
                    writeln!(out)?;
                }
                *pages += 1;
                out.write_all(page)?;
            }
            Self::Json(document) => document.site(page)?,
            Self::Held { document, .. } => document.site(page)?,
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
                out.write_all(page)?;
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

    pub fn end(self) -> Result<(), Failure> {
        match self {
            Self::Json(document) => {
                document.end()?;
            }
            Self::Held { out, document } => out.write_all(&document.end()?)?,
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

    fn take(&mut self, page: Page) -> Result<(), Failure> {
        self.found |= page.found;
        self.pages.page(&page.text)
    }

    fn end(mut self) -> Result<bool, Failure> {
        if self.found {
            self.pages.foot(&self.foot)?;
        }
        self.pages.end()?;
        Ok(self.found)
    }
}

//! A table of sites with its rows as they are written, to be completed.

use super::fault::Faults;
use super::files::SiteReading;
use super::opening::open_plain;
use super::read_csv::SiteTable;
use crate::csv_style::CsvStyle;
use crate::scene::Site;
use csv::WriterBuilder;
use std::io::{self, Write};
use std::path::Path;

/// A table of sites whose rows keep what is written in them.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct WrittenTable {
    /// The signs in which it is written.
    pub style: CsvStyle,
    /// The names of the columns.
    pub header: Vec<String>,
    /// The rows, in their order.
    pub rows: Vec<WrittenRow>,
}

/// A row of a table of sites.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct WrittenRow {
    /// The line on which it begins, from 1.
    pub line: usize,
    /// Its fields, as many as the header has if the site is good.
    pub fields: Vec<String>,
    /// The site, or what is wrong with it.
    pub site: Result<Site, Faults>,
}

impl WrittenTable {
    /// Reads the table at `path`.
    ///
    /// # Errors
    ///
    /// A file that can't be read, a wrong header, no row. What is wrong with a
    /// row stands in its place.
    pub fn read(path: &Path, reading: &SiteReading) -> Result<Self, Faults> {
        (reading.opening)(path);
        let directory = path.parent().unwrap_or(Path::new(""));
        let table = open_plain(path, "a table of sites")?;
        SiteTable::new(&path.display().to_string(), directory, table)?
            .telling(reading.opening.clone())
            .with_defaults(reading.defaults.clone())
            .written()
    }

    /// The place of a column, which is added at the end if there is none.
    pub fn column(&mut self, name: &str) -> usize {
        if let Some(place) = self.header.iter().position(|known| known == name) {
            return place;
        }
        self.header.push(name.to_owned());
        for row in &mut self.rows {
            row.fields.push(String::new());
        }
        self.header.len().saturating_sub(1)
    }

    /// Writes the header and the good rows, in the style of the table.
    ///
    /// # Errors
    ///
    /// Those of the writer.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let mut table = WriterBuilder::new()
            .delimiter(self.style.separator())
            .terminator(csv::Terminator::CRLF)
            .from_writer(out);
        table.write_record(&self.header)?;
        for row in self.rows.iter().filter(|row| row.site.is_ok()) {
            table.write_record(&row.fields)?;
        }
        table.flush()
    }
}

//! How lines of records are written: which columns, and the CSV of them.

use super::{csv::CsvArgs, format::Format, headings::PRINT};
use crate::cli::manners::Failure;
use clap::Args;
use rakelight::{
    report::{CsvLayout, CsvTable},
    scene::ValueError,
};

#[derive(Debug, Args)]
pub struct TableArgs {
    #[command(flatten)]
    csv: CsvArgs,

    /// Columns of CSV and NDJSON, in this order: night,score
    ///
    /// Names with commas between them, those of your own tables too. One that ends
    /// in * means all that begin so and are not named: 'night,moon_*', or with
    /// a * alone all others: 'night,score,*'. docs/formats.md lists them.
    #[arg(long, value_name = "NAMES", hide_short_help = true, help_heading = PRINT)]
    columns: Option<String>,

    /// CSV without the line of names, to append to a file
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    no_header: bool,
}

impl TableArgs {
    /// Refuses what was asked of lines if the answer, in this format, has none.
    ///
    /// # Errors
    ///
    /// A style, columns or no header was asked for.
    pub fn check(&self, format: Format, table: Option<CsvTable>) -> Result<(), Failure> {
        self.csv.style(format)?;
        let refused = |option: &str, found: &str, expected: &str, formats: &str| {
            let remedy = format!("choose --format {formats}, or leave --{option} out");
            let error = ValueError::new(found, expected).with_remedy(remedy);
            Err(Failure::option(option, &error))
        };
        if self.columns.is_some() && table.is_none() {
            let found = "names for what is no CSV or NDJSON";
            let expected = "--format csv or --format ndjson";
            return refused("columns", found, expected, "csv or ndjson");
        }
        if self.no_header && (table.is_none() || format != Format::Csv) {
            let found = "it for what is no CSV";
            return refused("no-header", found, "--format csv", "csv");
        }
        Ok(())
    }

    /// Whether the names of the user's own columns must be known before the first
    /// line is written.
    pub fn needs_own(&self, format: Format) -> bool {
        format == Format::Csv || self.columns.is_some()
    }

    /// The layout of the lines of `table`, where there are columns of the user's
    /// own of these names.
    ///
    /// # Errors
    ///
    /// A column was asked for that is not there, or twice.
    pub fn layout(
        &self,
        table: Option<CsvTable>,
        own: impl IntoIterator<Item = String>,
    ) -> Result<CsvLayout, Failure> {
        let mut layout = CsvLayout::new(self.csv.csv_style.unwrap_or_default(), own);
        layout.without_header = self.no_header;
        let (Some(table), Some(typed)) = (table, &self.columns) else {
            return Ok(layout);
        };
        let chosen = layout.choosing(table, typed);
        chosen.map_err(|error| Failure::option("columns", &error))
    }
}

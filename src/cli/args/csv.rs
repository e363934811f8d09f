//! How CSV is written, for spreadsheets of any country.

use super::{format::Format, headings::PRINT};
use crate::cli::manners::Failure;
use clap::{
    Args,
    builder::{PossibleValuesParser, TypedValueParser},
};
use rakelight::{CsvStyle, scene::ValueError};

#[derive(Debug, Args)]
pub struct CsvArgs {
    /// CSV with comma, semicolon or tab [default: comma]
    ///
    /// Between the fields. With semicolon numbers have decimal commas, as
    /// spreadsheets in much of the world expect; otherwise decimal points. Dates
    /// and times are the same in each. All are read back.
    #[arg(long, value_name = "STYLE", value_parser = parser(), hide_possible_values = true, hide_short_help = true, help_heading = PRINT)]
    pub csv_style: Option<CsvStyle>,
}

fn parser() -> impl TypedValueParser<Value = CsvStyle> {
    PossibleValuesParser::new(CsvStyle::ALL.map(CsvStyle::word)).try_map(|word| {
        let mut styles = CsvStyle::ALL.into_iter();
        styles.find(|style| style.word() == word).ok_or("a style")
    })
}

impl CsvArgs {
    /// The style to write in.
    ///
    /// # Errors
    ///
    /// One was asked for, but no CSV.
    pub fn style(&self, format: Format) -> Result<CsvStyle, Failure> {
        let remedy = "choose --format csv, or leave --csv-style out";
        self.style_of(format == Format::Csv, "--format csv", remedy)
    }

    /// The style to write in, if it `is_csv`, as `expected`.
    ///
    /// # Errors
    ///
    /// One was asked for, but no CSV; `remedy` says how to ask for one.
    pub fn style_of(
        &self,
        is_csv: bool,
        expected: &str,
        remedy: &str,
    ) -> Result<CsvStyle, Failure> {
        match self.csv_style {
            Some(style) if !is_csv => {
                let found = format!("{} for what is no CSV", style.word());
                let error = ValueError::new(&found, expected).with_remedy(remedy);
                Err(Failure::option("csv-style", &error))
            }
            style => Ok(style.unwrap_or_default()),
        }
    }
}

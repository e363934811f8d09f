//! Where output goes, and as what.

use super::headings::PRINT;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Write there, whole or not at all
    ///
    /// Instead of to standard output, which - means too. A site, brief, skyline
    /// or tile is never written over. Without --format a name that ends in
    /// .csv, .json, .ics, .md and so on gets that format, where the command
    /// has it.
    #[arg(short, long = "output", value_name = "FILE", help_heading = PRINT)]
    pub output: Option<PathBuf>,

    /// Say nothing on standard error but errors
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub quiet: bool,
}

impl OutputArgs {
    /// The format asked for, or that the file's name ends in; `otherwise`
    /// where neither tells. A table in a file called `nights.csv` is a trap
    /// for the spreadsheet that opens it.
    pub fn format<F: ValueEnum>(&self, asked: Option<F>, otherwise: F) -> F {
        let ending = || {
            let ending = self.output.as_deref()?.extension()?.to_str()?;
            let name = match ending.to_ascii_lowercase().as_str() {
                "ics" => "ical",
                "md" => "markdown",
                "jsonl" => "ndjson",
                _ => ending,
            };
            F::from_str(name, true).ok()
        };
        asked.or_else(ending).unwrap_or(otherwise)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TextFormat {
    Table,
    Json,
}

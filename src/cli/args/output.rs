//! Where output goes, and in which format.

use super::{
    conventions::ConventionArgs,
    format::{self, Format, Formats},
    headings::PRINT,
};
use crate::cli::manners::{Failure, Output};
use clap::Args;
use std::{ops::Deref, path::PathBuf};

#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Write to FILE (replaced only when complete)
    ///
    /// Without it, and with -, output goes to standard output. A site, brief, skyline
    /// or tile is never written over. Without --format a name that ends in
    /// .csv, .json, .ics, .md and so on gets that format; one that the command
    /// does not know is refused.
    #[arg(short, long = "output", value_name = "FILE", help_heading = PRINT)]
    pub output: Option<PathBuf>,

    /// Print only errors on standard error
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub quiet: bool,
}

/// The output of a command about sites, part of which may be for people.
#[derive(Debug, Args)]
pub struct SiteOutputArgs {
    #[command(flatten)]
    file: OutputArgs,

    #[command(flatten)]
    pub conventions: ConventionArgs,
}

impl Deref for SiteOutputArgs {
    type Target = OutputArgs;

    fn deref(&self) -> &OutputArgs {
        &self.file
    }
}

impl OutputArgs {
    /// The format asked for, else that of the file's ending, else the first
    /// that the command has.
    pub fn format<T: Copy>(&self, has: Formats<T>, asked: Option<Format>) -> (Format, T) {
        format::chosen(has, asked, self.output.as_deref())
    }

    /// Opens the output for a format that a command has.
    ///
    /// # Errors
    ///
    /// It cannot be written to, or its ending tells no format and none is
    /// `asked` for.
    pub fn open<T>(&self, has: Formats<T>, asked: Option<Format>) -> Result<Output, Failure> {
        let out = Output::open(self.output.as_deref())?;
        format::check_ending(has, asked, self.output.as_deref())?;
        Ok(out)
    }
}

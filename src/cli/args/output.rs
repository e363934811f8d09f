//! Where output goes, and as what.

use super::PRINT;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Write there, whole or not at all
    ///
    /// Instead of to standard output, which - means too. A site, brief, skyline
    /// or tile is never written over.
    #[arg(short, long = "output", value_name = "FILE", help_heading = PRINT)]
    pub output: Option<PathBuf>,

    /// Say nothing on standard error but errors
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub quiet: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TextFormat {
    Table,
    Json,
}

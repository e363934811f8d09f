//! What a run ends with that finds nothing.

use super::headings::PRINT;
use crate::cli::manners::Outcome;
use clap::Args;

#[derive(Debug, Clone, Copy, Args)]
pub struct EmptyArgs {
    /// End with exit code 0, not 1, where nothing is found
    ///
    /// For one part of many, where none is no failure. The other codes stay.
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    empty_ok: bool,
}

impl EmptyArgs {
    /// How a command ended for whoever started it.
    pub const fn told(self, outcome: Outcome) -> Outcome {
        match outcome {
            Outcome::NothingFound if self.empty_ok => Outcome::Done,
            _ => outcome,
        }
    }
}

//! How a command ended.

use super::write_error::{WriteError, reason};
use rakelight::{input::Faults, scene::ValueError, search::PlanError};
use std::io;

/// How a command that did not fail ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nights were found, or the command did its work.
    Done,
    /// The scan ran and found none.
    NothingFound,
    /// Sites were left out, as `--keep-going` asked.
    LeftOut,
}

impl Outcome {
    /// The outcome of a search that found something, or nothing.
    pub fn of_search(found: bool) -> Self {
        if found {
            Self::Done
        } else {
            Self::NothingFound
        }
    }
}

/// Why a command stopped.
#[derive(Debug)]
pub enum Failure {
    /// The reader of the output has closed it.
    ClosedPipe,
    /// An error to report to the user.
    Reported(anyhow::Error),
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Self {
        let closed = error
            .chain()
            .filter_map(|cause| cause.downcast_ref::<io::Error>())
            .any(|cause| cause.kind() == io::ErrorKind::BrokenPipe);
        if closed {
            Self::ClosedPipe
        } else {
            Self::Reported(error)
        }
    }
}

impl From<io::Error> for Failure {
    /// An error of input and output that leaves a command is about its output.
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Self::ClosedPipe;
        }
        // An error of a named file already has its message.
        let told = error.get_ref().and_then(|told| told.downcast_ref());
        Self::Reported(match told {
            Some(WriteError(words)) => anyhow::anyhow!("{words}"),
            None => anyhow::anyhow!("the output: {}", reason(&error)),
        })
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Self {
        Self::Reported(error.into())
    }
}

impl From<Faults> for Failure {
    /// All the faults, each on a line of its own.
    fn from(faults: Faults) -> Self {
        let count = faults.count();
        let what = if count == 1 { "error" } else { "errors" };
        Self::Reported(anyhow::anyhow!("{count} {what} in the input\n{faults}"))
    }
}

impl Failure {
    /// The refusal of an option's value.
    pub fn option(option: &str, error: &ValueError) -> Self {
        Self::Reported(anyhow::anyhow!("--{option}: {error}"))
    }
}

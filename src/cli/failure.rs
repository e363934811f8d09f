//! Why a command stopped.

use super::unwritable::{Unwritable, reason};
use rakelight::{input::Faults, scene::ValueError, search::PlanError};
use std::io;

/// Why a command stopped.
#[derive(Debug)]
pub enum Failure {
    /// The reader of our output went away.
    ClosedPipe,
    /// Something the user must be told.
    Said(anyhow::Error),
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
            Self::Said(error)
        }
    }
}

impl From<io::Error> for Failure {
    /// What fails on its way out of a command is its output.
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Self::ClosedPipe;
        }
        // A file that knows its name has said so already.
        let told = error.get_ref().and_then(|told| told.downcast_ref());
        Self::Said(match told {
            Some(Unwritable(words)) => anyhow::anyhow!("{words}"),
            None => anyhow::anyhow!("the output: {}", reason(&error)),
        })
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Self {
        Self::Said(error.into())
    }
}

impl From<Faults> for Failure {
    /// All the faults, each on a line of its own.
    fn from(faults: Faults) -> Self {
        let count = faults.count();
        let what = if count == 1 { "error" } else { "errors" };
        Self::Said(anyhow::anyhow!("{count} {what} in the input\n{faults}"))
    }
}

impl Failure {
    /// A refused option value.
    pub fn option(option: &str, error: &ValueError) -> Self {
        Self::Said(anyhow::anyhow!("--{option}: {error}"))
    }
}

//! Why a command stopped.

use rakelight::scene::{Faults, ValueError};
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
    fn from(error: io::Error) -> Self {
        anyhow::Error::from(error).into()
    }
}

impl From<Faults> for Failure {
    /// All the faults, each on a line of its own.
    fn from(faults: Faults) -> Self {
        Self::of_faults(&faults, 0)
    }
}

impl Failure {
    /// The faults, each on a line of its own, and how many `more` there were.
    pub fn of_faults(faults: &Faults, more: usize) -> Self {
        let count = faults.0.len() + more;
        let what = if count == 1 { "error" } else { "errors" };
        let rest = match more {
            0 => String::new(),
            more => format!("\nand {more} more"),
        };
        Self::Said(anyhow::anyhow!(
            "{count} {what} in the input\n{faults}{rest}"
        ))
    }

    /// A refused option value.
    pub fn option(option: &str, error: &ValueError) -> Self {
        Self::Said(anyhow::anyhow!("--{option}: {error}"))
    }
}

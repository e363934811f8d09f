//! How a command ended.

use super::write_error::{WriteError, reason};
use rakelight::{input::Faults, scene::ValueError, search::PlanError};
use std::{
    fmt::{self, Display, Formatter},
    io,
};

/// How a command that did not fail ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nights were found, or the command did its work.
    Done,
    /// The scan ran and found none.
    NothingFound,
    /// There is an answer, but sites were left out, as `--keep-going` asked.
    LeftOut,
    /// Every site was left out: there is no answer.
    NothingRead,
    /// What is wrong is said already.
    Refused,
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

/// How many of the sites of a command were left out.
#[derive(Debug, Clone, Copy, Default)]
pub struct Share {
    pub left_out: usize,
    pub sites: usize,
}

impl Share {
    /// Whether every site was left out.
    pub fn is_all(self) -> bool {
        self.left_out > 0 && self.left_out >= self.sites
    }

    /// The outcome, which is `otherwise` if no site was left out.
    pub fn outcome(self, otherwise: Outcome) -> Outcome {
        match self.left_out {
            0 => otherwise,
            _ if self.is_all() => Outcome::NothingRead,
            _ => Outcome::LeftOut,
        }
    }
}

impl Display for Share {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let Self { left_out, sites } = *self;
        match self.outcome(Outcome::Done) {
            Outcome::NothingRead if sites == 1 => write!(f, "The only site could not be read."),
            Outcome::NothingRead => write!(f, "None of the {sites} sites could be read."),
            _ => write!(f, "{left_out} of {sites} sites left out."),
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

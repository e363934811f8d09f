//! Why a planner has no answer.

use crate::{
    light::LightError,
    rule::{NoCamera, NoSubject, RulesError},
    scene::{Dates, SiteError, ValueError},
};
use chrono::{DateTime, NaiveDate, Utc};

/// Why a planner cannot be made or has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// An impossible site.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// A value that its rule does not accept.
    #[error("{key}: {error}")]
    Rule {
        /// The rule's key.
        key: &'static str,
        /// What is wrong with its value.
        error: ValueError,
    },
    /// Rules that face a subject which the site does not have.
    #[error(transparent)]
    NoSubject(#[from] NoSubject),
    /// A rule about the frame of a camera that is not known.
    #[error(transparent)]
    NoCamera(#[from] NoCamera),
    /// No rules were given.
    #[error("a site cannot be searched without rules")]
    NoRules,
    /// An instant at which the season's sky is not known.
    #[error("{asked} lies outside the season, which is known from {from} to {to}")]
    Instant {
        /// The instant asked for.
        asked: DateTime<Utc>,
        /// The first instant known.
        from: DateTime<Utc>,
        /// The last instant known.
        to: DateTime<Utc>,
    },
    /// A night that is not of the season, or not in the site's calendar.
    #[error("{asked} is no night of the season, which goes from {first} to {last}")]
    Night {
        /// The night asked for.
        asked: NaiveDate,
        /// The first night of the season.
        first: NaiveDate,
        /// The last night of the season.
        last: NaiveDate,
    },
    /// An impossible camera.
    #[error(transparent)]
    Camera(#[from] LightError),
}

impl From<RulesError> for PlanError {
    fn from(error: RulesError) -> Self {
        match error {
            RulesError::Value { key, error } => Self::Rule { key, error },
            RulesError::NoSubject(error) => Self::NoSubject(error),
            RulesError::NoCamera(error) => Self::NoCamera(error),
        }
    }
}

impl PlanError {
    pub(crate) fn no_such_night(asked: NaiveDate, dates: Dates) -> Self {
        Self::Night {
            asked,
            first: dates.first(),
            last: dates.last(),
        }
    }
}

//! Why there is no place for the tripod.

use crate::{Figure, search::PlanError};

/// Why there is no tripod position.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoTripodPosition {
    /// The site has no subject.
    #[error("{site} has no subject to stand the target over; give the site a [subject]")]
    NoSubject {
        /// The site's name.
        site: String,
    },
    /// The subject's place is not known.
    #[error(
        "the place of {site}'s subject is not known: give [subject] a distance_m beside its bearing_deg, or its latitude_deg and longitude_deg"
    )]
    NoPlace {
        /// The site's name.
        site: String,
    },
    /// The subject's height is not known.
    #[error("the height of {site}'s subject is not known: give [subject] a height_m")]
    NoHeight {
        /// The site's name.
        site: String,
    },
    /// The subject's top is no higher than the lens.
    #[error(
        "the subject's top stands {below_m:.1} m below a lens at {:.1} m: there is no looking up at it from level ground",
        Figure(*.eye_m)
    )]
    TopBelowLens {
        /// How far below, metres.
        below_m: f64,
        /// Height of the lens above the sea, metres.
        eye_m: f64,
    },
    /// The target is below the horizon.
    #[error("the target is below the horizon ({:.1} degrees)", Figure(*.altitude_deg))]
    TargetDown {
        /// Its apparent altitude, degrees.
        altitude_deg: f64,
    },
    /// The target is too low for the clearance.
    #[error(
        "the target stands {:.1} degrees up, so with {:.1} degrees of clearance the subject's top would have to appear {:.1} degrees up, which it does from nowhere within 30 km: ask for less clearance or a time when the target is higher",
        Figure(*.altitude_deg),
        Figure(*.clearance_deg),
        Figure(*.top_deg)
    )]
    TooLow {
        /// Its apparent altitude, degrees.
        altitude_deg: f64,
        /// What was asked for, degrees.
        clearance_deg: f64,
        /// Where the top would have to appear, degrees.
        top_deg: f64,
    },
    /// The target is too high: the tripod would be under the subject.
    #[error(
        "the subject's top would have to appear {top_deg:.1} degrees up, from less than a metre away: ask for more clearance or a time when the target is lower"
    )]
    TooHigh {
        /// Where the top would have to appear, degrees.
        top_deg: f64,
    },
    /// An instant at which the season's sky is not known.
    #[error(transparent)]
    Season(#[from] PlanError),
    /// The camera is impossible.
    #[error(transparent)]
    Camera(#[from] crate::light::LightError),
}

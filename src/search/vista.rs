//! What stands before the camera at one instant.

use super::planner::Planner;
use crate::{
    ephemeris::{Galaxy, Moment},
    rule::Conditions,
};

/// Sky and light at one instant, with what a picture of it needs.
#[derive(Debug, Clone, Copy)]
pub struct Vista {
    /// Sky and light.
    pub instant: Conditions,
    /// Direction of the Moon's bright limb, degrees clockwise from straight
    /// up.
    pub bright_limb_from_zenith_deg: f64,
    /// The galactic frame.
    pub galaxy: Galaxy,
}

impl Vista {
    /// The view at `moment`.
    pub fn at(planner: &Planner, moment: Moment) -> Self {
        Self {
            instant: planner.instant_at(moment),
            bright_limb_from_zenith_deg: planner.sky().bright_limb_from_zenith_deg(moment),
            galaxy: planner.sky().galaxy(moment),
        }
    }
}

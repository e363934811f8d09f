//! The land in front of the target.

use super::{Limit, Ridge, Rule, Unit, off};
use crate::ephemeris::Body;

/// The site's terrain below the target, seen from the camera.
pub static TARGET_RIDGE: Rule = Rule {
    key: "core_ridge",
    typed: None,
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 16,
        swept: 15,
        letter: 'r',
        unmet: |target| format!("terrain hides the {target}"),
        words: |target| format!("the ridge below the {target}"),
        unit: Unit::Degrees,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 10.0,
        check: |_, at| {
            let ridge = Ridge::new(at.terrain.camera.clone().filter(|_| at.target())?);
            Some(ridge.check(Body::Target))
        },
    }),
};

//! The land in front of the Moon.

use super::{Limit, Ridge, Rule, Unit, off};
use crate::ephemeris::Body;

/// The site's terrain below the Moon, seen from the subject. It applies only if
/// the Moon is to light the land.
pub static MOON_RIDGE: Rule = Rule {
    key: "moon_ridge",
    typed: None,
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 17,
        swept: 16,
        letter: 'r',
        unmet: |_| "terrain hides the Moon".to_owned(),
        words: |_| "the ridge below the Moon".to_owned(),
        unit: Unit::Degrees,
        around: false,
        value: |_, _| None,
        reach: None,
        step: 10.0,
        check: |_, at| {
            let wanted = at.moon() && at.light.is_sidelit();
            let ridge = Ridge::new(at.terrain.subject.clone().filter(|_| wanted)?);
            Some(ridge.check(Body::Moon))
        },
    }),
};

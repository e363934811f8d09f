//! The light of an instant as machine formats write it.

use super::words::side_word;
use crate::rule::Conditions;

/// The light angle, degrees 0 to 180; `None` while the Moon is below the
/// horizon.
pub(super) fn light_angle_deg(instant: &Conditions) -> Option<f64> {
    instant
        .moon_is_up()
        .then(|| instant.signed_light_angle_deg().abs())
}

/// The side from which the light comes, if it comes from one.
pub(super) fn light_side_word(instant: &Conditions) -> Option<&'static str> {
    instant
        .moon_is_up()
        .then(|| side_word(instant.signed_light_angle_deg()))
}

//! Angles brought to one turn.

/// An angle from 0 to 360, degrees: what `rem_euclid` gives, for less work where
/// it is off by no more than a turn, as most are.
pub(crate) fn in_one_turn(angle_deg: f64) -> f64 {
    if (0.0..360.0).contains(&angle_deg) {
        angle_deg
    } else if -360.0 < angle_deg && angle_deg < 0.0 {
        angle_deg + 360.0
    } else {
        angle_deg.rem_euclid(360.0)
    }
}

/// The shorter way from one azimuth to another, degrees, left negative, -180 to
/// 180.
pub(crate) fn turn_deg(from_deg: f64, to_deg: f64) -> f64 {
    in_one_turn(to_deg - from_deg + 180.0) - 180.0
}

#[cfg(test)]
mod tests {
    use super::in_one_turn;

    #[test]
    fn every_angle_is_brought_where_the_remainder_is() {
        let odd = [-0.0, -1e-300, 360.0, -360.0, 359.99999999999994, 1e9, -1e9];
        let angles = (-14_400..14_400).map(|twentieth| 0.05 * f64::from(twentieth));
        for angle in angles.chain(odd) {
            assert_eq!(
                in_one_turn(angle).to_bits(),
                angle.rem_euclid(360.0).to_bits(),
                "{angle}"
            );
        }
        assert!(in_one_turn(f64::NAN).is_nan() && in_one_turn(f64::INFINITY).is_nan());
    }
}

//! How a number is written for people and programs.

use std::fmt::{self, Display, Formatter};

/// A number that prints as a plain `f64` does, with the sign, width and
/// decimals asked for, except that a number that rounds to zero has no minus.
///
/// # Example
///
/// ```
/// use rakelight::Figure;
/// assert_eq!(format!("{:.1}°", Figure(-0.04)), "0.0°");
/// assert_eq!(format!("{:+.0}", Figure(-0.4)), "+0");
/// assert_eq!(format!("{:.1}", Figure(-0.06)), "-0.1");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure(pub f64);

impl Display for Figure {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let rounds_to_zero = match f.precision() {
            // Half of the last place may round either way; the text shows which.
            Some(decimals) if self.0 < 0.0 && self.0 > -1.0 => {
                let text = format!("{:.decimals$}", self.0);
                !text.bytes().any(|byte| (b'1'..=b'9').contains(&byte))
            }
            _ => self.0 == 0.0,
        };
        Display::fmt(if rounds_to_zero { &0.0 } else { &self.0 }, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn zero_has_no_minus_and_the_rest_is_as_it_was() {
        assert_eq!(format!("{}", Figure(-0.0)), "0");
        assert_eq!(format!("{:.0}", Figure(-0.5)), "0");
        assert_eq!(format!("{:.0}", Figure(-0.500_1)), "-1");
        assert_eq!(format!("{:6.3}", Figure(-0.000_4)), " 0.000");
        assert_eq!(format!("{:.2}", Figure(f64::NEG_INFINITY)), "-inf");
        assert_eq!(format!("{:.2}", Figure(f64::NAN)), "NaN");
    }

    proptest! {
        #[test]
        fn only_the_minus_of_zero_goes(number in -2.0..2.0_f64, decimals in 0_usize..8) {
            let plain = format!("{number:.decimals$}");
            let text = format!("{:.decimals$}", Figure(number));
            let back: f64 = plain.parse().expect("a number");
            if back == 0.0 {
                prop_assert_eq!(text, plain.trim_start_matches('-'));
            } else {
                prop_assert_eq!(text, plain);
            }
        }
    }
}

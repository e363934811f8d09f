//! Numbers as decimal text. A batch has millions of them, so they are written
//! from whole numbers, digit by digit, wherever that gives the same text as the
//! formatting machinery.

/// Powers of ten that a double holds, by their exponent.
const POWERS: [f64; 10] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];
/// Below this size a double tells every whole number with the digits before and
/// behind its point.
const KEPT: u64 = 1_000_000_000_000_000;
/// Room for the digits of any number of 64 bits, its point and its sign.
const ROOM: usize = 22;

/// Appends a whole number.
pub(super) fn push_whole(out: &mut Vec<u8>, number: i64) {
    push_scaled(out, number < 0, number.unsigned_abs(), 0);
}

/// Appends a number with fixed decimals, rounded half away from zero, without a
/// negative zero.
pub(super) fn push_fixed(out: &mut Vec<u8>, number: f64, decimals: usize) {
    let scaled = POWERS.get(decimals).map(|power| number * power);
    match scaled.map(rounded) {
        Some(scaled) if scaled.unsigned_abs() < KEPT => {
            push_scaled(out, scaled < 0, scaled.unsigned_abs(), decimals);
        }
        _ => out.extend_from_slice(format!("{number:.decimals$}").as_bytes()),
    }
}

/// Appends the shortest decimal text that is read back as this number.
pub(super) fn push_exact(out: &mut Vec<u8>, number: f64) {
    match shortest(number) {
        Some((size, decimals)) => push_scaled(out, number.is_sign_negative(), size, decimals),
        None => out.extend_from_slice(number.to_string().as_bytes()),
    }
}

/// Appends what [`push_fixed`] does, as short as its double can be written, with
/// one decimal at least; `false`, and nothing, where that may have an exponent.
#[must_use]
pub(super) fn push_fixed_short(out: &mut Vec<u8>, number: f64, decimals: usize) -> bool {
    let Some(power) = POWERS.get(decimals) else {
        return false;
    };
    let scaled = rounded(number * power);
    push_short(out, scaled < 0, scaled.unsigned_abs(), decimals)
}

/// Appends what [`push_exact`] does, with one decimal at least; `false`, and
/// nothing, where that may have an exponent.
#[must_use]
pub(super) fn push_exact_short(out: &mut Vec<u8>, number: f64) -> bool {
    shortest(number)
        .is_some_and(|(size, decimals)| push_short(out, number.is_sign_negative(), size, decimals))
}

/// The size of a number in units of its last decimal, and how many decimals it
/// has; `None` for one of many digits.
fn shortest(number: f64) -> Option<(u64, usize)> {
    for (decimals, power) in POWERS.iter().enumerate() {
        let scaled = rounded(number * power);
        let size = scaled.unsigned_abs();
        if size >= KEPT {
            return None;
        }
        // Both are exact, so their quotient is the number nearest to the decimal
        // text: the one that the text is read as. No other text so short is read
        // as the same number.
        if scaled as f64 / power == number {
            return Some((size, decimals));
        }
    }
    None
}

/// The nearest whole number, halves away from zero. What is no number, or too
/// large, gives one that is larger than [`KEPT`].
fn rounded(number: f64) -> i64 {
    if number.is_nan() {
        return i64::MAX;
    }
    let whole = number as i64;
    let rest = number - whole as f64;
    whole.saturating_add(i64::from(rest >= 0.5) - i64::from(rest <= -0.5))
}

/// Appends a number of so many units of its last decimal without the zeros at its
/// end, where it has few digits and is not tiny.
fn push_short(out: &mut Vec<u8>, is_negative: bool, size: u64, decimals: usize) -> bool {
    /// A smaller number may be written with an exponent.
    const PLAIN_FROM: f64 = 1e-4;
    let (mut size, mut decimals) = (size, decimals);
    if size >= KEPT || (size > 0 && (size as f64) < PLAIN_FROM * POWERS[decimals]) {
        return false;
    }
    while decimals > 1 && size % 10 == 0 {
        (size, decimals) = (size / 10, decimals - 1);
    }
    if decimals == 0 {
        (size, decimals) = (10 * size, 1);
    }
    push_scaled(out, is_negative, size, decimals);
    true
}

/// Appends a number of so many units of its last decimal.
fn push_scaled(out: &mut Vec<u8>, is_negative: bool, size: u64, decimals: usize) {
    let mut text = [0_u8; ROOM];
    let mut at = ROOM;
    let mut put = |byte: u8| {
        at -= 1;
        text[at] = byte;
    };
    let mut left = size;
    let mut digit = || {
        let digit = b'0' + (left % 10) as u8;
        left /= 10;
        (digit, left > 0)
    };
    for _ in 0..decimals {
        put(digit().0);
    }
    if decimals > 0 {
        put(b'.');
    }
    loop {
        let (digit, is_more) = digit();
        put(digit);
        if !is_more {
            break;
        }
    }
    if is_negative {
        put(b'-');
    }
    out.extend_from_slice(&text[at..]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn text(push: impl FnOnce(&mut Vec<u8>)) -> String {
        let mut out = Vec::new();
        push(&mut out);
        String::from_utf8(out).expect("ASCII")
    }

    #[test]
    fn numbers_out_of_reach_are_written_all_the_same() {
        let numbers = [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e15, 1e300, 5e-324];
        for number in numbers {
            assert_eq!(text(|out| push_exact(out, number)), number.to_string());
        }
        assert_eq!(text(|out| push_fixed(out, f64::NAN, 2)), "NaN");
        assert_eq!(text(|out| push_fixed(out, -1e15, 1)), "-1000000000000000.0");
        assert_eq!(text(|out| push_whole(out, i64::MIN)), i64::MIN.to_string());
    }

    proptest! {
        #[test]
        fn fixed_numbers_read_back(number in -1e6..1e6_f64, decimals in 0_usize..7) {
            let text = text(|out| push_fixed(out, number, decimals));
            let back: f64 = text.parse().expect("a number");
            // Half a unit of the last decimal, and what doubles of that size can tell.
            let unit = 10_f64.powi(-(decimals as i32));
            let most = 0.5 * unit + 2.0 * f64::EPSILON * number.abs();
            prop_assert!((back - number).abs() <= most, "{number} as {text}");
            let after_point = text.split_once('.').map_or(0, |(_, d)| d.len());
            prop_assert_eq!(after_point, decimals);
        }

        #[test]
        fn a_number_is_rounded_as_a_double_is(number in -1e15..1e15_f64, half in -999_999_i32..999_999) {
            prop_assert_eq!(rounded(number) as f64, number.round());
            let half = 0.5 * f64::from(half);
            prop_assert_eq!(rounded(half) as f64, half.round());
        }

        #[test]
        fn exact_numbers_are_written_as_the_machinery_does(
            bits in any::<u64>(),
            units in -999_999_999_999_i64..999_999_999_999,
            decimals in 0_i32..12,
        ) {
            let decimal = format!("{units}e-{decimals}").parse().expect("a number");
            for number in [f64::from_bits(bits), decimal, -0.0] {
                prop_assert_eq!(text(|out| push_exact(out, number)), number.to_string());
            }
        }
    }
}

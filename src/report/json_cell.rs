//! A value as it stands in a JSON document, written without a tree of values in
//! between: a batch has millions.

use super::cell::Cell;
use std::io;

/// Decimal digits that a double always keeps: of a number with no more of them,
/// the shortest text is the same number without zeros at its end.
const KEPT_DIGITS: usize = 15;
/// Zeros behind the point from which on the shortest text has an exponent.
const SMALL: &[u8] = b"0.0000";

/// Writes what [`Cell::to_json`] gives.
pub(super) fn write_cell(out: &mut Vec<u8>, cell: &Cell<'_>) -> io::Result<()> {
    match *cell {
        Cell::Empty => out.extend_from_slice(b"null"),
        Cell::Text(text) => serde_json::to_writer(out, text)?,
        Cell::Number(number, decimals) => {
            let start = out.len();
            cell.write_text(out);
            if !shorten(out, start) {
                out.truncate(start);
                serde_json::to_writer(out, &Cell::Number(number, decimals).to_json())?;
            }
        }
        Cell::Exact(number) => serde_json::to_writer(out, &number)?,
        Cell::Whole(_) | Cell::Flag(_) => cell.write_text(out),
        Cell::Date(_) | Cell::Month(_) | Cell::Local(_) | Cell::Utc(_) | Cell::Offset(_) => {
            out.push(b'"');
            cell.write_text(out);
            out.push(b'"');
        }
    }
    Ok(())
}

/// Makes the number with fixed decimals that begins at `start` as short as its
/// double can be written; `false` if that takes more than leaving out zeros.
fn shorten(out: &mut Vec<u8>, start: usize) -> bool {
    let text = out.get(start..).unwrap_or_default();
    let size = text.strip_prefix(b"-").unwrap_or(text);
    let digits = size.iter().filter(|byte| byte.is_ascii_digit()).count();
    let points = size.iter().filter(|byte| **byte == b'.').count();
    let is_plain = digits + points == size.len() && points <= 1;
    if !is_plain || digits > KEPT_DIGITS || size.starts_with(SMALL) {
        return false;
    }
    if points == 0 {
        out.extend_from_slice(b".0");
        return true;
    }
    while out.ends_with(b"0") {
        out.pop();
    }
    if out.ends_with(b".") {
        out.push(b'0');
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn written(cell: Cell<'_>) -> String {
        let mut out = b"before".to_vec();
        write_cell(&mut out, &cell).expect("a vector takes all");
        let text = String::from_utf8(out).expect("UTF-8");
        text.strip_prefix("before").expect("it stays").to_owned()
    }

    #[test]
    fn every_kind_is_the_tree_s_own_text() {
        for cell in [
            Cell::Empty,
            Cell::Text("a \"b\" \u{7}"),
            Cell::Whole(-7),
            Cell::Flag(true),
            Cell::Exact(21.0),
            Cell::Exact(1e-7),
            Cell::Offset(-1_172),
            Cell::Number(f64::NAN, 2),
            Cell::Number(f64::INFINITY, 2),
            Cell::Number(0.0, 0),
            Cell::Number(-0.0, 4),
            Cell::Number(1e300, 2),
            Cell::Number(123_456_789_012_345.6, 6),
            Cell::Number(0.000_012, 6),
            Cell::Number(0.000_123, 6),
            Cell::Number(-0.000_009, 6),
        ] {
            assert_eq!(written(cell), cell.to_json().to_string(), "{cell:?}");
        }
    }

    proptest! {
        #[test]
        fn every_number_is_the_tree_s_own_text(
            digits in -1.0..1.0_f64,
            size in -9..18_i32,
            decimals in 0_usize..10,
        ) {
            let cell = Cell::Number(digits * 10_f64.powi(size), decimals);
            prop_assert_eq!(written(cell), cell.to_json().to_string());
        }
    }
}

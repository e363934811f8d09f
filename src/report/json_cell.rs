//! A value as it stands in a JSON document, written without a tree of values in
//! between: a batch has millions.

use super::{cell::Cell, decimal_text};
use std::io;

/// Writes what [`Cell::to_json`] gives.
pub(super) fn write_cell(out: &mut Vec<u8>, cell: &Cell<'_>) -> io::Result<()> {
    match *cell {
        Cell::Empty => out.extend_from_slice(b"null"),
        Cell::Text(text) => write_words(out, text)?,
        Cell::Number(number, decimals) => {
            if !decimal_text::push_fixed_short(out, number, decimals) {
                serde_json::to_writer(out, &cell.to_json())?;
            }
        }
        Cell::Exact(number) => {
            if !decimal_text::push_exact_short(out, number) {
                serde_json::to_writer(out, &number)?;
            }
        }
        Cell::Whole(_) | Cell::Flag(_) => cell.write_text(out),
        Cell::Date(_) | Cell::Month(_) | Cell::Local(_) | Cell::Utc(_) | Cell::Offset(_) => {
            out.push(b'"');
            cell.write_text(out);
            out.push(b'"');
        }
    }
    Ok(())
}

/// Writes a text as JSON has it. Most need no escapes.
pub(super) fn write_words(out: &mut Vec<u8>, text: &str) -> io::Result<()> {
    let is_plain = |byte: u8| byte >= b' ' && byte != b'"' && byte != b'\\';
    if !text.bytes().all(is_plain) {
        return Ok(serde_json::to_writer(out, text)?);
    }
    out.push(b'"');
    out.extend_from_slice(text.as_bytes());
    out.push(b'"');
    Ok(())
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
            Cell::Text("a\\b"),
            Cell::Text("Zürich \u{7f}"),
            Cell::Whole(-7),
            Cell::Flag(true),
            Cell::Exact(21.0),
            Cell::Exact(1e-7),
            Cell::Exact(-0.0),
            Cell::Exact(-139.25),
            Cell::Exact(0.1 + 0.2),
            Cell::Exact(1e15),
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
            let number = digits * 10_f64.powi(size);
            let text = Cell::Number(number, decimals).to_text();
            let short = text.parse().expect("a number");
            for cell in [
                Cell::Number(number, decimals),
                Cell::Exact(number),
                Cell::Exact(short),
            ] {
                prop_assert_eq!(written(cell), cell.to_json().to_string());
            }
        }
    }
}

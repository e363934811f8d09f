//! Skylines in the form in which programs write them: one that needs no reader
//! of tables in every style. A batch may have one for each of its sites.

use super::read_skyline::COLUMNS;
use crate::scene::Skyline;
use crate::scene::number::short_number;

const fn is_comma(byte: &u8) -> bool {
    *byte == b','
}

/// The skyline in a table of plain numbers with commas and nothing else that
/// would have to be understood. `None` for any other, which may be one all the
/// same, and for one with something wrong in it.
pub(super) fn plain_skyline(table: &[u8]) -> Option<Skyline> {
    // No other signs between fields, quotation marks, and line ends within rows.
    let is_other = |byte: &u8| !byte.is_ascii() || matches!(byte, b'"' | b';' | b'\t' | b'\0');
    if table.iter().fold(false, |any, byte| any | is_other(byte)) {
        return None;
    }
    let mut lines = table
        .split(|byte| *byte == b'\n')
        .map(|line| line.strip_suffix(b"\r").unwrap_or(line))
        .filter(|line| !line.starts_with(b"#") && !line.is_empty());
    let header = lines.next()?.split(is_comma);
    let names: Vec<&[u8]> = header.map(<[u8]>::trim_ascii).collect();
    for (index, name) in names.iter().enumerate() {
        let is_known = COLUMNS
            .get(index)
            .is_none_or(|column| column.as_bytes() == *name);
        if !is_known || names.iter().take(index).any(|before| before == name) {
            return None;
        }
    }
    if names.len() < COLUMNS.len() {
        return None;
    }
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(table.len() / names.len() / 6);
    for line in lines {
        let mut fields = line.split(is_comma);
        let point = (short_number(fields.next()?)?, short_number(fields.next()?)?);
        if fields.count() != names.len() - COLUMNS.len() || line.contains(&b'\r') {
            return None;
        }
        points.push(point);
    }
    // Whatever is wrong with them is told with its line by the other reader.
    Skyline::new(points).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What the reader of tables in every style finds.
    fn in_any_style(table: &[u8]) -> Option<Skyline> {
        Skyline::read("", table).ok()
    }

    #[test]
    fn our_own_skylines_are_plain() {
        for table in [
            "azimuth_deg,altitude_deg\n0,1.5\n90,-0.25\n",
            "# ours\r\nazimuth_deg,altitude_deg\r\n0,1.5\r\n\r\n# and\r\n360,1.5",
            "azimuth_deg,altitude_deg,distance_m,note\n0,1.5,100,\n90,2,,far away\n",
        ] {
            let plain = plain_skyline(table.as_bytes());
            assert!(plain.is_some(), "{table:?}");
            assert_eq!(plain, in_any_style(table.as_bytes()), "{table:?}");
        }
    }

    #[test]
    fn what_is_not_plain_or_wrong_is_left_to_the_other() {
        for table in [
            "",
            "azimuth_deg,altitude_deg\n",
            "azimuth_deg;altitude_deg\n0;1\n",
            "azimuth_deg,altitude_deg\n0, 1\n",
            "azimuth_deg,altitude_deg\n\"0\",1\n",
            "azimuth_deg,altitude_deg\n0,1\n0,2\n",
            "azimuth_deg,altitude_deg\n0,91\n",
            "azimuth_deg,altitude_deg\n0,1,2\n",
            "azimuth_deg,altitude_deg,a,a\n0,1,2,3\n",
            "azimuth_deg,altitude_deg,a\n0,1\n",
            "azimuth_deg,altitude_deg\n0,1\r1,2\n",
        ] {
            assert_eq!(plain_skyline(table.as_bytes()), None, "{table:?}");
        }
    }

    proptest! {
        /// Whatever is plain is the same to both.
        #[test]
        fn both_readers_find_the_same(
            header in "(azimuth_deg,altitude_deg|azimuth_deg,altitude_deg,b|sep=,)",
            body in "([\n\r#, ]|-?[0-9]{1,3}(\\.[0-9]{1,3})?,-?[0-9]{1,2}(\\.[0-9])?(,[a-z ]{0,2})?\r?\n){0,8}",
        ) {
            let table = format!("{header}\n{body}");
            if let Some(plain) = plain_skyline(table.as_bytes()) {
                prop_assert_eq!(Some(plain), in_any_style(table.as_bytes()), "{:?}", table);
            }
        }
    }
}

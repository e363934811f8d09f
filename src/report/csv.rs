//! CSV (RFC 4180) of any list of fields.

use super::{
    cell::Cell,
    row::{Field, RowKind},
};
use std::io::{self, Write};

/// Writes the header line.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_header<K: RowKind>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = &'static Field<K>>,
) -> io::Result<()> {
    write_names(out, fields.into_iter().map(|field| field.name))
}

/// Writes one record as a line.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_record<K: RowKind>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = &'static Field<K>>,
    record: &K::Of<'_>,
) -> io::Result<()> {
    write_cells(out, fields.into_iter().map(|field| field.cell(record)))
}

/// Writes the header line of columns with these names.
pub(super) fn write_names(
    out: &mut impl Write,
    names: impl Iterator<Item = &'static str>,
) -> io::Result<()> {
    let names: Vec<&str> = names.collect();
    writeln_crlf(out, names.join(",").as_bytes())
}

/// Writes a line of values.
pub(super) fn write_cells<'a>(
    out: &mut impl Write,
    cells: impl Iterator<Item = Cell<'a>>,
) -> io::Result<()> {
    let mut line = Vec::with_capacity(600);
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            line.push(b',');
        }
        push_cell(&mut line, &cell);
    }
    writeln_crlf(out, &line)
}

fn push_cell(line: &mut Vec<u8>, cell: &Cell<'_>) {
    match cell {
        // Only text can contain characters that need quotes.
        Cell::Text(text) => push_field(line, text),
        cell => cell.write_text(line),
    }
}

fn push_field(line: &mut Vec<u8>, text: &str) {
    if text.contains([',', '"', '\r', '\n']) {
        line.push(b'"');
        line.extend_from_slice(text.replace('"', "\"\"").as_bytes());
        line.push(b'"');
    } else {
        line.extend_from_slice(text.as_bytes());
    }
}

fn writeln_crlf(out: &mut impl Write, line: &[u8]) -> io::Result<()> {
    out.write_all(line)?;
    out.write_all(b"\r\n")
}

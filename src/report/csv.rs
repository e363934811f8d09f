//! CSV (RFC 4180, or in another style) of any list of fields.

use super::{
    cell::Cell,
    csv_layout::CsvLayout,
    row::{Field, RowKind},
};
use crate::{csv_style::CsvStyle, scene::Site};
use std::io::{self, Write};

/// Writes the header line.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_header<K: RowKind>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = &'static Field<K>>,
    layout: &CsvLayout,
) -> io::Result<()> {
    write_names(out, fields.into_iter().map(|field| field.name), layout)
}

/// Writes one record as a line; `site` is the one it is about.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_record<K: RowKind>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = &'static Field<K>>,
    record: &K::Of<'_>,
    site: &Site,
    layout: &CsvLayout,
) -> io::Result<()> {
    let cells = fields.into_iter().map(|field| field.cell(record));
    write_cells(out, cells, site, layout)
}

/// Writes the header line of columns with these names, then those of the user's
/// own.
pub(super) fn write_names<'a>(
    out: &mut impl Write,
    names: impl Iterator<Item = &'a str>,
    layout: &'a CsvLayout,
) -> io::Result<()> {
    let mut line = Vec::with_capacity(2000);
    for (index, name) in names.chain(layout.headings()).enumerate() {
        if index > 0 {
            line.push(layout.style.separator());
        }
        push_field(&mut line, name, layout.style);
    }
    writeln_crlf(out, &line)
}

/// Writes a line of values, then those of the user's own at `site`.
pub(super) fn write_cells<'a>(
    out: &mut impl Write,
    cells: impl Iterator<Item = Cell<'a>>,
    site: &'a Site,
    layout: &'a CsvLayout,
) -> io::Result<()> {
    let mut line = Vec::with_capacity(600);
    let style = layout.style;
    for (index, cell) in cells.chain(layout.own_cells(site)).enumerate() {
        if index > 0 {
            line.push(style.separator());
        }
        push_cell(&mut line, &cell, style);
    }
    writeln_crlf(out, &line)
}

fn push_cell(line: &mut Vec<u8>, cell: &Cell<'_>, style: CsvStyle) {
    match cell {
        // Only text can contain characters that need quotes.
        Cell::Text(text) => push_field(line, text, style),
        Cell::Number(..) | Cell::Exact(_) if style.has_decimal_comma() => {
            let start = line.len();
            cell.write_text(line);
            let written = line.iter_mut().skip(start);
            written
                .filter(|byte| **byte == b'.')
                .for_each(|point| *point = b',');
        }
        cell => cell.write_text(line),
    }
}

fn push_field(line: &mut Vec<u8>, text: &str, style: CsvStyle) {
    if text.contains([char::from(style.separator()), '"', '\r', '\n']) {
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

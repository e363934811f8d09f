//! CSV (RFC 4180, or in another style) of any list of fields.

use super::{
    cell::Cell,
    csv_layout::{Column, CsvLayout, own_cell},
    row::{Field, RowKind},
};
use crate::{csv_style::CsvStyle, scene::Site};
use std::io::{self, Write};

/// Writes the header line, unless the layout leaves it out.
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
    write_cells(out, fields, |field| field.cell(record), site, layout)
}

/// Writes the header line of columns with these names and of the user's own, as
/// the layout has them.
pub(super) fn write_names(
    out: &mut impl Write,
    names: impl Iterator<Item = &'static str>,
    layout: &CsvLayout,
) -> io::Result<()> {
    if layout.without_header {
        return Ok(());
    }
    let mut line = Line::new(layout.style, 2000);
    layout.each(names, |column| match column {
        Column::Field(name) | Column::Own(_, name) => line.push(&Cell::Text(name)),
    });
    line.write(out)
}

/// Writes a line of the values that `cell` gives for the fields and of the
/// user's own at `site`, as the layout has them.
pub(super) fn write_cells<'a, T: Copy>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = T>,
    cell: impl Fn(T) -> Cell<'a>,
    site: &Site,
    layout: &CsvLayout,
) -> io::Result<()> {
    let mut line = Line::new(layout.style, 600);
    layout.each(fields, |column| match column {
        Column::Field(field) => line.push(&cell(field)),
        Column::Own(name, _) => line.push(&own_cell(site, name)),
    });
    line.write(out)
}

/// A line that grows field by field.
struct Line {
    style: CsvStyle,
    text: Vec<u8>,
    has_fields: bool,
}

impl Line {
    fn new(style: CsvStyle, room: usize) -> Self {
        Self {
            style,
            text: Vec::with_capacity(room),
            has_fields: false,
        }
    }

    fn push(&mut self, cell: &Cell<'_>) {
        if self.has_fields {
            self.text.push(self.style.separator());
        }
        self.has_fields = true;
        push_cell(&mut self.text, cell, self.style);
    }

    fn write(mut self, out: &mut impl Write) -> io::Result<()> {
        // Readers pass over an empty line, and would lose a record whose only
        // column is empty.
        if self.text.is_empty() {
            self.text.extend_from_slice(b"\"\"");
        }
        self.text.extend_from_slice(b"\r\n");
        out.write_all(&self.text)
    }
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
    let separator = style.separator();
    let is_special = |byte: u8| byte == separator || matches!(byte, b'"' | b'\r' | b'\n');
    if text.bytes().any(is_special) {
        line.push(b'"');
        line.extend_from_slice(text.replace('"', "\"\"").as_bytes());
        line.push(b'"');
    } else {
        line.extend_from_slice(text.as_bytes());
    }
}

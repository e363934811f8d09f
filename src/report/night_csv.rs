//! A night as CSV: every line of the running order and every step, by time.

use super::{
    cell::Cell,
    csv::{push_field, writeln_crlf},
    night_columns::{LINE_COLUMNS, LOOK_COLUMNS, NightColumn, NightRow, TIME_COLUMNS},
};
use crate::plan::NightPlan;
use std::io::{self, Write};

fn columns() -> impl Iterator<Item = &'static NightColumn> {
    TIME_COLUMNS.iter().chain(LINE_COLUMNS).chain(LOOK_COLUMNS)
}

/// Writes the header `site,night,...` and a row each.
///
/// # Errors
///
/// What `out` says.
pub fn write(out: &mut impl Write, plan: &NightPlan<'_>) -> io::Result<()> {
    let names: Vec<&str> = ["site", "night"]
        .into_iter()
        .chain(columns().map(|column| column.name))
        .collect();
    writeln_crlf(out, names.join(",").as_bytes())?;
    for row in NightRow::all(plan) {
        let mut line = Vec::with_capacity(400);
        push_field(&mut line, &plan.site.name);
        line.push(b',');
        Cell::Date(plan.night.date).write_text(&mut line);
        for column in columns() {
            line.push(b',');
            (column.cell)(&row).write_text(&mut line);
        }
        writeln_crlf(out, &line)?;
    }
    Ok(())
}

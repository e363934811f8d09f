//! CSV of calendar months and years: the counts of each, then every column of
//! its best window.

use super::{
    cell::Cell,
    csv::{write_cells, write_names},
    csv_layout::CsvLayout,
    row::Field,
    rows::{
        calendar::{SitePeriod, SitePeriods},
        window::{FIELDS, Record, SITE, VIEW, Windows},
    },
};
use crate::{scene::Site, search::CalendarPeriod};
use std::io::{self, Write};

/// Writes the header line: `fields`, then the columns of a window.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_header(
    out: &mut impl Write,
    fields: &[Field<SitePeriods>],
    layout: &CsvLayout,
) -> io::Result<()> {
    let names = fields.iter().map(|field| field.name);
    let window = of_window().map(|field| field.name);
    write_names(out, names.chain(window), layout)
}

/// Writes one line per month or year; one without a night has empty fields for
/// its best window.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(
    out: &mut impl Write,
    fields: &[Field<SitePeriods>],
    site: &Site,
    periods: &[CalendarPeriod<'_>],
    layout: &CsvLayout,
) -> io::Result<()> {
    for period in periods {
        let counted = SitePeriod { site, period };
        let best = period.best.map(|window| Record { site, window });
        let counts = fields.iter().map(|field| field.cell(&counted));
        let window = of_window().map(|field| match &best {
            Some(record) => field.cell(record),
            None => Cell::Empty,
        });
        write_cells(out, counts.chain(window), site, layout)?;
    }
    Ok(())
}

/// The columns of a window except the names of site and view, which come first
/// anyway.
fn of_window() -> impl Iterator<Item = &'static Field<Windows>> {
    let named = [SITE, VIEW];
    let others = FIELDS.iter();
    others.filter(move |field| !named.contains(&field.name))
}

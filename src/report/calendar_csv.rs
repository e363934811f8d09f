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
    fields: &'static [Field<SitePeriods>],
    layout: &CsvLayout,
) -> io::Result<()> {
    write_names(out, names(fields), layout)
}

/// The names of the columns: those of `fields`, then those of a window.
pub(super) fn names(fields: &'static [Field<SitePeriods>]) -> impl Iterator<Item = &'static str> {
    columns(fields).map(Column::name)
}

/// Writes one line per month or year; one without a night has empty fields for
/// its best window.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(
    out: &mut impl Write,
    fields: &'static [Field<SitePeriods>],
    site: &Site,
    periods: &[CalendarPeriod<'_>],
    layout: &CsvLayout,
) -> io::Result<()> {
    for period in periods {
        let counted = SitePeriod { site, period };
        let best = period.best.map(|window| Record { site, window });
        let cell = |column| match (column, &best) {
            (Column::Count(field), _) => field.cell(&counted),
            (Column::OfBest(field), Some(record)) => field.cell(record),
            (Column::OfBest(_), None) => Cell::Empty,
        };
        write_cells(out, columns(fields), cell, site, layout)?;
    }
    Ok(())
}

/// A column of a month or year.
#[derive(Clone, Copy)]
enum Column {
    /// Of the month or year itself.
    Count(&'static Field<SitePeriods>),
    /// Of its best window.
    OfBest(&'static Field<Windows>),
}

impl Column {
    fn name(self) -> &'static str {
        match self {
            Self::Count(field) => field.name,
            Self::OfBest(field) => field.name,
        }
    }
}

/// The columns: `fields`, then those of a window except the names of site and
/// view, which come first anyway.
fn columns(fields: &'static [Field<SitePeriods>]) -> impl Iterator<Item = Column> {
    let named = [SITE, VIEW];
    let others = FIELDS.iter();
    let others = others.filter(move |field| !named.contains(&field.name));
    fields
        .iter()
        .map(Column::Count)
        .chain(others.map(Column::OfBest))
}

//! How the CSV of a run is laid out: its style, and the columns of the user's
//! own behind those of the record.

use super::{
    cell::Cell,
    rows::{
        calendar::{MONTH, MONTH_OF_YEAR, YEAR},
        night, season, window,
    },
};
use crate::{csv_style::CsvStyle, scene::Site};

/// The layout of a CSV output; the usual one has no columns of the user's own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CsvLayout {
    /// Signs between fields and before decimals.
    pub style: CsvStyle,
    /// The names of the user's own values, and what their columns are called.
    own: Vec<(String, String)>,
}

impl CsvLayout {
    /// A layout with a column for each of these names of own values, each once,
    /// in this order. A column that would be called as one of the program's, or
    /// differ from it in capitals only, gets `own.` before its name.
    pub fn new(style: CsvStyle, names: impl IntoIterator<Item = String>) -> Self {
        let mut layout = Self {
            style,
            own: Vec::new(),
        };
        for name in names {
            if !layout.own.iter().any(|(known, _)| *known == name) {
                let heading = match is_taken(&name) {
                    true => format!("own.{name}"),
                    false => name.clone(),
                };
                layout.own.push((name, heading));
            }
        }
        layout
    }

    /// What the columns of the user's own are called.
    pub(super) fn headings(&self) -> impl Iterator<Item = &str> {
        self.own.iter().map(|(_, heading)| heading.as_str())
    }

    /// The values of a site in them.
    pub(super) fn own_cells<'a>(&'a self, site: &'a Site) -> impl Iterator<Item = Cell<'a>> {
        let value = |(name, _): &'a (String, String)| site.own.get(name);
        self.own
            .iter()
            .map(move |own| value(own).map_or(Cell::Empty, Cell::Text))
    }
}

/// Whether a CSV of the program has a column of this name.
fn is_taken(name: &str) -> bool {
    let windows = window::FIELDS.iter().map(|field| field.name);
    let periods = [MONTH, YEAR, MONTH_OF_YEAR].into_iter().flatten();
    let periods = periods.map(|field| field.name);
    let nights = night::ALL.into_iter().flatten().map(|field| field.name);
    let season = season::NIGHT.iter().map(|field| field.name);
    let mut ours = windows.chain(periods).chain(nights).chain(season);
    ours.any(|taken| taken.eq_ignore_ascii_case(name))
}

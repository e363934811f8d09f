//! How the lines of a run are laid out: the style of its CSV, which columns it
//! has and in which order, and those of the user's own behind those of the
//! record.

use super::{
    cell::Cell,
    columns_asked::{Asked, places},
    csv_table::CsvTable,
};
use crate::{
    csv_style::CsvStyle,
    scene::{Site, ValueError},
};

/// The layout of CSV and NDJSON; the usual one has every column of the record
/// and none of the user's own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CsvLayout {
    /// Signs between fields and before decimals.
    pub style: CsvStyle,
    /// Whether the line with the names is left out.
    pub without_header: bool,
    /// The names of the user's own values, and what their columns are called.
    own: Vec<(String, String)>,
    /// The columns asked for, in this order; `None` for all.
    chosen: Option<Vec<Chosen>>,
}

/// Where a column that was asked for comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Chosen {
    /// The field with this number.
    Field(usize),
    /// The value of the user's own with this number.
    Own(usize),
}

/// A column of a table: a field, or one of the user's own.
pub(super) enum Column<'a, T> {
    /// A field of the record.
    Field(T),
    /// A value of the user's own, by its name and by its heading.
    Own(&'a str, &'a str),
}

impl CsvLayout {
    /// A layout with a column for each of these names of own values, each once,
    /// in this order. A column that would be called as one of the program's, or
    /// differ from it in capitals only, gets `own.` before its name.
    pub fn new(style: CsvStyle, names: impl IntoIterator<Item = String>) -> Self {
        let mut layout = Self {
            style,
            ..Self::default()
        };
        for name in names {
            if !layout.own.iter().any(|(known, _)| *known == name) {
                let heading = match CsvTable::have(&name) {
                    true => format!("own.{name}"),
                    false => name.clone(),
                };
                layout.own.push((name, heading));
            }
        }
        layout
    }

    /// The same with the columns of `table` that are `typed` alone, in that
    /// order: names with commas between them, also of the user's own; a name that
    /// ends in `*` means all that begin so and are not named.
    ///
    /// # Errors
    ///
    /// A name that no column has, one that is there twice, an empty one.
    pub fn choosing(mut self, table: CsvTable, typed: &str) -> Result<Self, ValueError> {
        let fields = table.columns();
        let named = fields.iter().map(|heading| Asked { heading, own: None });
        let own = self.own.iter().map(|(name, heading)| Asked {
            heading,
            own: Some(name),
        });
        let all: Vec<Asked<'_>> = named.chain(own).collect();
        let chosen = places(typed, &all)?.into_iter();
        let chosen = chosen.map(|place| match place.checked_sub(fields.len()) {
            Some(own) => Chosen::Own(own),
            None => Chosen::Field(place),
        });
        self.chosen = Some(chosen.collect());
        Ok(self)
    }

    /// Does something for each column of a table that can have these fields, in
    /// the order of the layout. A field that was not asked for is not touched.
    pub(super) fn each<'a, T: Copy>(
        &'a self,
        fields: impl IntoIterator<Item = T>,
        mut does: impl FnMut(Column<'a, T>),
    ) {
        let own = |(name, heading): &'a (String, String)| Column::Own(name, heading);
        let Some(chosen) = &self.chosen else {
            fields
                .into_iter()
                .for_each(|field| does(Column::Field(field)));
            return self.own.iter().for_each(|pair| does(own(pair)));
        };
        let fields: Vec<T> = fields.into_iter().collect();
        for chosen in chosen {
            let column = match *chosen {
                Chosen::Field(number) => fields.get(number).copied().map(Column::Field),
                Chosen::Own(number) => self.own.get(number).map(own),
            };
            column.into_iter().for_each(&mut does);
        }
    }

    /// Whether every column of the user's own is written, known beforehand or
    /// not.
    pub(super) const fn has_all(&self) -> bool {
        self.chosen.is_none()
    }
}

/// The value that a site has under a name of the user's own.
pub(super) fn own_cell<'a>(site: &'a Site, name: &str) -> Cell<'a> {
    site.own.get(name).map_or(Cell::Empty, Cell::Text)
}

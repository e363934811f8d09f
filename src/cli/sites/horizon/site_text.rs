//! The text of a site file, to which keys are added: its comments, order and
//! line ends stay.

use crate::cli::manners::Failure;
use anyhow::anyhow;
use rakelight::plain_words::printable_path;
use std::path::Path;
use toml_edit::{DocumentMut, Item, Table as TomlTable, TableLike, Value, value};

/// The byte order mark that some editors write.
const MARK: &str = "\u{feff}";

/// Where a key stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Table {
    /// The site itself.
    Site,
    /// One of its views, in their order.
    View(usize),
}

/// A site file as it is edited.
pub struct SiteText {
    document: DocumentMut,
    mark: bool,
    /// Whether every line ended in a carriage return.
    returns: bool,
}

impl SiteText {
    /// Reads the file at `path`, which is known to be a good site file.
    pub fn read(path: &Path) -> Result<Self, Failure> {
        let unread = |words: String| anyhow!("{}: {words}", printable_path(path));
        let text = std::fs::read_to_string(path).map_err(|error| unread(error.to_string()))?;
        Self::of(&text).ok_or_else(|| Failure::Reported(unread("it cannot be edited".to_owned())))
    }

    fn of(text: &str) -> Option<Self> {
        let mark = text.starts_with(MARK);
        let plain = text.strip_prefix(MARK).unwrap_or(text);
        let lines = plain.matches('\n').count();
        Some(Self {
            document: plain.parse().ok()?,
            mark,
            returns: lines > 0 && plain.matches("\r\n").count() == lines,
        })
    }

    /// The text as it is now.
    pub fn whole(&self) -> String {
        let mut text = self.document.to_string();
        if self.returns {
            text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        }
        match self.mark {
            true => format!("{MARK}{text}"),
            false => text,
        }
    }

    /// Whether a view has a subject of its own.
    pub fn has_own_subject(&self, view: usize) -> bool {
        self.has(Table::View(view), &["subject"])
    }

    pub fn has(&self, table: Table, keys: &[&str]) -> bool {
        self.item(table, keys).is_some()
    }

    /// The text of a key.
    pub fn text(&self, table: Table, keys: &[&str]) -> Option<String> {
        let text = self.item(table, keys)?.as_str();
        Some(text.unwrap_or_default().to_owned())
    }

    fn item(&self, table: Table, keys: &[&str]) -> Option<&Item> {
        let root: &dyn TableLike = match table {
            Table::Site => self.document.as_table(),
            Table::View(index) => match self.document.get("view")? {
                Item::ArrayOfTables(views) => views.get(index)?,
                other => other.as_array()?.get(index)?.as_inline_table()?,
            },
        };
        let (first, rest) = keys.split_first()?;
        rest.iter()
            .try_fold(root.get(first)?, |item, key| item.as_table_like()?.get(key))
    }

    pub fn set_text(&mut self, table: Table, keys: &[&str], text: &str) {
        self.set(table, keys, Value::from(text));
    }

    /// Whole metres: elevation models know no more.
    pub fn set_metres(&mut self, table: Table, keys: &[&str], metres: f64) {
        self.set(table, keys, Value::from(metres.round() as i64));
    }

    fn set(&mut self, table: Table, keys: &[&str], to: Value) {
        // Tables below views would look like parts of the last one.
        let dotted = self.document.contains_key("view");
        let Some((last, path)) = keys.split_last() else {
            return;
        };
        let root: Option<&mut dyn TableLike> = match table {
            Table::Site => Some(self.document.as_table_mut()),
            Table::View(index) => match self.document.get_mut("view") {
                Some(Item::ArrayOfTables(views)) => {
                    views.get_mut(index).map(|view| view as &mut dyn TableLike)
                }
                Some(other) => other
                    .as_array_mut()
                    .and_then(|views| views.get_mut(index)?.as_inline_table_mut())
                    .map(|view| view as &mut dyn TableLike),
                None => None,
            },
        };
        let Some(mut at) = root else {
            return;
        };
        for key in path {
            let fresh = || {
                let mut fresh = TomlTable::new();
                fresh.set_dotted(dotted);
                Item::Table(fresh)
            };
            let Some(below) = at.entry(key).or_insert_with(fresh).as_table_like_mut() else {
                return;
            };
            at = below;
        }
        match at.get_mut(last).and_then(Item::as_value_mut) {
            // What stands around the value stays.
            Some(before) => {
                let around = before.decor().clone();
                *before = to;
                *before.decor_mut() = around;
            }
            None => {
                at.insert(last, value(to));
            }
        }
    }
}

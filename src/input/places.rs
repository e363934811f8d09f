//! Where the keys and tables of a site stand in its file.

use super::fault::Place;
use std::borrow::Cow;

/// The place of each key and each table. A site gives few, and every row of a
/// table is one: a short list is made, searched and dropped faster than a tree.
#[derive(Debug, Default, Clone)]
pub(super) struct Places(Vec<(Cow<'static, str>, Place)>);

impl Places {
    /// The place of a key or table, if it is given.
    pub fn get(&self, key: &str) -> Option<Place> {
        let found = self.0.iter().find(|(of, _)| of == key);
        found.map(|(_, place)| *place)
    }

    /// Takes note of a key; of one that comes again the later place counts.
    pub fn put(&mut self, key: Cow<'static, str>, place: Place) {
        match self.0.iter_mut().find(|(of, _)| *of == key) {
            Some((_, known)) => *known = place,
            None => self.push(key, place),
        }
    }

    /// Takes note of a table, of which the first place counts.
    pub fn put_first(&mut self, table: Cow<'static, str>, place: Place) {
        if self.get(&table).is_none() {
            self.push(table, place);
        }
    }

    fn push(&mut self, key: Cow<'static, str>, place: Place) {
        if self.0.is_empty() {
            // Most sites give no more.
            self.0.reserve(16);
        }
        self.0.push((key, place));
    }

    /// The keys and tables that are given.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(key, _)| key.as_ref())
    }

    /// All, in the order of the file.
    pub fn all(self) -> impl Iterator<Item = (Cow<'static, str>, Place)> {
        self.0.into_iter()
    }

    /// Forgets those whose key is not to be kept.
    pub fn retain(&mut self, is_kept: impl Fn(&str) -> bool) {
        self.0.retain(|(key, _)| is_kept(key));
    }

    /// Whether nothing is given.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

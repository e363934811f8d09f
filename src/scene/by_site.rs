//! What a file gives to several sites, found by their names.

use std::collections::BTreeMap;

/// Values for several sites, by name, or one for every site.
#[derive(Debug, Clone, PartialEq)]
pub struct BySite<T>(BTreeMap<String, T>);

impl<T> Default for BySite<T> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<T> BySite<T> {
    /// Gives the site of this name its value; an empty name means every site.
    pub(crate) fn insert(&mut self, site: &str, value: T) {
        self.0.insert(site_word(site), value);
    }

    /// Whether it has a value for no site.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The value of the site of this name, in whatever capitals, or that of
    /// every site.
    pub fn of(&self, site: &str) -> Option<&T> {
        let word = site_word(site);
        self.0.get(word.as_str()).or_else(|| self.0.get(""))
    }
}

/// The word under which a site's name is found: its capitals do not matter.
pub(crate) fn site_word(name: &str) -> String {
    name.to_lowercase()
}

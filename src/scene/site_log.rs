//! What came of past nights at a place.

use chrono::NaiveDate;

/// What a photographer wrote down about past nights, newest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SiteLog(Vec<LogEntry>);

/// What was written down about one night.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogEntry {
    /// The evening.
    pub date: NaiveDate,
    /// The view it was about; `None` for the place.
    pub view: Option<String>,
    /// What was found, printable, at most 2000 characters.
    pub found: String,
    /// Other columns that are not empty, each with its name, printable.
    pub more: Vec<(String, String)>,
}

impl SiteLog {
    /// A log of these entries, in the order in which they were written.
    pub fn new(mut entries: Vec<LogEntry>) -> Self {
        // Of one date the last is the newest.
        entries.reverse();
        entries.sort_by_key(|entry| std::cmp::Reverse(entry.date));
        Self(entries)
    }

    /// The entries about a view or about the whole place, newest first; every
    /// entry for a site without views.
    pub fn about(&self, view: Option<&str>) -> impl Iterator<Item = &LogEntry> {
        let is_about = move |entry: &&LogEntry| match (view, entry.view.as_deref()) {
            (Some(view), Some(of)) => view == of,
            _ => true,
        };
        self.0.iter().filter(is_about)
    }
}

//! Counts in words.

use chrono::NaiveDate;

/// `1 night`, `2 nights`.
pub fn plural(count: i64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// `1 night`, `2 nights`.
pub fn nights_words(count: usize) -> String {
    plural(count as i64, "night", "nights")
}

/// `, 2027-05-01 to 2027-08-31` if a range is given.
pub(in crate::report) fn range_words(range: Option<[NaiveDate; 2]>) -> String {
    range.map_or_else(String::new, |[first, last]| format!(", {first} to {last}"))
}

/// `, 10 shown` if that is fewer than were found.
pub(in crate::report) fn shown_words(shown: usize, found: usize) -> String {
    match shown {
        0 => String::new(),
        shown if shown == found => String::new(),
        shown => format!(", {shown} shown"),
    }
}

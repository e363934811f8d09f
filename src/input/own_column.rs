//! Columns of the user's own in a table of sites, and the keys of `[own]`: which
//! of them pass through, and which are refused because they look like a slip.

use super::meant_key::{Layout, meant_site_key, unknown_site_key};
use super::site_keys::{TABLES, site_keys};
use crate::scene::ValueError;
use crate::scene::nearest::nearest_within;
use crate::scene::number::number;
use crate::scene::own::check_own_name;

/// The table of a site file with the user's own values; with a dot behind it,
/// what marks a column as such.
pub(super) const OWN: &str = "own";

/// The name of a value of the user's own, from its key: `own.guide`.
pub(super) fn own_name(key: &str) -> Option<&str> {
    let name = key.strip_prefix(OWN)?.strip_prefix('.')?;
    Some(name).filter(|name| !name.is_empty())
}

/// The key of a value of the user's own.
fn own_key(name: &str) -> String {
    format!("{OWN}.{name}")
}

/// Short words that people write for a key of a site. They are too far from it
/// to be taken for slips, yet passed through they would leave the site at its
/// defaults.
const OTHER_WORDS: [(&str, &str); 12] = [
    ("lat", "latitude_deg"),
    ("lon", "longitude_deg"),
    ("lng", "longitude_deg"),
    ("long", "longitude_deg"),
    ("ele", "elevation_m"),
    ("alt", "elevation_m"),
    ("altitude", "elevation_m"),
    ("altitude_m", "elevation_m"),
    ("tz", "time_zone"),
    ("zone", "time_zone"),
    ("azimuth", "subject.bearing_deg"),
    ("azimuth_deg", "subject.bearing_deg"),
];

/// The key under which a column that is none of a site's passes through:
/// `own.guide` for `guide` and for `own.guide`.
///
/// # Errors
///
/// A name that looks like a slip for a key of a site, or that no column can
/// have.
pub(super) fn passed_through(column: &str) -> Result<String, ValueError> {
    if let Some(name) = own_name(column) {
        if own_name(name).is_some() {
            return Err(ValueError::new(column, "own. once").with_remedy(format!("write {name}")));
        }
        return check_own_name(name).map(|name| own_key(&name));
    }
    if number(column).is_some() || column.contains('=') {
        return Err(unknown_site_key(column, Layout::Columns));
    }
    match slip(column) {
        Some(meant) => {
            let error = ValueError::new(column, "a key of a site");
            let own = match check_own_name(column) {
                Ok(name) if name != OWN && !name.starts_with("own.") => {
                    format!(" or {} (passed through)", own_key(&name))
                }
                _ => String::new(),
            };
            Err(error.with_remedy(format!("did you mean {meant}{own}?")))
        }
        None => check_own_name(column).map(|name| own_key(&name)),
    }
}

/// The key for which `column` may be a slip.
fn slip(column: &str) -> Option<String> {
    let small = column.to_lowercase();
    if let Some((_, key)) = OTHER_WORDS.iter().find(|(word, _)| *word == small) {
        return Some((*key).to_owned());
    }
    // A table alone is no column.
    let first_of = |table: &str| {
        let is_in = |key: &String| key.split_once('.').is_some_and(|(of, _)| of == table);
        site_keys().find(is_in)
    };
    if let Some(meant) = meant_site_key(column, Layout::Columns) {
        return first_of(&meant).or(Some(meant));
    }
    if let Some((table, last)) = column.split_once('.') {
        // A known table holds known keys only.
        if TABLES.contains(&table) {
            return first_of(table).or_else(|| Some(own_key("name")));
        }
        let near = nearest_within(table, TABLES, most_slips(table))?;
        // What is offered can be typed and shown.
        return match check_own_name(last) {
            Ok(last) => Some(format!("{near}.{last}")),
            Err(_) => first_of(near).or_else(|| Some(own_key("name"))),
        };
    }
    if column.trim_end_matches('.') == OWN {
        return Some(own_key("name"));
    }
    // The table was forgotten, and there is a slip besides.
    let last = |key: &str| key.rsplit('.').next().unwrap_or_default().to_owned();
    let known: Vec<String> = site_keys().collect();
    let lasts: Vec<String> = known.iter().map(|key| last(key)).collect();
    let near = nearest_within(column, lasts.iter().map(String::as_str), most_slips(column))?;
    known.iter().find(|key| last(key) == near).cloned()
}

/// Slips that a word may have and still be taken for another: fewer than in a
/// word that can mean nothing else.
fn most_slips(word: &str) -> usize {
    match word.chars().count() {
        0..8 => 1,
        _ => 2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::site_keys::site_key;

    #[test]
    fn slips_are_told_and_other_columns_pass_through() {
        for own in [
            "guide",
            "permit",
            "Parking",
            "region",
            "rating",
            "phone",
            "category",
            "status",
            "owner",
            "url",
            "id",
            "no.",
            "trip.day",
            "Führer",
            "3rd choice",
            "own.latitude",
        ] {
            let name = own.strip_prefix("own.").unwrap_or(own);
            assert_eq!(passed_through(own), Ok(format!("own.{name}")));
        }
        for (column, meant) in [
            ("latitude", "latitude_deg"),
            ("Latitude_deg", "latitude_deg"),
            ("lat", "latitude_deg"),
            ("note", "notes"),
            ("focal_m", "camera.focal_mm"),
            ("bortel", "sky.bortle"),
            ("bearing_deg", "subject.bearing_deg"),
            ("subject.bering_deg", "subject.bearing_deg"),
            ("subjct.bearing_deg", "subject.bearing_deg"),
            ("tz", "time_zone"),
            ("subject", "subject.name"),
        ] {
            let error = passed_through(column).expect_err(column);
            let remedy = error.remedy.unwrap_or_default();
            let expected = format!("did you mean {meant} or own.{column} (passed through)?");
            assert_eq!(remedy, expected);
            assert_eq!(
                passed_through(&format!("own.{column}")),
                Ok(format!("own.{column}"))
            );
        }
        for refused in [
            "own",
            "own.",
            "own.own.a",
            "=1",
            "-31.4",
            "a=b",
            "own.=1",
            "a\u{7}",
        ] {
            assert!(passed_through(refused).is_err(), "{refused}");
        }
    }

    #[test]
    fn every_other_word_means_a_key() {
        for (word, key) in OTHER_WORDS {
            assert!(
                site_key(word).is_none() && site_key(key).is_some(),
                "{word} {key}"
            );
        }
    }
}

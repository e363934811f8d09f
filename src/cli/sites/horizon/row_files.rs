//! The names of the skylines of a table, safe on any disk whatever its sites
//! are called.

use crate::cli::manners::{Failure, write_error::refused};
use rakelight::{scene::ValueError, terrain::GroundPoint};
use std::{
    collections::HashMap,
    path::{Path, PathBuf},
};

/// The most bytes of a site's name in that of a file: file systems allow 255.
const LONGEST: usize = 80;

/// The folder beside the completed table: `completed.skylines`.
pub fn folder_of(table: &Path) -> Result<PathBuf, Failure> {
    let stem = table.file_stem().and_then(|stem| stem.to_str());
    let Some(stem) = stem.filter(|stem| !stem.is_empty()) else {
        let error = ValueError::new("no name of a file in UTF-8", "one, such as completed.csv");
        return Err(Failure::Reported(refused(table, error)));
    };
    Ok(table.with_file_name(format!("{stem}.skylines")))
}

/// Gives out names of files: one for each place from which a skyline is seen.
pub struct FileNames {
    /// Digits of the number of a row.
    width: usize,
    known: HashMap<[u64; 3], String>,
}

impl FileNames {
    /// Names for a table of so many rows.
    pub fn of(rows: usize) -> Self {
        Self {
            width: rows.to_string().len(),
            known: HashMap::new(),
        }
    }

    /// The name of the skyline that an eye so high over a place sees, and
    /// whether an earlier row has it: `07-north-wall.skyline.csv`.
    pub fn of_place(
        &mut self,
        row: usize,
        title: &str,
        of_subject: bool,
        from: GroundPoint,
        eye_m: f64,
    ) -> (String, bool) {
        let key = [from.latitude_deg(), from.longitude_deg(), eye_m].map(f64::to_bits);
        if let Some(name) = self.known.get(&key) {
            return (name.clone(), true);
        }
        let what = if of_subject {
            ".subject-skyline.csv"
        } else {
            ".skyline.csv"
        };
        let number = row.saturating_add(1);
        let name = format!("{number:0width$}{}{what}", part(title), width = self.width);
        self.known.insert(key, name.clone());
        (name, false)
    }
}

/// A title as a part of a file's name: `-north-wall`; the number of the row
/// tells titles apart.
fn part(title: &str) -> String {
    let mut part = String::new();
    for c in title.chars().flat_map(char::to_lowercase) {
        let c = if c.is_alphanumeric() { c } else { '-' };
        if c == '-' && (part.is_empty() || part.ends_with('-')) {
            continue;
        }
        if part.len() + c.len_utf8() > LONGEST {
            break;
        }
        part.push(c);
    }
    match part.trim_end_matches('-') {
        "" => String::new(),
        part => format!("-{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_strangers_make_safe_files() {
        for (title, named) in [
            ("North wall", "-north-wall"),
            ("../../etc/passwd", "-etc-passwd"),
            ("", ""),
            ("...", ""),
            ("CON", "-con"),
            ("a\u{1b}[31mb", "-a-31mb"),
            ("Ö, \"x\"/y\\z", "-ö-x-y-z"),
        ] {
            assert_eq!(part(title), named, "{title:?}");
        }
        assert!(part(&"界".repeat(100)).len() <= LONGEST + 1);
    }

    #[test]
    fn a_place_has_one_file() {
        let mut names = FileNames::of(100);
        let place = GroundPoint::new(46.0, 8.0).expect("a place");
        let mut of = |row, eye_m| names.of_place(row, "A", false, place, eye_m);
        assert_eq!(of(0, 1.5), ("001-a.skyline.csv".to_owned(), false));
        assert_eq!(of(6, 1.5), ("001-a.skyline.csv".to_owned(), true));
        assert_eq!(of(6, 2.0), ("007-a.skyline.csv".to_owned(), false));
    }
}

//! The elevation files that a user gives, folders among them.

use super::fault::{Fault, Faults};
use crate::plain_words::system_words;
use crate::scene::ValueError;
use crate::terrain::ELEVATION_ENDINGS;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The most entries of a folder that are looked at.
const LARGEST_FOLDER: usize = 20_000;

/// The files that `given` means: each file itself, and of each folder its
/// `.hgt`, `.tif` and `.tiff` files, by name; folders inside it are not
/// opened.
///
/// # Errors
///
/// A folder that can't be read, is too large, or has no such file; the error
/// says what it has instead.
pub fn elevation_files(given: &[PathBuf]) -> Result<Vec<PathBuf>, Faults> {
    let mut files = Vec::new();
    for path in given {
        if path.is_dir() {
            files.extend(of_folder(path).map_err(|error| {
                Faults::from(Fault::of_file(&path.display().to_string(), error))
            })?);
        } else {
            files.push(path.clone());
        }
    }
    Ok(files)
}

fn of_folder(folder: &Path) -> Result<Vec<PathBuf>, ValueError> {
    const EXPECTED: &str = "a folder of elevation files (.hgt, .tif)";
    let mut entries = std::fs::read_dir(folder).map_err(|error| {
        ValueError::new(&system_words(&error), EXPECTED).with_remedy("check its permissions")
    })?;
    let mut files = Vec::new();
    let mut others: BTreeMap<String, usize> = BTreeMap::new();
    for entry in entries.by_ref().take(LARGEST_FOLDER).flatten() {
        let path = entry.path();
        let ending = path.extension().and_then(|ending| ending.to_str());
        let ending = ending.unwrap_or_default().to_ascii_lowercase();
        if path.is_dir() {
            *others.entry("folders".to_owned()).or_default() += 1;
        } else if ELEVATION_ENDINGS.contains(&ending.as_str()) {
            files.push(path);
        } else if !ending.is_empty() {
            *others.entry(format!(".{ending}")).or_default() += 1;
        }
    }
    if entries.next().is_some() {
        let found = format!("more than {LARGEST_FOLDER} entries");
        return Err(ValueError::new(&found, EXPECTED)
            .with_remedy("put those around the site into a folder of their own"));
    }
    if files.is_empty() {
        let most = others.iter().max_by_key(|(_, count)| **count);
        let found = match most {
            None => "an empty folder".to_owned(),
            Some((ending, count)) if ending == "folders" => {
                format!("a folder of folders ({count})")
            }
            Some((ending, count)) => format!("a folder without any ({count} {ending})"),
        };
        let remedy = match most.map(|(ending, _)| ending.as_str()) {
            Some("folders") => "give the folder inside it",
            Some(".zip" | ".gz" | ".bz2" | ".xz" | ".tar") => "unpack them first",
            _ => "give another folder, or the files themselves",
        };
        return Err(ValueError::new(&found, EXPECTED).with_remedy(remedy));
    }
    files.sort();
    Ok(files)
}

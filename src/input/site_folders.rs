//! Sites by name: the folders that keep them.

use super::fault::{Fault, Faults};
use super::kept_file::is_file_of_site;
use crate::plain_words::{printable, printable_path};
use crate::scene::ValueError;
use crate::scene::nearest::nearest_few;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// Endings of site files, in the order in which they are tried.
const ENDINGS: [&str; 5] = ["toml", "csv", "gpx", "kml", "geojson"];
/// The most names that an error offers.
const OFFERED: usize = 3;
/// The most entries of a folder that are looked at.
const LARGEST_FOLDER: usize = 20_000;

/// Folders in which a site is found by its name: `saltbush-tank` is
/// `saltbush-tank.toml`, else `saltbush-tank.csv`, else a file of points of that
/// name, in the first that has one.
///
/// # Example
///
/// ```
/// use rakelight::input::SiteFolders;
/// use std::path::Path;
/// let folders = SiteFolders::new(["demo-sites".into()]);
/// let found = folders.find(Path::new("saltbush-tank"))?;
/// assert_eq!(found, Path::new("demo-sites/saltbush-tank.toml"));
/// # Ok::<(), rakelight::Faults>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SiteFolders(Vec<PathBuf>);

impl SiteFolders {
    /// These folders, looked through in this order; empty names are passed
    /// over.
    pub fn new(folders: impl IntoIterator<Item = PathBuf>) -> Self {
        let named = |folder: &PathBuf| !folder.as_os_str().is_empty();
        Self(folders.into_iter().filter(named).collect())
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The file that `named` means: that path itself, else with an ending, else
    /// the same in one of the folders. A path that begins at the root, with `.`
    /// or with `..` is looked for nowhere else.
    ///
    /// A path that exists but is no site file is returned as it is: its reader
    /// reports what is wrong.
    ///
    /// # Errors
    ///
    /// Nothing is found; the error says what was looked for, where, and gives
    /// similar names.
    pub fn find(&self, named: &Path) -> Result<PathBuf, Faults> {
        if named.file_name().is_none() {
            return Ok(named.to_owned());
        }
        let there = self.there(named);
        there.ok_or_else(|| self.not_found(named, &spellings(named)).into())
    }

    /// The file that an address means, as [`SiteFolders::find`] does, and what
    /// stands behind the `#`, if it has one: `saltbush-tank#north wall`. A file
    /// with a `#` in its name comes before an address.
    ///
    /// # Errors
    ///
    /// Nothing is found, as with [`SiteFolders::find`].
    pub fn find_address(&self, typed: &Path) -> Result<(PathBuf, Option<String>), Faults> {
        let text = typed.to_str().filter(|text| text.contains('#'));
        let Some(text) = text else {
            return Ok((self.find(typed)?, None));
        };
        if let Some(path) = self.there(typed) {
            return Ok((path, None));
        }
        let parts = text.rmatch_indices('#').filter_map(|(at, sign)| {
            let file = Path::new(text.get(..at)?);
            let address = text.get(at + sign.len()..)?;
            (file.file_name().is_some()).then_some((file, address))
        });
        let mut last = None;
        for (file, address) in parts {
            if let Some(path) = self.there(file) {
                return Ok((path, Some(address.to_owned())));
            }
            last = Some(file);
        }
        let file = last.filter(|_| !has_ending(typed)).unwrap_or(typed);
        self.find(file).map(|path| (path, None))
    }

    /// The file that `named` means, if there is one.
    fn there(&self, named: &Path) -> Option<PathBuf> {
        let spellings = spellings(named);
        let here = spellings.iter().find(|path| is_there(path)).cloned();
        let found = here.or_else(|| {
            self.for_name(named)
                .iter()
                .flat_map(|folder| spellings.iter().map(|path| folder.join(path)))
                .find(|path| is_there(path))
        });
        found.or_else(|| named.exists().then(|| named.to_owned()))
    }

    /// Every site file of the folders, folder by folder, by name; or why a
    /// folder can't be read, or not to its end: of more than 20,000 entries
    /// only the first are looked at, in the system's order.
    ///
    /// Names with a dot before the ending are left out, since no name finds
    /// them (`tank.skyline.csv`), and so are skylines.
    pub fn files(&self) -> Vec<Result<PathBuf, Faults>> {
        let mut files = Vec::new();
        for folder in &self.0 {
            let name = folder.display().to_string();
            match site_files(folder) {
                Ok(found) => {
                    files.extend(found.files.into_iter().map(Ok));
                    if !found.whole {
                        files.push(Err(Fault::of_file(&name, too_many()).into()));
                    }
                }
                Err(error) => {
                    let value = ValueError::new(why_not(folder, &error), "a folder of site files");
                    let value = match home_sign(folder) {
                        Some(remedy) => value.with_remedy(remedy),
                        None => value,
                    };
                    files.push(Err(Fault::of_file(&name, value).into()));
                }
            }
        }
        files
    }

    /// The folders in which `named` is looked for.
    fn for_name(&self, named: &Path) -> &[PathBuf] {
        let text = named.as_os_str().as_encoded_bytes();
        if named.is_absolute() || text.starts_with(b".") {
            return &[];
        }
        &self.0
    }

    fn not_found(&self, named: &Path, spellings: &[PathBuf]) -> Fault {
        // The name once, and the endings behind it.
        let looked_for = listed(spellings.iter().enumerate().map(|(index, path)| {
            let name = path.file_name().map_or(path.as_path(), Path::new);
            match path.extension().filter(|_| index > 0) {
                Some(ending) => format!(".{}", ending.to_string_lossy()),
                None => printable_path(name),
            }
        }));
        let beside = match named.parent() {
            Some(parent) if parent != Path::new("") => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        let mut places = vec![place_text(&beside)];
        let whole = |folder: &PathBuf| match named.parent() {
            Some(parent) if parent != Path::new("") => folder.join(parent),
            _ => folder.clone(),
        };
        // A folder below one of ours is only mentioned if it exists.
        let told = |folder: &PathBuf| self.0.contains(folder) || folder.is_dir();
        let folders = self.for_name(named).iter().map(whole).filter(told);
        places.extend(folders.map(|folder| place_text(&folder)));
        let expected = format!("{looked_for} in {}", listed(places.into_iter()));
        let value = ValueError::new("no such site", expected);
        let remedy = self
            .alike(named, &beside)
            .or_else(|| self.for_name(named).iter().find_map(|path| home_sign(path)));
        let value = match remedy {
            Some(remedy) => value.with_remedy(remedy),
            None => value,
        };
        Fault::of_file(&named.display().to_string(), value)
    }

    /// Names similar to `named`, beside it and in the folders.
    fn alike(&self, named: &Path, beside: &Path) -> Option<String> {
        let ours = |path: &&Path| has_ending(path);
        let typed = Some(named).filter(ours).and_then(Path::file_stem);
        let typed = typed.or(named.file_name())?.to_string_lossy().into_owned();
        let mut known: Vec<(String, String)> = Vec::new();
        for path in site_files(beside).unwrap_or_default().files {
            let as_typed = match beside == Path::new(".") {
                true => path.file_name().map(PathBuf::from).unwrap_or_default(),
                false => path.clone(),
            };
            let offer = printable_path(&as_typed);
            known.push((stem_text(&path), offer));
        }
        for folder in self.for_name(named) {
            for path in site_files(folder).unwrap_or_default().files {
                let stem = stem_text(&path);
                if known.iter().any(|(before, _)| *before == stem) {
                    continue;
                }
                let place = printable_path(folder);
                let offer = format!("{} in {place}", printable(&stem));
                known.push((stem, offer));
            }
        }
        let near = nearest_few(&typed, known.iter().map(|(stem, _)| stem.as_str()), OFFERED);
        let offers = near
            .into_iter()
            .filter_map(|index| known.get(index))
            .map(|(_, offer)| offer.clone());
        let offers: Vec<String> = offers.collect();
        (!offers.is_empty()).then(|| format!("did you mean {}?", listed(offers.into_iter())))
    }
}

/// The possible file names of a site.
fn spellings(named: &Path) -> Vec<PathBuf> {
    if has_ending(named) {
        return vec![named.to_owned()];
    }
    let with = |ending: &&str| {
        let mut text = named.as_os_str().to_owned();
        text.push(".");
        text.push(ending);
        PathBuf::from(text)
    };
    ENDINGS.iter().map(with).collect()
}

fn has_ending(path: &Path) -> bool {
    let is_ours = |ending: &OsStr| ENDINGS.iter().any(|ours| ending.eq_ignore_ascii_case(ours));
    path.extension().is_some_and(is_ours)
}

/// Whether a file is there, or something that its reader must report.
fn is_there(path: &Path) -> bool {
    !path.is_dir() && path.try_exists().unwrap_or(true)
}

/// The contents of a folder.
#[derive(Debug, Default)]
struct Found {
    /// The files that can be found by name, in order of name.
    files: Vec<PathBuf>,
    /// Whether the whole folder was looked at.
    whole: bool,
}

fn too_many() -> ValueError {
    let expected = format!("a folder of at most {LARGEST_FOLDER} entries");
    ValueError::new(&format!("more than {LARGEST_FOLDER}"), expected)
        .with_remedy("the others are not looked at: put them into folders of their own")
}

/// The files of a folder that a name finds.
fn site_files(folder: &Path) -> std::io::Result<Found> {
    let mut entries = std::fs::read_dir(folder)?;
    let mut files: Vec<PathBuf> = entries
        .by_ref()
        .take(LARGEST_FOLDER)
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| has_ending(path) && !stem_text(path).contains('.') && !path.is_dir())
        .filter(|path| !is_file_of_site(path))
        .collect();
    files.sort();
    let whole = entries.next().is_none();
    Ok(Found { files, whole })
}

fn stem_text(path: &Path) -> String {
    let stem = path.file_stem().unwrap_or_default();
    stem.to_string_lossy().into_owned()
}

fn place_text(folder: &Path) -> String {
    let name = match folder == Path::new(".") {
        true => "the current folder".to_owned(),
        false => printable_path(folder),
    };
    match std::fs::read_dir(folder) {
        Ok(_) => name,
        Err(error) => format!("{name} ({})", why_not(folder, &error)),
    }
}

fn why_not(folder: &Path, error: &std::io::Error) -> &'static str {
    match error.kind() {
        std::io::ErrorKind::NotFound => "no such folder",
        std::io::ErrorKind::PermissionDenied => "a folder that may not be looked into",
        _ if !folder.is_dir() => "no folder",
        _ => "a folder that can't be read",
    }
}

/// The message if the shell did not replace its sign for the home folder.
fn home_sign(folder: &Path) -> Option<String> {
    let left = folder.starts_with("~") && !folder.exists();
    left.then(|| "a ~ in quotes stays a ~: write $HOME instead".to_owned())
}

/// `a`, `a or b`, `a, b or c`.
fn listed(texts: impl Iterator<Item = String>) -> String {
    let texts: Vec<String> = texts.collect();
    match texts.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} or {last}", before.join(", ")),
        None => String::new(),
    }
}

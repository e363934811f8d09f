//! Reading files of sites, briefs and skylines.

use super::address::{Layout, Picker};
use super::csv_rows::no_spreadsheet;
use super::fault::{Fault, Faults};
use super::opening::{
    Opening, beginning, load_skyline, nobody, open, open_plain, read_bytes, read_text,
};
use super::read_csv::{SiteTable, has_site_header};
use super::read_toml::{own_keys, parse_site_with, parse_sites_with, read_brief};
use crate::rule::Brief;
use crate::scene::Site;
use crate::scene::Skyline;
use crate::scene::ValueError;
use crate::scene::name::check_name;
use std::io::Read;
use std::path::Path;

/// The sites of one file, in its order.
pub struct Sites {
    source: Source,
    /// The columns of the user's own in a table.
    own: Vec<String>,
}

enum Source {
    /// Those of a site file, or the rows of a table that an address means.
    File(std::vec::IntoIter<Result<Site, Faults>>),
    Table(Box<SiteTable<Box<dyn Read + Send>>>),
}

impl Sites {
    /// Those that were read already.
    fn of(read: Result<Vec<Result<Site, Faults>>, Faults>) -> Self {
        let sites = read.unwrap_or_else(|faults| vec![Err(faults)]);
        Self {
            source: Source::File(sites.into_iter()),
            own: Vec::new(),
        }
    }

    /// The names of the columns of the user's own, if the sites are those of a
    /// table.
    pub fn own_columns(&self) -> &[String] {
        &self.own
    }
}

impl Iterator for Sites {
    type Item = Result<Site, Faults>;

    fn next(&mut self) -> Option<Self::Item> {
        match &mut self.source {
            Source::File(sites) => sites.next(),
            Source::Table(table) => table.next(),
        }
    }
}

/// The endings of the files in which spreadsheets keep their sheets.
const SHEETS: [&str; 6] = ["xlsx", "xlsm", "xlsb", "xls", "ods", "fods"];

/// The sites in the file at `path`: one, or one a view, in a `.toml` file, one a row in a
/// `.csv` table, which is read as the iterator advances.
///
/// # Errors
///
/// A file that isn't there, can't be read, or has another ending; and a table
/// whose header is wrong. Faults of the sites themselves come from the iterator.
pub fn read_sites(path: &Path) -> Result<Sites, Faults> {
    read_sites_at(path, None, nobody())
}

/// The same, of those sites that `address` means, if there is one: what stands
/// behind the `#` of `table.csv#ROW`, `table.csv#ROW#VIEW` or `site.toml#VIEW`.
/// `opening` also gets `path` and each file that a site refers to, even if it
/// is missing or wrong.
///
/// # Errors
///
/// As [`read_sites`]; and an address that means no site or too many. In a
/// table only the rows that it means are checked.
pub fn read_sites_at(
    path: &Path,
    address: Option<&str>,
    opening: Opening,
) -> Result<Sites, Faults> {
    opening(path);
    let file = path.display().to_string();
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    match ending.as_deref().and_then(|ending| ending.to_str()) {
        Some("toml") => {
            let text = read_text(path, "a site file")?;
            let directory = path.parent().unwrap_or(Path::new(""));
            let sites = parse_sites_telling(&file, &text, directory, &opening);
            let sites = sites.and_then(|sites| match address {
                Some(address) => picked(&file, address, sites),
                None => Ok(sites),
            });
            Ok(Sites::of(
                sites.map(|sites| sites.into_iter().map(Ok).collect()),
            ))
        }
        Some("csv") => {
            let opened = open_plain(path, "a table of sites")?;
            let directory = path.parent().unwrap_or(Path::new(""));
            read_site_table_at(&file, directory, opened, address, opening)
        }
        _ => {
            // A missing file is more likely than a wrong ending.
            open(path, "a site file")?;
            if ending.is_some_and(|ending| SHEETS.iter().any(|sheet| ending == *sheet)) {
                return Err(Fault::of_file(&file, no_spreadsheet()).into());
            }
            let error = ValueError::new("another ending", "a name that ends in .toml or .csv")
                .with_remedy("rename it: .toml for a site, .csv for a table of sites");
            Err(Fault::of_file(&file, error).into())
        }
    }
}

/// The sites of a CSV table from anywhere, such as standard input; `file` is
/// its name in errors; skylines are looked up from `directory`.
///
/// # Errors
///
/// A wrong header.
pub fn read_site_table(
    file: &str,
    directory: &Path,
    table: impl Read + Send + 'static,
) -> Result<Sites, Faults> {
    read_site_table_at(file, directory, table, None, nobody())
}

/// The same, of those rows that `address` means, if there is one; `opening` also
/// gets each file that a site refers to.
///
/// # Errors
///
/// A wrong header, and an address that means no row or too many.
pub fn read_site_table_at(
    file: &str,
    directory: &Path,
    table: impl Read + Send + 'static,
    address: Option<&str>,
    opening: Opening,
) -> Result<Sites, Faults> {
    let table: Box<dyn Read + Send> = Box::new(table);
    let table = SiteTable::new(file, directory, table)?.telling(opening);
    let own = table.own_columns();
    Ok(match address {
        Some(address) => Sites {
            own,
            ..Sites::of(table.picked(address))
        },
        None => Sites {
            source: Source::Table(Box::new(table)),
            own,
        },
    })
}

/// The names of the user's own values in the file at `path`, in its order,
/// without reading its rows: the columns of a table, the keys in the tables
/// `[own]` of a site file. None where the file is wrong; its reader says why.
pub fn own_columns(path: &Path) -> Vec<String> {
    let file = path.display().to_string();
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    match ending.as_deref().and_then(|ending| ending.to_str()) {
        Some("toml") => {
            let text = read_text(path, "a site file");
            text.map(|text| own_keys(&text)).unwrap_or_default()
        }
        Some("csv") => {
            let opened = open_plain(path, "a table of sites");
            let table = opened.and_then(|opened| SiteTable::new(&file, Path::new(""), opened));
            table.map(|table| table.own_columns()).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// Those of a site file's `sites` that an address means.
fn picked(file: &str, address: &str, sites: Vec<Site>) -> Result<Vec<Site>, Faults> {
    let mut picker = Picker::new(file, Layout::SiteFile, address);
    for site in sites {
        let (name, view) = (site.name.clone(), site.view.clone());
        picker.offer(&name, view.as_deref(), site);
    }
    picker.end()
}

/// The site in a TOML text. `file` is its name in errors; its stem
/// (`saltbush.toml`), if usable, becomes the name of a site without one.
/// Skylines are looked up from `directory`.
///
/// # Errors
///
/// Everything wrong in the text and in the skylines it refers to, and a place
/// of several views, which [`parse_sites`] reads.
pub fn parse_site(file: &str, text: &str, directory: &Path) -> Result<Site, Faults> {
    let opening = nobody();
    parse_site_with(file, text, default_name(file), &|name| {
        load_skyline(directory, name, &opening)
    })
}

/// The sites in a TOML text, in its order: one for each `[[view]]`, or the
/// place itself if it has none. The rest is as with [`parse_site`].
///
/// # Errors
///
/// Everything wrong in the text and in the skylines it refers to.
///
/// # Example
///
/// ```
/// use rakelight::parse_sites;
/// use std::path::Path;
/// let text = "latitude_deg = 0.4\nlongitude_deg = 6.5\n\
///             [[view]]\nname = \"cove\"\nbearing_deg = 60\n\
///             [[view]]\nname = \"stack\"\nsubject.bearing_deg = 180\n";
/// let titles: Vec<String> = parse_sites("point.toml", text, Path::new(""))?
///     .iter()
///     .map(|site| site.title().into_owned())
///     .collect();
/// assert_eq!(titles, ["point, cove", "point, stack"]);
/// # Ok::<(), rakelight::Faults>(())
/// ```
pub fn parse_sites(file: &str, text: &str, directory: &Path) -> Result<Vec<Site>, Faults> {
    parse_sites_telling(file, text, directory, &nobody())
}

fn parse_sites_telling(
    file: &str,
    text: &str,
    directory: &Path,
    opening: &Opening,
) -> Result<Vec<Site>, Faults> {
    parse_sites_with(file, text, default_name(file), &|name| {
        load_skyline(directory, name, opening)
    })
}

/// The name of a site whose file gives none.
fn default_name(file: &str) -> Option<String> {
    let stem = Path::new(file).file_stem().and_then(|stem| stem.to_str());
    stem.and_then(|stem| check_name(stem).ok())
}

/// The brief in the TOML file at `path`.
///
/// # Errors
///
/// A file that can't be read, and everything wrong in it.
pub fn read_brief_file(path: &Path) -> Result<Brief, Faults> {
    let text = read_text(path, "a brief file")?;
    read_brief(&path.display().to_string(), &text)
}

/// Whether the file at `path` is a skyline and so not a table of sites.
pub(crate) fn is_skyline_file(path: &Path) -> bool {
    let is_table = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    is_table
        && read_bytes(path, "a skyline file")
            .is_ok_and(|bytes| Skyline::read("", bytes.as_slice()).is_ok())
}

/// The kinds of files that this program reads and people keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum KeptFile {
    /// A site or a brief: it ends in `.toml`.
    SiteOrBrief,
    /// A table of sites: a `.csv` whose header has columns of place, whatever
    /// else may be wrong with it; in UTF-16, with semicolons or tabs too.
    SiteTable,
    /// A skyline: it has the header of one, whatever its rows are.
    Skyline,
    /// An elevation tile: it ends in `.hgt`.
    ElevationTile,
}

impl KeptFile {
    /// The kind of the file at `path`, by its name and first row; `None` for
    /// any other and for one that can't be read.
    pub fn of(path: &Path) -> Option<Self> {
        // Opening a pipe that nobody writes to would wait for ever.
        if !std::fs::metadata(path).is_ok_and(|about| about.is_file()) {
            return None;
        }
        let ending = path.extension().and_then(|ending| ending.to_str());
        match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("toml") => return Some(Self::SiteOrBrief),
            Some("hgt") => return Some(Self::ElevationTile),
            _ => {}
        }
        let text = with_commas(&beginning(path)?);
        if ending.is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
            && has_site_header(text.as_bytes())
        {
            return Some(Self::SiteTable);
        }
        Skyline::has_header(text.as_bytes()).then_some(Self::Skyline)
    }
}

/// A table in ASCII letters in this program's form, however a spreadsheet saved
/// it: in UTF-16, with semicolons or tabs, with a line that says which. It is
/// only used to look for column names.
fn with_commas(bytes: &[u8]) -> String {
    let mark = |bytes: &[u8]| bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff");
    let bytes = bytes.get(2..).filter(|_| mark(bytes)).unwrap_or(bytes);
    // In UTF-16 every other byte of an ASCII letter is 0.
    let plain: Vec<u8> = bytes
        .iter()
        .filter(|byte| **byte != 0)
        .map(|byte| match byte {
            b';' | b'\t' => b',',
            other => *other,
        })
        .collect();
    let text = String::from_utf8_lossy(&plain);
    let text = text.trim_start_matches('\u{feff}');
    match text.split_once('\n') {
        Some((first, rest)) if first.starts_with("sep=") => rest.to_owned(),
        _ => text.to_owned(),
    }
}

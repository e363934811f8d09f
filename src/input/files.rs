//! Reading files of sites, briefs and skylines.

use super::address::{Layout, Picker};
use super::csv_rows::no_spreadsheet;
use super::fault::{Fault, Faults};
use super::opening::{Opening, nobody, open, open_plain, read_text};
use super::points::{LeftOut, Points, PointsForm};
use super::read_brief::BriefFile;
use super::read_csv::SiteTable;
use super::read_toml::{own_keys, parse_site_with, parse_sites_with};
use super::site_defaults::SiteDefaults;
use super::site_files::Beside;
use super::whence::Whence;
use crate::rule::Brief;
use crate::scene::Site;
use crate::scene::ValueError;
use crate::scene::name::check_name;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

/// How the sites of a run are read.
#[derive(Clone)]
#[non_exhaustive]
pub struct SiteReading {
    /// Gets each file before it is opened.
    pub opening: Opening,
    /// What a brief file gives to sites that say nothing of it.
    pub defaults: Arc<SiteDefaults>,
}

impl SiteReading {
    /// With these defaults; `opening` gets each file before it is opened, even
    /// if it is missing or wrong.
    pub fn new(opening: Opening, defaults: Arc<SiteDefaults>) -> Self {
        Self { opening, defaults }
    }
}

impl Default for SiteReading {
    /// Nothing is told, nothing filled in.
    fn default() -> Self {
        Self::new(nobody(), Arc::default())
    }
}

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
    Points(Box<Points<Box<dyn Read + Send>>>),
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

    /// Passes over so many sites, good or not, without checking those of tables
    /// and points; says how many there were.
    pub fn pass_over(&mut self, most: usize) -> usize {
        match &mut self.source {
            Source::File(sites) => sites.take(most).count(),
            Source::Table(table) => table.pass_over(most),
            Source::Points(points) => points.pass_over(most),
        }
    }

    /// Where the site or the fault stands that the iterator gave last.
    pub fn whence(&self) -> Whence {
        match &self.source {
            Source::File(_) => Whence::default(),
            Source::Table(table) => table.whence(),
            Source::Points(points) => points.whence(),
        }
    }

    /// What a file of points holds so far that is no point; nothing for any
    /// other file.
    pub fn left_out(&self) -> Option<&LeftOut> {
        match &self.source {
            // Where there is no point at all, the fault tells what there is.
            Source::Points(points) => Some(points.left_out())
                .filter(|left_out| points.has_points() && !left_out.is_empty()),
            Source::File(_) | Source::Table(_) => None,
        }
    }
}

impl Iterator for Sites {
    type Item = Result<Site, Faults>;

    fn next(&mut self) -> Option<Self::Item> {
        match &mut self.source {
            Source::File(sites) => sites.next(),
            Source::Table(table) => table.next(),
            Source::Points(points) => points.next(),
        }
    }
}

/// The endings of the files in which spreadsheets keep their sheets.
const SHEETS: [&str; 6] = ["xlsx", "xlsm", "xlsb", "xls", "ods", "fods"];

/// The sites in the file at `path`: one, or one a view, in a `.toml` file, one a row in a
/// `.csv` table, one a point in a `.gpx`, `.kml` or `.geojson` file. Tables and
/// points are read as the iterator advances.
///
/// # Errors
///
/// A file that isn't there, can't be read, or has another ending; and a table
/// whose header is wrong. Faults of the sites themselves come from the iterator.
pub fn read_sites(path: &Path) -> Result<Sites, Faults> {
    read_sites_at(path, None, &SiteReading::default())
}

/// The same, of those sites that `address` means, if there is one: what stands
/// behind the `#` of `table.csv#ROW`, `table.csv#ROW#VIEW`, `site.toml#VIEW` or
/// `hike.gpx#POINT`. The `opening` of `reading` also gets `path` and each file
/// that a site refers to, even if it is missing or wrong.
///
/// # Errors
///
/// As [`read_sites`]; and an address that means no site or too many. In a
/// table and among points only those that it means are checked.
pub fn read_sites_at(
    path: &Path,
    address: Option<&str>,
    reading: &SiteReading,
) -> Result<Sites, Faults> {
    (reading.opening)(path);
    let file = path.display().to_string();
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    let ending = ending.as_deref().and_then(|ending| ending.to_str());
    if let Some(form) = ending.and_then(PointsForm::of_ending) {
        let opened: Box<dyn Read + Send> = Box::new(open_plain(path, "a file of points")?);
        let points = Points::new(&file, form, opened).with_defaults(reading.defaults.clone());
        return Ok(match address {
            Some(address) => Sites::of(points.picked(address)),
            None => Sites {
                source: Source::Points(Box::new(points)),
                own: Vec::new(),
            },
        });
    }
    match ending {
        Some("toml") => {
            let text = read_text(path, "a site file")?;
            let directory = path.parent().unwrap_or(Path::new(""));
            let sites = parse_sites_telling(&file, &text, directory, reading);
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
            read_site_table_at(&file, directory, opened, address, reading)
        }
        _ => {
            // A missing file is more likely than a wrong ending.
            open(path, "a site file")?;
            if ending.is_some_and(|ending| SHEETS.contains(&ending)) {
                return Err(Fault::of_file(&file, no_spreadsheet()).into());
            }
            Err(Fault::of_file(&file, other_ending(ending)).into())
        }
    }
}

/// The fault of a file whose name does not tell that it has sites.
fn other_ending(ending: Option<&str>) -> ValueError {
    let expected = "a name that ends in .toml, .csv, .gpx, .kml or .geojson";
    match ending {
        Some("kmz") => ValueError::new("a packed file", expected)
            .with_remedy("unpack it, for example with unzip, and give the .kml in it"),
        _ => ValueError::new("another ending", expected).with_remedy(
            "rename it: .toml for a site, .csv for a table of sites, .gpx, .kml or .geojson for points",
        ),
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
    read_site_table_at(file, directory, table, None, &SiteReading::default())
}

/// The same, of those rows that `address` means, if there is one; the `opening`
/// of `reading` also gets each file that a site refers to.
///
/// # Errors
///
/// A wrong header, and an address that means no row or too many.
pub fn read_site_table_at(
    file: &str,
    directory: &Path,
    table: impl Read + Send + 'static,
    address: Option<&str>,
    reading: &SiteReading,
) -> Result<Sites, Faults> {
    let table: Box<dyn Read + Send> = Box::new(table);
    let table = SiteTable::new(file, directory, table)?
        .telling(reading.opening.clone())
        .with_defaults(reading.defaults.clone());
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

/// How many rows or points the file at `path` has, each of which is a site or a
/// fault; 1 for any other file, for an empty one, and for one that can't be
/// read: its reader has one fault.
pub fn count_sites(path: &Path) -> usize {
    let is_one = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("toml"));
    if is_one {
        return 1;
    }
    read_sites(path).map_or(1, |mut sites| sites.pass_over(usize::MAX).max(1))
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
    let files = Beside::new(directory, &opening);
    parse_site_with(file, text, default_name(file), &files)
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
    parse_sites_telling(file, text, directory, &SiteReading::default())
}

fn parse_sites_telling(
    file: &str,
    text: &str,
    directory: &Path,
    reading: &SiteReading,
) -> Result<Vec<Site>, Faults> {
    let files = Beside::new(directory, &reading.opening);
    parse_sites_with(file, text, default_name(file), &reading.defaults, &files)
}

/// The name of a site whose file gives none.
fn default_name(file: &str) -> Option<String> {
    let stem = Path::new(file).file_stem().and_then(|stem| stem.to_str());
    stem.and_then(|stem| check_name(stem).ok())
}

/// The rules of the brief in the TOML file at `path`; see [`BriefFile::read`] for
/// what else it has.
///
/// # Errors
///
/// A file that can't be read, and everything wrong in it.
pub fn read_brief_file(path: &Path) -> Result<Brief, Faults> {
    BriefFile::read(path).map(|brief| brief.rules)
}

impl BriefFile {
    /// The brief in the TOML file at `path`, with the files that it refers to,
    /// seen from its folder.
    ///
    /// # Errors
    ///
    /// A file that can't be read, and everything wrong in it.
    pub fn read(path: &Path) -> Result<Self, Faults> {
        Self::read_at(path, &nobody())
    }

    /// The same; `opening` gets each file that the brief refers to.
    ///
    /// # Errors
    ///
    /// As [`BriefFile::read`].
    pub fn read_at(path: &Path, opening: &Opening) -> Result<Self, Faults> {
        let text = read_text(path, "a brief file")?;
        let files = Beside::new(path.parent().unwrap_or(Path::new("")), opening);
        Self::parse_beside(&path.display().to_string(), &text, &files)
    }
}

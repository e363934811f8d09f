//! What kind of file somebody keeps, by its name and beginning.

use super::csv_rows::header_of;
use super::opening::{beginning, read_bytes};
use super::points::PointsForm;
use super::read_climate::has_climate_header;
use super::read_csv::has_site_header;
use super::read_forecast::has_forecast_header;
use super::read_log::{self, has_log_header};
use super::read_moves::has_moves_header;
use super::read_times::{self, has_times_header};
use crate::scene::Skyline;
use crate::terrain::ELEVATION_ENDINGS;
use csv::StringRecord;
use std::path::Path;

/// Whether the first row of a table is the header of one kind.
type IsHeader = fn(&StringRecord) -> bool;

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
    /// An elevation file: it ends in `.hgt`, `.tif` or `.tiff`.
    ElevationTile,
    /// Points that this program did not write: a `.gpx`, `.kml` or `.geojson`
    /// without the sign of its own.
    Points,
    /// A table of moves: it has columns from and to, and km or hours.
    Moves,
    /// A table of allowed times: it has columns from and to.
    Times,
    /// A log of nights: it has columns date and found.
    Log,
    /// A table of clear nights: it has columns month and clear.
    Climate,
    /// A forecast of cloud: it has columns of time and cloud.
    Forecast,
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
            Some(ending) if ELEVATION_ENDINGS.contains(&ending) => {
                return Some(Self::ElevationTile);
            }
            Some(ending) => {
                if let Some(form) = PointsForm::of_ending(ending) {
                    let start = beginning(path)?;
                    let empty = start.iter().all(u8::is_ascii_whitespace);
                    return (!empty && !form.is_ours(&start)).then_some(Self::Points);
                }
            }
            None => {}
        }
        let text = with_commas(&beginning(path)?);
        // All signs are commas now, so no column need be known to part them.
        let header = header_of(text.as_bytes(), |_| true)?;
        if ending.is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
            && has_site_header(&header)
        {
            return Some(Self::SiteTable);
        }
        let kinds: [(IsHeader, Self); 6] = [
            (Skyline::has_header, Self::Skyline),
            (has_moves_header, Self::Moves),
            (has_times_header, Self::Times),
            (has_log_header, Self::Log),
            (has_climate_header, Self::Climate),
            (has_forecast_header, Self::Forecast),
        ];
        let kind = kinds.into_iter().find(|(is, _)| is(&header));
        kind.map(|(_, kind)| kind)
    }
}

/// Whether the file at `path` belongs to a site, as a skyline, a table of times
/// or a log, and so is no table of sites.
pub(crate) fn is_file_of_site(path: &Path) -> bool {
    let is_table = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    if !is_table {
        return false;
    }
    let Some(bytes) = beginning(path) else {
        return false;
    };
    let is_skyline = || {
        read_bytes(path, "a skyline file")
            .is_ok_and(|bytes| Skyline::read("", bytes.as_slice()).is_ok())
    };
    let has =
        |is_column, has: IsHeader| header_of(&*bytes, is_column).is_some_and(|header| has(&header));
    has(read_times::is_column, has_times_header)
        || has(read_log::is_column, has_log_header)
        || is_skyline()
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

//! The files that a site or a brief refers to.

use super::fault::{Fault, Faults};
use super::opening::{Opening, open_plain, read_text};
use super::read_climate::read_climate;
use super::read_forecast::{ForecastFile, read_forecast};
use super::read_ical::read_ical;
use super::read_log::read_log;
use super::read_times::read_times;
use crate::ephemeris::Moment;
use crate::rule::{Brief, TIMES};
use crate::scene::{BySite, Calendar, Climate, SiteLog, Skyline, ValueError};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How a reader gets the files that a site refers to, by the path that stands
/// there.
pub(crate) trait SiteFiles {
    /// A skyline.
    fn skyline(&self, name: &str) -> Result<Arc<Skyline>, Faults>;
    /// Evenings and periods.
    fn calendar(&self, name: &str) -> Result<Arc<Calendar>, Faults>;
    /// What came of past nights.
    fn log(&self, name: &str) -> Result<Arc<SiteLog>, Faults>;
    /// How often nights are clear.
    fn climate(&self, name: &str) -> Result<Arc<BySite<Climate>>, Faults>;
}

/// Files of one kind that have been read.
type Kept<T> = RefCell<BTreeMap<String, Result<Arc<T>, Faults>>>;

/// What is expected where a file of clear nights is named.
const CLIMATE_FILE: &str = "a table of clear nights";

/// No more files of a kind are kept for the next row of a table.
const MOST_KEPT: usize = 32;

/// Files on the disk, seen from a folder. Each is read once for all the sites
/// that refer to it.
pub(crate) struct Beside {
    directory: PathBuf,
    opening: Opening,
    skylines: Kept<Skyline>,
    calendars: Kept<Calendar>,
    logs: Kept<SiteLog>,
    climates: Kept<BySite<Climate>>,
}

impl Beside {
    /// The files seen from `directory`; `opening` gets each of them.
    pub fn new(directory: &Path, opening: &Opening) -> Self {
        Self {
            directory: directory.to_owned(),
            opening: Arc::clone(opening),
            skylines: Kept::default(),
            calendars: Kept::default(),
            logs: Kept::default(),
            climates: Kept::default(),
        }
    }

    fn kept<T>(
        &self,
        kept: &Kept<T>,
        name: &str,
        read: impl FnOnce(&Path, &str) -> Result<T, Faults>,
    ) -> Result<Arc<T>, Faults> {
        if let Some(known) = kept.borrow().get(name) {
            return known.clone();
        }
        let path = self.directory.join(name);
        (self.opening)(&path);
        let found = read(&path, &path.display().to_string()).map(Arc::new);
        let mut kept = kept.borrow_mut();
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(name.to_owned(), found.clone());
        found
    }
}

/// No files: what is read here refers to none.
pub(crate) struct NoFiles;

impl NoFiles {
    fn refuse<T>(name: &str) -> Result<Arc<T>, Faults> {
        let error = ValueError::new(name, "no file beside it");
        Err(Fault::of_file(name, error).into())
    }
}

impl SiteFiles for NoFiles {
    fn skyline(&self, name: &str) -> Result<Arc<Skyline>, Faults> {
        Self::refuse(name)
    }

    fn calendar(&self, name: &str) -> Result<Arc<Calendar>, Faults> {
        Self::refuse(name)
    }

    fn log(&self, name: &str) -> Result<Arc<SiteLog>, Faults> {
        Self::refuse(name)
    }

    fn climate(&self, name: &str) -> Result<Arc<BySite<Climate>>, Faults> {
        Self::refuse(name)
    }
}

impl SiteFiles for Beside {
    fn skyline(&self, name: &str) -> Result<Arc<Skyline>, Faults> {
        self.kept(&self.skylines, name, |path, file| {
            let bytes = super::opening::read_bytes(path, "a skyline file")?;
            Skyline::read_whole(file, &bytes)
        })
    }

    fn calendar(&self, name: &str) -> Result<Arc<Calendar>, Faults> {
        self.kept(&self.calendars, name, |path, file| {
            read_calendar(file, open_plain(path, "a file of dates or times")?)
        })
    }

    fn log(&self, name: &str) -> Result<Arc<SiteLog>, Faults> {
        self.kept(&self.logs, name, |path, file| {
            let text = read_text(path, "a log of nights")?;
            read_log(file, text.as_bytes())
        })
    }

    fn climate(&self, name: &str) -> Result<Arc<BySite<Climate>>, Faults> {
        self.kept(&self.climates, name, |path, file| {
            read_climate(file, open_plain(path, CLIMATE_FILE)?)
        })
    }
}

/// Reads evenings and periods: an iCalendar file where the name of `file` ends
/// in `.ics`, else a table or a list.
///
/// # Errors
///
/// Everything wrong in the file, with its line.
///
/// # Example
///
/// ```
/// use rakelight::input::read_calendar;
/// let table = "date,from,to\n2027-05-28,21:00,02:30\n";
/// let calendar = read_calendar("tides.csv", table.as_bytes())?;
/// assert_eq!(calendar.reach().map(|[first, _]| first.to_string()), Some("2027-05-28".into()));
/// # Ok::<(), rakelight::Faults>(())
/// ```
pub fn read_calendar(file: &str, table: impl Read) -> Result<Calendar, Faults> {
    match is_ical(Path::new(file)) {
        true => read_ical(file, table),
        false => read_times(file, table),
    }
}

/// Reads the table of clear nights at `path`, see [`read_climate`].
///
/// # Errors
///
/// A file that can't be read, and everything wrong in it.
pub fn read_climate_file(path: &Path) -> Result<BySite<Climate>, Faults> {
    let table = open_plain(path, CLIMATE_FILE)?;
    read_climate(&path.display().to_string(), table)
}

/// Reads the forecast at `path` as far as it is about a period, see
/// [`read_forecast`].
///
/// # Errors
///
/// A file that can't be read, and everything wrong in it.
pub fn read_forecast_file(path: &Path, period: [Moment; 2]) -> Result<ForecastFile, Faults> {
    let table = open_plain(path, "a table with a forecast of cloud")?;
    read_forecast(&path.display().to_string(), table, period)
}

fn is_ical(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("ics"))
}

/// A calendar for a rule: a file of allowed times must have times.
pub(super) fn calendar_for(
    key: &str,
    name: &str,
    files: &dyn SiteFiles,
) -> Result<Arc<Calendar>, Faults> {
    let calendar = files.calendar(name)?;
    if key == TIMES.key && !calendar.has_periods() && !is_ical(Path::new(name)) {
        let error = ValueError::new("evenings alone", "periods: the columns date, from, to")
            .with_remedy("for evenings ask with dates");
        return Err(Fault::of_file(name, error).into());
    }
    Ok(calendar)
}

/// A brief with every file that its rules name read, seen from `directory`;
/// `opening` gets each of them.
///
/// # Errors
///
/// Files that can't be read, and everything wrong in them.
pub fn load_rule_files(brief: Brief, directory: &Path, opening: &Opening) -> Result<Brief, Faults> {
    let files = Beside::new(directory, opening);
    let mut faults = Faults::default();
    let loaded = brief
        .clone()
        .with_files(|key, name| match calendar_for(key, name, &files) {
            Ok(calendar) => Ok(Some(calendar)),
            Err(wrong) => {
                faults.extend(wrong);
                Ok::<_, std::convert::Infallible>(None)
            }
        });
    match loaded {
        Ok(brief) => faults.or_value(brief),
        Err(never) => match never {},
    }
}

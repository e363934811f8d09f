//! Forecasts of cloud, from a table: a row for each time.

use super::csv_rows::{Row, Rows};
use super::fault::{Fault, Faults, Place};
use super::named_columns::NamedColumns;
use crate::ephemeris::Moment;
use crate::scene::by_site::site_word;
use crate::scene::name::check_name;
use crate::scene::{BySite, Forecast, LONGEST_GAP_SECONDS, ValueError, utc_time};
use csv::StringRecord;
use std::collections::BTreeMap;
use std::io::Read;
use std::sync::Arc;

/// The most rows of a file that are kept: an hourly forecast of two weeks for
/// more than a thousand sites.
const MOST_KEPT: usize = 500_000;
const TIME: &str = "time_utc";
/// The columns of cloud, each with what its whole is, percent.
const CLOUDS: [(&str, f64); 3] = [
    ("cloud", 1.0),
    ("cloud_percent", 1.0),
    ("cloud_fraction", 100.0),
];
const COLUMNS: [&str; 5] = [TIME, CLOUDS[0].0, CLOUDS[1].0, CLOUDS[2].0, "site"];
const HEADER: (&str, &str) = (
    "the columns time_utc and cloud, and site where it serves several",
    "begin with the line time_utc,cloud",
);

fn is_column(name: &str) -> bool {
    COLUMNS.iter().any(|known| name.eq_ignore_ascii_case(known))
}

/// Whether a table has the header that [`read_forecast`] accepts.
pub(super) fn has_forecast_header(header: &StringRecord) -> bool {
    let has = |name: &str| {
        let mut fields = header.iter();
        fields.any(|field| field.eq_ignore_ascii_case(name))
    };
    has(TIME) && CLOUDS.iter().any(|(name, _)| has(name))
}

/// A forecast as far as it is about a period.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct ForecastFile {
    /// Of each site that the file names, or of every site.
    pub of: BySite<Arc<Forecast>>,
    /// The first and the last time of the file, whether or not they are in the
    /// period; `None` for a file without a row.
    pub reach: Option<[Moment; 2]>,
}

/// A row that is kept: seconds of a moment, percent, line.
type Kept = (f64, f64, usize);

/// Reads a table with the columns `time_utc` (RFC 3339, with `Z` or without),
/// `cloud` or `cloud_percent` (percent of the sky) or `cloud_fraction` (0 to 1)
/// and, if wished, `site`; other columns are for people. Lines that begin with
/// `#` are comments. Rows may have any order; an empty field of cloud is not
/// known. What is not needed for the moments from `period`'s first to its last
/// is read and not kept.
///
/// # Errors
///
/// Everything wrong in the file, with line and field.
pub fn read_forecast(
    file: &str,
    table: impl Read,
    period: [Moment; 2],
) -> Result<ForecastFile, Faults> {
    let mut rows = Rows::new(file, table, true, is_column);
    let (columns, header) = NamedColumns::read(file, &mut rows, &COLUMNS, HEADER)?;
    let lacking = |remedy: &str| columns.lacking(file, &header, HEADER.0, remedy);
    let clouds: Vec<(usize, usize)> = (0..CLOUDS.len())
        .filter_map(|which| Some((which, columns.at(which + 1)?)))
        .collect();
    let (time, (which, cloud)) = match (columns.at(0), clouds.as_slice()) {
        (Some(time), [cloud]) => (time, *cloud),
        (Some(_), [_, second, ..]) => {
            let found = header.fields.get(second.1).unwrap_or_default();
            let error = ValueError::new(found, "one column of cloud")
                .with_remedy("give the others another name");
            let place = Place::new(header.line, second.1 + 1);
            return Err(Fault::at(file, place, None, error).into());
        }
        (Some(_), []) => return Err(lacking(HEADER.1)),
        (None, _) => {
            let has = |name: &str| header.fields.iter().any(|f| f.eq_ignore_ascii_case(name));
            return Err(lacking(match has("time_local") || has("time") {
                true => "rename the column to time_utc, with its times in UTC",
                false => HEADER.1,
            }));
        }
    };
    let (name, whole) = CLOUDS.get(which).copied().unwrap_or(CLOUDS[0]);
    let [from, to] = period.map(|moment| moment.seconds());
    let mut reader = Reader {
        file,
        time,
        cloud,
        cloud_name: name,
        whole,
        site: columns.at(4),
        kept_from: from - LONGEST_GAP_SECONDS,
        kept_to: to + LONGEST_GAP_SECONDS,
        sites: BTreeMap::new(),
        kept: 0,
        reach: None,
        most: 0.0,
        faults: Faults::default(),
    };
    while let Some(row) = rows.next_good_row(&mut reader.faults) {
        match columns.check(file, &row) {
            Ok(()) => reader.row(&rows, &row),
            Err(faults) => reader.faults.extend(faults),
        }
        if reader.kept > MOST_KEPT {
            let error = ValueError::new("more rows", format!("at most {MOST_KEPT} rows in range"))
                .with_remedy("ask about fewer nights, or keep the sites that are needed");
            let fault = Fault::at(file, Place::line(row.line), None, error);
            reader.faults.extend([fault]);
            break;
        }
    }
    reader.finish(columns.line)
}

struct Reader<'a> {
    file: &'a str,
    /// Where time, cloud and site stand.
    time: usize,
    cloud: usize,
    site: Option<usize>,
    cloud_name: &'static str,
    /// What a number is multiplied with to be percent.
    whole: f64,
    kept_from: f64,
    kept_to: f64,
    /// What is kept of each site, by the word that it is found under.
    sites: BTreeMap<String, Vec<Kept>>,
    kept: usize,
    reach: Option<[f64; 2]>,
    /// The largest number of cloud without a sign of percent.
    most: f64,
    faults: Faults,
}

impl Reader<'_> {
    fn fault(&mut self, line: usize, column: usize, key: &str, error: ValueError) {
        let place = Place::new(line, column + 1);
        let fault = Fault::at(self.file, place, Some(key), error);
        self.faults.extend([fault]);
    }

    fn row<R: Read>(&mut self, rows: &Rows<R>, row: &Row) {
        let field = |at: usize| row.fields.get(at).unwrap_or_default();
        let seconds = match utc_time(field(self.time)) {
            Ok(moment) => moment.seconds(),
            Err(error) => return self.fault(row.line, self.time, TIME, error),
        };
        let [first, last] = self.reach.unwrap_or([seconds; 2]);
        self.reach = Some([first.min(seconds), last.max(seconds)]);
        let percent = match self.percent(rows, field(self.cloud)) {
            Ok(percent) => percent,
            Err(error) => return self.fault(row.line, self.cloud, self.cloud_name, error),
        };
        let word = match self.site.map(|at| (at, check_name(field(at)))) {
            None => String::new(),
            Some((_, Ok(name))) => site_word(&name),
            Some((at, Err(error))) => return self.fault(row.line, at, "site", error),
        };
        let is_kept = self.kept_from <= seconds && seconds <= self.kept_to;
        if let Some(percent) = percent.filter(|_| is_kept) {
            let of_site = self.sites.entry(word).or_default();
            of_site.push((seconds, percent, row.line));
            self.kept += 1;
        }
    }

    /// The cloud in a field, percent; `None` for an empty one.
    fn percent<R: Read>(
        &mut self,
        rows: &Rows<R>,
        written: &str,
    ) -> Result<Option<f64>, ValueError> {
        if written.is_empty() {
            return Ok(None);
        }
        let limits = (0.0, 100.0 / self.whole);
        match written.strip_suffix('%') {
            Some(percent) => {
                let told = |error| ValueError {
                    found: ValueError::new(written, "").found,
                    ..error
                };
                let value = rows.value(percent.trim_end());
                value.number_within((0.0, 100.0)).map(Some).map_err(told)
            }
            None => {
                let value = rows.value(written).number_within(limits)?;
                self.most = self.most.max(value);
                Ok(Some(value * self.whole))
            }
        }
    }

    fn finish(mut self, header: usize) -> Result<ForecastFile, Faults> {
        if self.reach.is_none() && self.faults.0.is_empty() {
            let error = ValueError::new("a header alone", "a row for each time below it")
                .with_remedy("add the rows, or leave the file out");
            return Err(Fault::at(self.file, Place::line(header), None, error).into());
        }
        // A sky quite covered is 1 or 100, which a file of small numbers alone
        // does not tell.
        if self.cloud_name == CLOUDS[0].0 && 0.0 < self.most && self.most <= 1.0 {
            let error = ValueError::new("numbers from 0 to 1 alone", "percent from 0 to 100")
                .with_remedy(
                    "rename the column to cloud_percent, or to cloud_fraction if 1 is all cloud",
                );
            self.fault(header, self.cloud, CLOUDS[0].0, error);
        }
        let mut of = BySite::default();
        for (word, mut kept) in std::mem::take(&mut self.sites) {
            kept.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
            for (before, after) in kept.iter().zip(kept.iter().skip(1)) {
                if before.0 == after.0 && before.1 != after.1 {
                    let error = ValueError::new(
                        &format!("the time of line {} again", before.2),
                        "one value for each time",
                    )
                    .with_remedy("keep one of the two");
                    self.fault(after.2, self.time, TIME, error);
                }
            }
            let values = kept.into_iter();
            let values = values.map(|(at, percent, _)| (Moment::from_seconds(at), percent));
            of.insert(&word, Arc::new(Forecast::new(values)));
        }
        let reach = self.reach.map(|ends| ends.map(Moment::from_seconds));
        self.faults.or_value(ForecastFile { of, reach })
    }
}

//! Evenings and periods from tables and lists.

use super::csv_rows::{Row, Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::read_csv::fields_text;
use crate::scene::{
    Calendar, CalendarPeriod, CalendarTime, DateItem, DateList, ValueError, calendar_time,
    clock_time, parse_date,
};
use chrono::{Days, NaiveDate, NaiveTime};
use csv::StringRecord;
use std::io::Read;

/// The most rows of a file.
const MOST_ROWS: usize = 200_000;
const HEADER: &str = "the columns date, from, to, or a column date";
const HEADER_REMEDY: &str = "begin with the line date,from,to";

/// Where the columns are.
struct Columns {
    date: Option<usize>,
    /// Those of from and to.
    period: Option<(usize, usize)>,
    count: usize,
}

/// What a row says.
enum Entry {
    Evenings([NaiveDate; 2]),
    Period(CalendarPeriod),
}

/// Whether a header has a known column of this name.
pub(super) fn is_column(name: &str) -> bool {
    ["date", "from", "to"].iter().any(|known| is(name, known))
}

/// Whether a table has the header that [`read_times`] accepts, with periods.
pub(crate) fn has_times_header(header: &StringRecord) -> bool {
    let has = |name: &str| header.iter().any(|field| is(field, name));
    has("from") && has("to")
}

fn is(field: &str, name: &str) -> bool {
    field.eq_ignore_ascii_case(name)
}

/// Reads a table with the columns `date`, `from`, `to` (others are for people),
/// with `from` and `to` alone, or with `date` alone; or a list, a date or a
/// range of dates a line. Lines that begin with `#` are comments.
///
/// # Errors
///
/// Everything wrong in the file, with line and field.
pub(crate) fn read_times(file: &str, table: impl Read) -> Result<Calendar, Faults> {
    let mut rows = Rows::new(file, table, true, is_column);
    let mut reader = Reader {
        file,
        faults: Faults::default(),
        evenings: Vec::new(),
        periods: Vec::new(),
        rows: 0,
    };
    let first = match rows.next_row() {
        Some(Ok(row)) => row,
        Some(Err(fault)) => return Err(fault.into()),
        None => {
            let error = ValueError::new("", HEADER).with_remedy(HEADER_REMEDY);
            return Err(Fault::at(file, Place::START, None, error).into());
        }
    };
    let begins = first.fields.get(0).unwrap_or_default();
    let columns = match is_dated(begins) {
        true => {
            reader.list_row(&first);
            None
        }
        false => Some(reader.header(&first)?),
    };
    while let Some(row) = rows.next_good_row(&mut reader.faults) {
        reader.rows += 1;
        if reader.rows > MOST_ROWS {
            let error = ValueError::new("more rows", format!("at most {MOST_ROWS} rows"))
                .with_remedy("keep the years that are needed");
            let fault = Fault::at(file, Place::line(row.line), None, error);
            reader.faults.extend([fault]);
            break;
        }
        match &columns {
            None => reader.list_row(&row),
            Some(columns) => reader.table_row(columns, &row),
        }
    }
    if reader.evenings.is_empty() && reader.periods.is_empty() && reader.faults.0.is_empty() {
        let error = ValueError::new("a header alone", "a row for each period below it")
            .with_remedy("add a row, or leave the file out");
        return Err(Fault::at(file, Place::line(first.line), None, error).into());
    }
    let calendar = Calendar::new(reader.evenings, reader.periods);
    reader.faults.or_value(calendar)
}

/// Whether a field looks like a date or a range and not like the name of a
/// column.
fn is_dated(field: &str) -> bool {
    let text = field.split('#').next().unwrap_or_default().trim();
    let of_date = |character: char| character.is_ascii_digit() || "-./ ".contains(character);
    !text.is_empty() && text.chars().all(of_date)
}

struct Reader<'a> {
    file: &'a str,
    faults: Faults,
    evenings: Vec<[NaiveDate; 2]>,
    periods: Vec<CalendarPeriod>,
    rows: usize,
}

impl Reader<'_> {
    fn fault(&mut self, place: Place, key: Option<&str>, error: ValueError) {
        self.faults
            .extend([Fault::at(self.file, place, key, error)]);
    }

    /// A line of a list: dates and ranges, and what is behind a `#` not read.
    fn list_row(&mut self, row: &Row) {
        for (index, field) in row.fields.iter().enumerate() {
            let (text, comment) = match field.split_once('#') {
                Some((text, _)) => (text.trim(), true),
                None => (field, false),
            };
            if !text.is_empty() {
                match evenings(text) {
                    Ok(run) => self.evenings.push(run),
                    Err(error) => self.fault(Place::new(row.line, index + 1), None, error),
                }
            }
            if comment {
                break;
            }
        }
    }

    fn header(&mut self, row: &Row) -> Result<Columns, Faults> {
        let find = |name: &str| row.fields.iter().position(|field| is(field, name));
        for name in ["date", "from", "to"] {
            let mut same = row.fields.iter().enumerate();
            let mut same = same.by_ref().filter(|(_, field)| is(field, name));
            if let (Some((first, _)), Some((again, field))) = (same.next(), same.next()) {
                let error = repeated_column(field, first);
                return Err(
                    Fault::at(self.file, Place::new(row.line, again + 1), None, error).into(),
                );
            }
        }
        let columns = Columns {
            date: find("date"),
            period: find("from").zip(find("to")),
            count: row.fields.len(),
        };
        let half = find("from").or(find("to")).is_some() && columns.period.is_none();
        if half || (columns.date.is_none() && columns.period.is_none()) {
            let found: Vec<&str> = row.fields.iter().collect();
            let found = found.join(",");
            let remedy = match found.contains([';', '\t']) {
                true => "put commas between the columns",
                false => HEADER_REMEDY,
            };
            let error = ValueError::new(&found, HEADER).with_remedy(remedy);
            return Err(Fault::at(self.file, Place::new(row.line, 1), None, error).into());
        }
        Ok(columns)
    }

    fn table_row(&mut self, columns: &Columns, row: &Row) {
        if row.fields.len() != columns.count {
            let found = fields_text(row.fields.len());
            let expected = format!("{}, as many as in the header", fields_text(columns.count));
            let remedy = match row.fields.len() > columns.count {
                true => "a field with a comma in it goes between quotation marks",
                false => "an empty field keeps its comma",
            };
            let error = ValueError::new(&found, expected).with_remedy(remedy);
            return self.fault(Place::line(row.line), None, error);
        }
        let field = |at: usize| row.fields.get(at).unwrap_or_default();
        let entry = match (columns.date, columns.period) {
            (Some(date), None) => evenings(field(date))
                .map(Entry::Evenings)
                .map_err(|error| (date, "date", error)),
            (date, Some((from, to))) => period(
                date.map(|at| (at, field(at))),
                (from, field(from)),
                (to, field(to)),
            ),
            // The header has one of them.
            (None, None) => return,
        };
        match entry {
            Ok(Entry::Evenings(run)) => self.evenings.push(run),
            Ok(Entry::Period(period)) => self.periods.push(period),
            Err((column, key, error)) => {
                self.fault(Place::new(row.line, column + 1), Some(key), error);
            }
        }
    }
}

/// The evenings of a date or a range.
fn evenings(text: &str) -> Result<[NaiveDate; 2], ValueError> {
    let expected = "a date 2027-05-01 or a range 2027-05-01..2027-05-09";
    let refuse = || ValueError::new(text, expected);
    match DateList::parse(text) {
        Ok(list) => match list.items() {
            [DateItem::Evenings(run)] => Ok(*run),
            _ => Err(refuse().with_remedy("a file names no other file")),
        },
        Err(error) => {
            let remedy = error.remedy.filter(|_| is_dated(text));
            let remedy = remedy.unwrap_or_else(|| "for example 2027-05-01".to_owned());
            Err(refuse().with_remedy(remedy))
        }
    }
}

type Field<'a> = (usize, &'a str);
type Wrong = (usize, &'static str, ValueError);

/// The period of a row.
fn period(date: Option<Field<'_>>, from: Field<'_>, to: Field<'_>) -> Result<Entry, Wrong> {
    if let Some((column, date)) = date
        && !date.is_empty()
    {
        let date = parse_date(date).map_err(|error| (column, "date", error))?;
        let clock = |(column, text): Field<'_>, key: &'static str| {
            let refuse = || {
                ValueError::new(text, "a local time HH:MM").with_remedy(match text.contains('T') {
                    true => "beside a date write the time of day alone, such as 21:30",
                    false => "for example 21:30",
                })
            };
            clock_time(text).ok_or_else(|| (column, key, refuse()))
        };
        let (begin, end) = (clock(from, "from")?, clock(to, "to")?);
        // 24:00 is read as 0:00.
        let begin_day = match from.1.starts_with("24") {
            true => date.checked_add_days(Days::new(1)),
            false => Some(date),
        };
        if begin == end {
            let error = ValueError::new(to.1, "another time than from")
                .with_remedy("check the two; a whole day is 00:00 to 23:59");
            return Err((to.0, "to", error));
        }
        let begin_day = begin_day.unwrap_or(date);
        let end_day = match end < begin {
            true => begin_day
                .checked_add_days(Days::new(1))
                .unwrap_or(begin_day),
            false => begin_day,
        };
        let local = |date: NaiveDate, time: NaiveTime| CalendarTime::Local(date.and_time(time));
        return Ok(Entry::Period(CalendarPeriod {
            from: local(begin_day, begin),
            to: local(end_day, end),
        }));
    }
    // Days at both ends are evenings.
    if let (Ok(first), Ok(last)) = (parse_date(from.1), parse_date(to.1)) {
        if last < first {
            let error = ValueError::new(to.1, "a date that is not before from")
                .with_remedy("check the two");
            return Err((to.0, "to", error));
        }
        return Ok(Entry::Evenings([first, last]));
    }
    let read = |(column, text): Field<'_>, key| {
        let missing = date.filter(|_| clock_time(text).is_some());
        match missing {
            Some((column, _)) => {
                let error = ValueError::new("", "the date of from").with_remedy("add it");
                Err((column, "date", error))
            }
            None => calendar_time(text).map_err(|error| (column, key, error)),
        }
    };
    let (begin, end) = (read(from, "from")?, read(to, "to")?);
    let backwards = match (begin, end) {
        (CalendarTime::Local(begin), CalendarTime::Local(end)) => end <= begin,
        (CalendarTime::At(begin), CalendarTime::At(end)) => end <= begin,
        _ => {
            let error = ValueError::new(to.1, "an offset at both ends, or at none")
                .with_remedy("give both in the same form");
            return Err((to.0, "to", error));
        }
    };
    if backwards {
        let error = ValueError::new(to.1, "a time behind from").with_remedy("check the two");
        return Err((to.0, "to", error));
    }
    Ok(Entry::Period(CalendarPeriod {
        from: begin,
        to: end,
    }))
}

//! Evenings as they are typed: dates, ranges of dates, and files of them.

use super::calendar::Calendar;
use super::date::{YEARS, parse_date};
use super::value_error::ValueError;
use crate::plain_words::is_unprintable;
use chrono::NaiveDate;
use std::{
    fmt::{self, Display, Formatter},
    path::Path,
    sync::Arc,
};

/// Evenings and periods that a rule refers to; it prints as it is typed.
#[derive(Debug, Clone, PartialEq)]
pub struct DateList(Arc<[DateItem]>);

/// A part of a list of evenings.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum DateItem {
    /// The evenings from the first to the last.
    Evenings([NaiveDate; 2]),
    /// A file, and what it lists once it has been read.
    File {
        /// Its path as it was typed.
        name: String,
        /// What it lists.
        calendar: Option<Arc<Calendar>>,
    },
}

/// Endings of the files that are read.
const ENDINGS: [&str; 3] = ["csv", "txt", "ics"];
const EXPECTED: &str =
    "evenings such as 2027-05-01..2027-05-09,2027-06-04 or files that end in .csv, .txt or .ics";
const EXPECTED_FILE: &str = "a file of times that ends in .csv or .ics";
/// The word for a rule that is switched off.
const OFF: &str = "off";
/// More dates than this belong in a file.
const MOST_ITEMS: usize = 1000;
/// The longest path, characters: the project's choice, far above any in use.
const LONGEST_PATH: usize = 500;

impl DateList {
    /// The list of these parts.
    pub fn new(items: impl IntoIterator<Item = DateItem>) -> Self {
        Self(items.into_iter().collect())
    }

    /// Dates, ranges and files with commas between them.
    ///
    /// # Errors
    ///
    /// Text that is none of these, and a range whose end comes first.
    pub fn parse(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        if text == OFF {
            return Ok(Self::new([]));
        }
        let words = || text.split(',').map(str::trim);
        if words().nth(MOST_ITEMS).is_some() {
            let expected = format!("at most {MOST_ITEMS} dates, ranges and files");
            return Err(ValueError::new(text, expected).with_remedy("put them into a file"));
        }
        let items: Result<Vec<_>, _> = words().map(item).collect();
        items.map(Self::new)
    }

    /// One file of times.
    ///
    /// # Errors
    ///
    /// Text that is not the path of such a file.
    pub fn parse_times(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        if text == OFF {
            return Ok(Self::new([]));
        }
        let refuse = || ValueError::new(text, EXPECTED_FILE);
        if !text.contains(',') {
            match item(text) {
                Ok(file @ DateItem::File { .. }) if ending(text) != Some("txt") => {
                    return Ok(Self::new([file]));
                }
                Err(error) if ending(text).is_some() => return Err(error),
                _ => {}
            }
        }
        let remedy = match Self::parse(text) {
            Ok(_) => "evenings are asked with --dates",
            Err(_) if text.contains("..") => "hours for every night are asked with --clock",
            Err(_) => "put the times into a table with the columns date, from, to",
        };
        Err(refuse().with_remedy(remedy))
    }

    /// Its parts; none where the rule is switched off.
    pub fn items(&self) -> &[DateItem] {
        &self.0
    }

    /// The files that it names.
    pub fn files(&self) -> impl Iterator<Item = &str> {
        self.0.iter().filter_map(|item| match item {
            DateItem::File { name, .. } => Some(name.as_str()),
            DateItem::Evenings(_) => None,
        })
    }

    /// The list with each file that has not been read yet read by `read`.
    ///
    /// # Errors
    ///
    /// Those of `read`.
    pub fn with_files<E>(
        &self,
        mut read: impl FnMut(&str) -> Result<Option<Arc<Calendar>>, E>,
    ) -> Result<Self, E> {
        let read_item = |item: &DateItem| match item {
            DateItem::File {
                name,
                calendar: None,
            } => Ok(DateItem::File {
                name: name.clone(),
                calendar: read(name)?,
            }),
            known => Ok(known.clone()),
        };
        let items: Result<Vec<_>, E> = self.0.iter().map(read_item).collect();
        items.map(Self::new)
    }

    /// The first file that has not been read.
    pub fn unread(&self) -> Option<&str> {
        self.0.iter().find_map(|item| match item {
            DateItem::File {
                name,
                calendar: None,
            } => Some(name.as_str()),
            _ => None,
        })
    }

    /// The calendars of its files, as far as they have been read.
    pub fn calendars(&self) -> impl Iterator<Item = &Arc<Calendar>> {
        self.0.iter().filter_map(|item| match item {
            DateItem::File { calendar, .. } => calendar.as_ref(),
            DateItem::Evenings(_) => None,
        })
    }

    /// Whether an evening is listed as a whole.
    pub fn has_evening(&self, date: NaiveDate) -> bool {
        self.0.iter().any(|item| match item {
            DateItem::Evenings([first, last]) => *first <= date && date <= *last,
            DateItem::File { calendar, .. } => calendar
                .as_ref()
                .is_some_and(|calendar| calendar.has_evening(date)),
        })
    }

    /// The first and the last evening on which something is listed; `None` if
    /// nothing is.
    pub fn reach(&self) -> Option<[NaiveDate; 2]> {
        let reaches = self.0.iter().filter_map(|item| match item {
            DateItem::Evenings(run) => Some(*run),
            DateItem::File { calendar, .. } => calendar.as_ref()?.reach(),
        });
        reaches.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
    }
}

/// The ending of a file's name, if it is one that is read.
fn ending(text: &str) -> Option<&'static str> {
    let ending = Path::new(text).extension()?;
    let same = |known: &&&str| ending.eq_ignore_ascii_case(known);
    ENDINGS.iter().find(same).copied()
}

fn item(text: &str) -> Result<DateItem, ValueError> {
    if ending(text).is_some() {
        return file(text);
    }
    let refuse = || ValueError::new(text, EXPECTED);
    let Some((first, last)) = text.split_once("..") else {
        let remedy = |error: ValueError| {
            let is_date = text.contains(|character: char| character.is_ascii_digit());
            let remedy = error.remedy.filter(|_| is_date);
            refuse().with_hint(remedy.or_else(|| Some(for_what_is_no_date(text))))
        };
        return match parse_date(text) {
            Ok(date) => Ok(DateItem::Evenings([date, date])),
            Err(error) => Err(remedy(error)),
        };
    };
    let end = |text: &str, open: Option<NaiveDate>| match open.filter(|_| text.trim().is_empty()) {
        Some(date) => Ok(date),
        None => parse_date(text).map_err(|error| {
            let remedy = error.remedy.unwrap_or_default();
            match remedy.strip_prefix("write ") {
                Some(date) if !remedy.contains(" or ") => {
                    let typed = [first, last].map(|part| if part == text { date } else { part });
                    refuse().with_remedy(format!("write {}", typed.join("..")))
                }
                _ => refuse().with_remedy("for example 2027-05-01..2027-05-09"),
            }
        }),
    };
    let ends = [(*YEARS.start(), 1, 1), (*YEARS.end(), 12, 31)];
    let [begin, close] = ends.map(|(year, month, day)| NaiveDate::from_ymd_opt(year, month, day));
    let (first, last) = (end(first, begin)?, end(last, close)?);
    if last < first {
        let remedy = format!("the earlier date comes first: write {last}..{first}");
        return Err(refuse().with_remedy(remedy));
    }
    Ok(DateItem::Evenings([first, last]))
}

/// The advice about a word that is neither a date nor a file.
fn for_what_is_no_date(text: &str) -> String {
    if text.is_empty() {
        "for any evening leave the rule out".to_owned()
    } else if ["any", "all", "none"].contains(&text.to_ascii_lowercase().as_str()) {
        format!("to switch the rule off write {OFF}")
    } else if super::weekdays::parse_weekdays(text).is_ok() {
        "days of the week are asked with --weekdays".to_owned()
    } else {
        "for example 2027-05-01..2027-05-09".to_owned()
    }
}

fn file(text: &str) -> Result<DateItem, ValueError> {
    if text.chars().any(is_unprintable) {
        let expected = "the path of a file in visible characters";
        return Err(ValueError::new(text, expected).with_remedy("rename the file"));
    }
    if text.chars().count() > LONGEST_PATH {
        let expected = format!("a path of at most {LONGEST_PATH} characters");
        return Err(ValueError::new(text, expected));
    }
    Ok(DateItem::File {
        name: text.to_owned(),
        calendar: None,
    })
}

impl Display for DateList {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str(OFF);
        }
        for (index, item) in self.0.iter().enumerate() {
            if index > 0 {
                f.write_str(",")?;
            }
            match item {
                DateItem::Evenings([first, last]) if first == last => write!(f, "{first}")?,
                DateItem::Evenings([first, last]) => write!(f, "{first}..{last}")?,
                DateItem::File { name, .. } => f.write_str(name)?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        match DateList::parse(text) {
            Ok(list) => list.to_string(),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn dates_ranges_and_files_are_read() {
        for (text, shown) in [
            (
                "2027-05-01..2027-05-09,2027-06-04",
                "2027-05-01..2027-05-09,2027-06-04",
            ),
            (
                " 2027-05-01 .. 2027-05-09 , a b.ICS ",
                "2027-05-01..2027-05-09,a b.ICS",
            ),
            ("../free.csv", "../free.csv"),
            ("2099-12-01..", "2099-12-01..2099-12-31"),
            ("..1900-01-02", "1900-01-01..1900-01-02"),
            ("off", "off"),
        ] {
            assert_eq!(read(text), shown, "{text}");
            assert_eq!(read(&read(text)), shown);
        }
    }

    #[test]
    fn what_is_no_list_is_refused_with_the_remedy() {
        for (text, found, remedy) in [
            (
                "2027-05-09..2027-05-01",
                "",
                "the earlier date comes first: write 2027-05-01..2027-05-09",
            ),
            (
                "2027-05-01..9.6.2027",
                "",
                "for example 2027-05-01..2027-05-09",
            ),
            ("2027-5-1..2027-05-09", "", "write 2027-05-01..2027-05-09"),
            ("2027-5-1", "", "write 2027-05-01"),
            (
                "2027-06-04,2027-02-29",
                "2027-02-29",
                "that day is not in the calendar",
            ),
            ("fri", "", "days of the week are asked with --weekdays"),
            ("any", "", "to switch the rule off write off"),
            ("", "nothing", "for any evening leave the rule out"),
            (
                "2027-06-04,",
                "nothing",
                "for any evening leave the rule out",
            ),
            ("dates.xlsx", "", "for example 2027-05-01..2027-05-09"),
        ] {
            let found = if found.is_empty() { text } else { found };
            assert_eq!(
                read(text),
                format!("found {found}, expected {EXPECTED}; {remedy}")
            );
        }
        let times = |text| DateList::parse_times(text).expect_err(text).to_string();
        for (text, remedy) in [
            ("2027-05-01", "evenings are asked with --dates"),
            ("free.txt", "evenings are asked with --dates"),
            (
                "21:00..02:00",
                "hours for every night are asked with --clock",
            ),
            (
                "tides",
                "put the times into a table with the columns date, from, to",
            ),
        ] {
            assert_eq!(
                times(text),
                format!("found {text}, expected {EXPECTED_FILE}; {remedy}")
            );
        }
        assert!(DateList::parse_times("a\u{1b}.csv").is_err());
    }
}

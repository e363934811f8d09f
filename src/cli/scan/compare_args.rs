//! `scan --compare`: what is set side by side, as typed and as asked.

use super::args::{By, ScanArgs};
use crate::cli::{manners::Failure, values};
use anyhow::anyhow;
use chrono::NaiveDate;
use clap::{
    Arg, Command, Error,
    builder::{PossibleValue, TypedValueParser},
};
use rakelight::{
    report::CsvTable,
    scene::{ValueError, shown},
};
use std::ffi::OsStr;

/// One of the things that stand side by side, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    Years,
    Sites,
    Night(NaiveDate),
}

impl Beside {
    /// As it is typed.
    fn typed(self) -> String {
        match self {
            Self::Night(night) => night.to_string(),
            Self::Years => "years".to_owned(),
            Self::Sites => "sites".to_owned(),
        }
    }
}

/// The words among them.
const WORDS: [(&str, Beside); 2] = [("years", Beside::Years), ("sites", Beside::Sites)];

/// Reads one of them. Shells get the words.
#[derive(Clone, Copy)]
pub struct BesideParser;

impl TypedValueParser for BesideParser {
    type Value = Beside;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<Beside, Error> {
        beside.parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(
            WORDS.map(|(word, _)| PossibleValue::new(word)).into_iter(),
        ))
    }
}

fn beside(text: &str) -> Result<Beside, String> {
    let typed = text.trim();
    if let Some((_, of_word)) = WORDS.iter().find(|(word, _)| *word == typed) {
        return Ok(*of_word);
    }
    if typed.starts_with(|first: char| first.is_ascii_alphabetic()) {
        let lower = typed.to_ascii_lowercase();
        let mut words = WORDS.iter().map(|(word, _)| *word);
        let near = words.find(|word| word.starts_with(&lower));
        let near = near.map_or_else(String::new, |word| format!("; did you mean {word}?"));
        let found = shown(text);
        return Err(format!(
            "found {found}, expected dates YYYY-MM-DD with a comma between, or the word years or \
             sites{near}"
        ));
    }
    values::date(text).map(Beside::Night)
}

/// What a scan sets side by side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Comparison {
    /// These nights of each site.
    Nights(Vec<NaiveDate>),
    /// The sites on each of these nights.
    SitesOn(Vec<NaiveDate>),
    /// Counts of calendar months or years.
    Calendar(CalendarBeside),
}

/// Counts of the calendar side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CalendarBeside {
    /// Months of the year down, years across, for each site.
    MonthsOfYears,
    /// Months down, sites across.
    MonthsOfSites,
    /// Years down, sites across.
    YearsOfSites,
}

impl CalendarBeside {
    /// The table that its CSV is.
    pub fn table(self) -> CsvTable {
        match self {
            Self::MonthsOfYears | Self::MonthsOfSites => CsvTable::MonthsBeside,
            Self::YearsOfSites => CsvTable::Years,
        }
    }

    /// What is counted, as it is typed.
    pub fn typed(self) -> &'static str {
        match self {
            Self::MonthsOfYears => "--by month --compare years",
            Self::MonthsOfSites => "--by month --compare sites",
            Self::YearsOfSites => "--by year --compare sites",
        }
    }

    /// Whether whole calendar years are asked for where no range is given.
    pub fn is_of_years(self) -> bool {
        self != Self::MonthsOfSites
    }
}

impl Comparison {
    /// What is asked for; `None` if nothing is set side by side.
    ///
    /// # Errors
    ///
    /// Things that do not stand side by side, or not with the other options.
    pub fn of(args: &ScanArgs) -> Result<Option<Self>, Failure> {
        let typed = &args.reason.compare;
        if typed.is_empty() {
            return Ok(None);
        }
        let nights: Vec<NaiveDate> = typed
            .iter()
            .filter_map(|one| match one {
                Beside::Night(night) => Some(*night),
                Beside::Years | Beside::Sites => None,
            })
            .collect();
        let years = typed.contains(&Beside::Years);
        let sites = typed.contains(&Beside::Sites);
        if years && (sites || !nights.is_empty()) {
            let words = typed.iter().map(|one| one.typed());
            let found = words.collect::<Vec<_>>().join(",");
            let remedy = match sites {
                true => "write years or sites",
                false => "write years",
            };
            return Err(refused(&found, "one of years, sites and dates", remedy));
        }
        let by = args.by.map(By::typed);
        if !nights.is_empty() {
            let range = &args.range;
            for (option, given) in [
                ("--by", by.is_some()),
                ("--from", range.from.is_some()),
                ("--to", range.to.is_some()),
                ("--nights", range.nights.is_some()),
            ] {
                if given {
                    return Err(together(&format!(
                        "--compare with dates cannot be used with {option}; --compare gives its \
                         nights itself: leave {option} out"
                    )));
                }
            }
        }
        Ok(Some(match (years, sites, args.by) {
            (true, _, Some(By::Month)) => Self::Calendar(CalendarBeside::MonthsOfYears),
            (true, _, None) => {
                return Err(together(
                    "--compare years has the months of the years as rows: add --by month",
                ));
            }
            (true, _, Some(_)) => {
                return Err(together(&format!(
                    "--compare years cannot be used with {}; it has the months of the years as \
                     rows: use --by month",
                    by.unwrap_or_default()
                )));
            }
            (_, true, Some(By::Month)) => Self::Calendar(CalendarBeside::MonthsOfSites),
            (_, true, Some(By::Year)) => Self::Calendar(CalendarBeside::YearsOfSites),
            (_, true, Some(By::Bearing | By::Site)) => {
                return Err(together(&format!(
                    "--compare sites cannot be used with {}; use --by month or --by year",
                    by.unwrap_or_default()
                )));
            }
            (_, true, None) if nights.is_empty() => {
                return Err(together(
                    "--compare sites has months, years or nights as rows: add --by month or \
                     --by year, or a night, as in --compare sites,2027-05-29",
                ));
            }
            (_, true, None) => Self::SitesOn(nights),
            // One night has only sites to stand beside.
            (_, false, _) if nights.len() == 1 => Self::SitesOn(nights),
            (_, false, _) => Self::Nights(nights),
        }))
    }
}

/// The refusal of options that do not go together.
fn together(what: &str) -> Failure {
    Failure::Reported(anyhow!("{what}"))
}

fn refused(found: &str, expected: &str, remedy: &str) -> Failure {
    let error = ValueError::new(found, expected).with_remedy(remedy);
    Failure::option("compare", &error)
}

/// The refusal of one site where several are to stand side by side; `night` if
/// that alone was given.
pub fn one_site(night: Option<NaiveDate>) -> Failure {
    match night {
        Some(night) => refused(
            &format!("{night} and one site"),
            "two nights or two sites, or more",
            "add another date after a comma, or another site",
        ),
        None => together("--compare sets sites side by side, and there is one: add another site"),
    }
}

//! The question of a `scan`, made once from its arguments.

use super::{
    args::{By, ScanArgs, Sort},
    by_month::{self, MonthsPage},
    by_site::{self, CountsFormat},
    by_year::{self, YearFormat},
    calendar_beside::{self, BesideFormat},
    compare_args::{CalendarBeside, Comparison},
    reason_args::ReasonArgs,
    season::{self, SeasonFormat},
};
use crate::cli::{
    args::{Format, Formats, Here, RangeArgs, format},
    asked_rules::AskedRules,
    manners::Failure,
};
use anyhow::anyhow;
use chrono::NaiveDate;
use rakelight::{
    report::CsvTable,
    rule::{Brief, LIGHT},
    scene::{Dates, LightKind, LightKinds, ValueError},
    search::{Order, Selection},
    why,
};

/// Default number of windows per site in a table.
const TABLE_TOP: usize = 20;

/// The question of a scan. Its variants exclude what cannot be asked together;
/// questions with a choice of formats include the format.
#[derive(Debug)]
pub enum Question {
    /// The windows of each site, or of all in one ranking.
    Windows(WindowsAsked),
    /// The rules in use.
    Explain,
    /// Every night of a season: a row of characters per lunar month, a record
    /// per night, or their counts on a map.
    Season(SeasonFormat),
    /// The best night of each month.
    ByMonth(MonthsPage),
    /// Nights, hours and the best night of each year.
    ByYear(YearFormat),
    /// Nights, hours and the best night of each site.
    BySite(CountsFormat),
    /// Counts of the calendar side by side.
    Calendar(CalendarBeside, BesideFormat),
    /// The sites on each of some nights; `true` asks for JSON, `false` for a
    /// table.
    SitesOn(Vec<NaiveDate>, bool),
    /// Another question about the same rules; `true` asks for JSON, `false` for
    /// a table.
    WhatIf(WhatIfAsked, bool),
}

/// A question about the same rules instead of windows.
#[derive(Debug)]
pub enum WhatIfAsked {
    /// What each combination of values finds.
    Vary(Vec<Vec<(String, String)>>),
    /// Nights side by side.
    Compare(Vec<NaiveDate>),
    /// Nights by the bearing of a subject.
    ByBearing,
}

/// Which windows, and what to show with them.
#[derive(Debug)]
pub struct WindowsAsked {
    pub format: Format,
    pub choice: Selection,
    /// Whether those of all sites are ranked together.
    pub together: bool,
    pub reasons: ReasonsAsked,
}

/// What is asked in addition to the windows.
#[derive(Debug, Clone, Copy)]
pub struct ReasonsAsked {
    /// The most near misses to show.
    pub near_misses: usize,
    /// The most rules that a near miss may fail.
    pub failing_rules: u8,
    pub advise: bool,
    /// Days after a night in which others are counted.
    pub spare: Option<u32>,
}

impl Question {
    /// The question that the arguments ask.
    ///
    /// # Errors
    ///
    /// Something asked would be left out silently: a format has no room for it,
    /// it is not computed for a blend, or it is not a question.
    pub fn of(args: &ScanArgs, asked_rules: &AskedRules) -> Result<Self, Failure> {
        let (format, _) = args.output.format(format::ALL, args.format);
        let reason = &args.reason;
        let of_windows = !args.explain && !args.season && args.by.is_none() && !reason.is_what_if();
        args.calendar.check(of_windows && format == Format::Ical)?;
        check_reasons(reason, format, asked_rules)?;
        check_what_if(reason)?;
        let comparison = Comparison::of(args)?;
        if args.explain {
            return Ok(Self::Explain);
        }
        if args.season {
            return Ok(Self::Season(season_format(args)?));
        }
        match comparison {
            Some(Comparison::Calendar(beside)) => {
                return Ok(Self::Calendar(beside, beside_format(beside, format)?));
            }
            Some(Comparison::SitesOn(nights)) => {
                return Ok(Self::SitesOn(nights, is_json(format)?));
            }
            Some(Comparison::Nights(nights)) => {
                let asked = WhatIfAsked::Compare(nights);
                return Ok(Self::WhatIf(asked, is_json(format)?));
            }
            None => {}
        }
        if let Some(asked) = what_if(args)? {
            return Ok(Self::WhatIf(asked, is_json(format)?));
        }
        if args.by == Some(By::Month) {
            return Ok(Self::ByMonth(months_page(format)?));
        }
        if args.by == Some(By::Year) {
            return Ok(Self::ByYear(year_format(format)?));
        }
        if args.by == Some(By::Site) {
            return Ok(Self::BySite(counts_format(format)?));
        }
        Ok(Self::Windows(WindowsAsked {
            format,
            choice: choice(args, format),
            together: args.together,
            reasons: ReasonsAsked {
                near_misses: reason.near_misses,
                failing_rules: reason.failing_rules,
                advise: reason.advise,
                spare: reason.spare,
            },
        }))
    }

    /// The evenings asked about; "today" is the date `here`.
    pub fn dates(&self, range: RangeArgs, here: Here) -> Result<Dates, Failure> {
        if let Self::WhatIf(WhatIfAsked::Compare(nights), _) | Self::SitesOn(nights, _) = self
            && let (Some(first), Some(last)) = (nights.iter().min(), nights.iter().max())
        {
            return Dates::new(*first, *last).map_err(|error| Failure::Reported(error.into()));
        }
        match self {
            Self::ByYear(_) => range.calendar_years(here),
            Self::Calendar(beside, _) if beside.is_of_years() => range.calendar_years(here),
            _ => range.dates(here),
        }
    }

    /// The table that the answer is, if it is lines of records.
    pub fn table(&self) -> Option<CsvTable> {
        match self {
            Self::Windows(asked) => {
                matches!(asked.format, Format::Csv | Format::Ndjson).then_some(CsvTable::Windows)
            }
            Self::Season(SeasonFormat::Csv | SeasonFormat::Ndjson) => Some(CsvTable::Season),
            Self::ByMonth(None) => Some(CsvTable::Months),
            Self::ByYear(YearFormat::Csv) => Some(CsvTable::Years),
            Self::BySite(CountsFormat::Csv | CountsFormat::Ndjson) => Some(CsvTable::Sites),
            Self::Calendar(beside, BesideFormat::Csv) => Some(beside.table()),
            _ => None,
        }
    }

    /// The most sites, and nights at each, that threads can share where so many
    /// sites are known to come.
    pub fn work(&self, sites: Option<usize>, dates: Dates) -> (usize, usize) {
        let nights = usize::try_from(dates.count()).unwrap_or(usize::MAX);
        match self {
            // They share bearings and values too.
            Self::WhatIf(..) => (usize::MAX, nights),
            _ => (sites.unwrap_or(usize::MAX), nights),
        }
    }

    /// What was typed to count windows by, if it only counts them.
    pub fn counts_by(&self) -> Option<&'static str> {
        match self {
            Self::ByMonth(_) => Some("--by month"),
            Self::ByYear(_) => Some("--by year"),
            Self::BySite(_) => Some("--by site"),
            Self::Calendar(beside, _) => Some(beside.typed()),
            Self::Windows(_)
            | Self::Explain
            | Self::Season(_)
            | Self::SitesOn(..)
            | Self::WhatIf(..) => None,
        }
    }

    /// Whether nothing is written before the last site is done.
    pub fn is_answered_at_the_end(&self) -> bool {
        match self {
            Self::Windows(asked) => asked.together,
            Self::ByMonth(page) => page.is_some(),
            Self::BySite(format) => format.is_page(),
            Self::Calendar(beside, format) => match format {
                BesideFormat::Json | BesideFormat::Csv => false,
                BesideFormat::Table | BesideFormat::Markdown => {
                    *beside != CalendarBeside::MonthsOfYears
                }
            },
            Self::SitesOn(..) => true,
            Self::Explain | Self::Season(_) | Self::ByYear(_) | Self::WhatIf(..) => false,
        }
    }

    /// Whether the answer shows nights in local time, so that the user must know
    /// which zone it is where the site gives none.
    pub fn shows_nights(&self) -> bool {
        !matches!(self, Self::Explain | Self::WhatIf(..))
    }

    /// Whether the answer gives each site a name that no other has.
    pub fn tells_sites_apart(&self) -> bool {
        match self {
            Self::Windows(asked) => matches!(asked.format, Format::Ical | Format::Geojson),
            Self::Season(format) => *format == SeasonFormat::Map,
            Self::BySite(format) => *format == CountsFormat::Map,
            _ => false,
        }
    }
}

/// Formats of what-if answers; `true` is JSON.
const WHAT_IF: Formats<bool> = &[(Format::Table, false), (Format::Json, true)];

fn is_json(format: Format) -> Result<bool, Failure> {
    format::does(WHAT_IF, format).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "--vary, --compare with dates and --by bearing are printed as a table or json; choose --format table or json"
        ))
    })
}

fn beside_format(beside: CalendarBeside, format: Format) -> Result<BesideFormat, Failure> {
    format::does(calendar_beside::FORMATS, format).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "{} is printed as a table, csv, markdown or json; choose --format table, or leave out \
             --by and --compare, and every window is printed",
            beside.typed()
        ))
    })
}

/// The format of a season. A file whose ending asks for one that a season does
/// not have gets the text, as it does from any command.
fn season_format(args: &ScanArgs) -> Result<SeasonFormat, Failure> {
    if let Some(format) = args.format {
        return format::does(season::FORMATS, format).ok_or_else(|| {
            Failure::Reported(anyhow!(
                "--season is printed as a table, csv, json, ndjson or geojson; for another format \
                 leave out --season, and every window is printed, or draw it with `rakelight chart \
                 season`"
            ))
        });
    }
    let (_, format) = args.output.format(season::FORMATS, None);
    Ok(format)
}

fn months_page(format: Format) -> Result<MonthsPage, Failure> {
    format::does(by_month::FORMATS, format).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "--by month is printed as a table, csv or markdown; for another format --per-month 1 \
             gives the best window of each month"
        ))
    })
}

fn year_format(format: Format) -> Result<YearFormat, Failure> {
    format::does(by_year::FORMATS, format).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "--by year is printed as a table, csv or markdown; for another format leave out --by, \
             and every window is printed"
        ))
    })
}

fn counts_format(format: Format) -> Result<CountsFormat, Failure> {
    format::does(by_site::FORMATS, format).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "--by site is printed as a table, csv, json, ndjson, geojson or markdown; for another \
             format leave out --by, and every window is printed"
        ))
    })
}

fn what_if(args: &ScanArgs) -> Result<Option<WhatIfAsked>, Failure> {
    if args.by == Some(By::Bearing) {
        return Ok(Some(WhatIfAsked::ByBearing));
    }
    let reason = &args.reason;
    if reason.vary.is_empty() {
        return Ok(None);
    }
    let combinations = why::combinations(&reason.vary).ok_or_else(|| {
        Failure::Reported(anyhow!(
            "--vary: more than 400 combinations of values; leave out some"
        ))
    })?;
    Ok(Some(WhatIfAsked::Vary(combinations)))
}

fn choice(args: &ScanArgs, format: Format) -> Selection {
    Selection {
        top: match args.top.or(args.next) {
            Some(top) => Some(top),
            None if args.all || !format.is_for_people() => None,
            None => Some(TABLE_TOP),
        },
        per_month: args.per_month,
        order: match args.sort {
            _ if args.next.is_some() => Order::Next,
            Sort::Score => Order::Score,
            Sort::Date => Order::Date,
        },
    }
}

fn refused(option: &str, found: &str, expected: &str, remedy: &str) -> Failure {
    let error = ValueError::new(found, expected).with_remedy(remedy);
    Failure::option(option, &error)
}

/// Refuses near misses, advice and spare nights if the format has no room for
/// them or there is no answer.
fn check_reasons(
    args: &ReasonArgs,
    format: Format,
    asked_rules: &AskedRules,
) -> Result<(), Failure> {
    let asked = [
        ("near-misses", args.near_misses > 0),
        ("advise", args.advise),
        ("spare", args.spare.is_some()),
    ];
    let asked = asked.into_iter().filter(|(_, asked)| *asked);
    let kinds_of = |brief: &Brief| brief.get::<LightKinds>(&LIGHT);
    let asked_kinds: Vec<LightKinds> = asked_rules.common().iter().filter_map(kinds_of).collect();
    let blend = asked_kinds.contains(&LightKind::Blend.into());
    let several = asked_kinds.iter().any(LightKinds::are_several) || asked_rules.common().len() > 1;
    for (option, _) in asked {
        if args.is_what_if() {
            let found = "--vary or --compare beside it";
            let expected = "the windows themselves, to which this answer belongs";
            let remedy = "ask for the two one after the other";
            return Err(refused(option, found, expected, remedy));
        }
        if !format.has_room() {
            let (expected, remedy) = ("table or json", "choose --format table or json");
            return Err(refused(
                option,
                "a format of windows alone",
                expected,
                remedy,
            ));
        }
        if several && option != "spare" {
            let expected = "one kind of light and one brief (each has reasons of its own)";
            let remedy = "ask for one kind after the other";
            return Err(refused(
                option,
                "several kinds of light or briefs",
                expected,
                remedy,
            ));
        }
        if blend && option != "spare" {
            let expected = "another kind of light (a blend has no such answer)";
            let remedy = "ask with --light any and --light dark by themselves";
            return Err(refused(option, "--light blend", expected, remedy));
        }
    }
    Ok(())
}

/// Refuses a rule varied twice.
fn check_what_if(args: &ReasonArgs) -> Result<(), Failure> {
    for (index, (key, _)) in args.vary.iter().enumerate() {
        let mut before = args.vary.iter().take(index);
        if before.any(|(before, _)| before == key) {
            let found = format!("{key} again");
            let remedy = "put all its values behind one --vary";
            return Err(refused("vary", &found, "each rule once", remedy));
        }
    }
    Ok(())
}

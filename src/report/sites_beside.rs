//! Sites side by side: a row for each calendar month or year.

use super::{
    best_night::Doubted,
    blocks::{Heads, balanced, unless_alike},
    grid::{Emphasis, Grid, PLAIN, STRONG, Side},
    markdown,
    period_cell::{BEST_OF_ROW, BestAs, PeriodCell, best_of_row, in_part},
    words::{EVENING_OF_ITS_ZONE, plural},
    wrap::{write_head, write_note},
    years_beside::ALL,
};
use crate::{
    scene::{Dates, Site},
    search::{CalendarPeriod, months, years},
};
use chrono::{Datelike, NaiveDate};
use std::{
    io::{self, Write},
    ops::Range,
};
use unicode_width::UnicodeWidthStr;

/// What a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PeriodRows {
    /// A calendar month.
    Months,
    /// A calendar year.
    Years,
}

impl PeriodRows {
    fn periods(self, dates: Dates) -> Vec<CalendarPeriod<'static>> {
        match self {
            Self::Months => months(dates.first(), dates.last(), &[]),
            Self::Years => years(dates.first(), dates.last(), &[]),
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Months => "%b %Y",
            Self::Years => "%Y",
        }
    }

    fn begins(self) -> fn(NaiveDate) -> bool {
        match self {
            Self::Months => |day| day.day() == 1,
            Self::Years => |day| day.ordinal() == 1,
        }
    }

    fn best_as(self) -> BestAs {
        match self {
            Self::Months => BestAs::Day,
            Self::Years => BestAs::Date,
        }
    }
}

/// What the page shows of one site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteColumn {
    title: String,
    zone: String,
    cells: Vec<PeriodCell>,
}

impl SiteColumn {
    /// Keeps what the page shows of the months or years of a site.
    pub fn of(site: &Site, periods: &[CalendarPeriod<'_>]) -> Self {
        Self {
            title: site.title().into_owned(),
            zone: site.zone.name().to_owned(),
            cells: periods.iter().map(PeriodCell::of).collect(),
        }
    }
}

/// The sites of a batch side by side.
#[derive(Debug, Clone, Copy)]
pub struct SitesBeside<'a> {
    /// The sites, in the order of the input.
    pub sites: &'a [SiteColumn],
    /// What their cells are.
    pub rows: PeriodRows,
    /// The evenings.
    pub dates: Dates,
    /// Columns of the terminal.
    pub width: usize,
}

/// The heading of the nights at one of the sites or more.
const ANY: &str = "any";

/// The texts of a row, each with whether it is the best.
type Row = (String, Vec<(String, bool)>);

impl SitesBeside<'_> {
    /// Writes a column per site, in as many blocks as the width needs.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write) -> io::Result<()> {
        let rest = format!(", {}", self.evenings());
        write_head(out, &self.title(), &rest, self.width)?;
        let rows = self.told();
        let names = self.names();
        let texts = rows.iter().flat_map(|(_, texts)| texts);
        let room = texts.map(|(text, _)| text.width() + 1).max();
        let heads = Heads::of(&names, room.unwrap_or_default());
        let zones = self.zones().map(|zones| Heads::of(&zones, 0));
        let grid = |some: Range<usize>| {
            let sides = std::iter::once(Side::Left).chain(some.clone().map(|_| Side::Right));
            let mut grid = Grid::new(sides.collect::<Vec<_>>());
            let zones = zones.iter().flat_map(|zones| zones.lines(some.clone()));
            for line in heads.lines(some.clone()).into_iter().chain(zones) {
                grid.heading(line);
            }
            for (name, texts) in &rows {
                let texts = texts.get(some.clone()).unwrap_or_default().iter();
                let texts = texts.map(|(text, is_best)| match is_best {
                    true => (format!("*{text}"), STRONG),
                    false => (text.clone(), PLAIN),
                });
                grid.styled_row(std::iter::once((name.clone(), PLAIN)).chain(texts));
            }
            grid
        };
        for (block, some) in balanced(names.len(), self.width, grid).enumerate() {
            if block > 0 {
                writeln!(out)?;
            }
            grid(some).write(out)?;
        }
        for note in self.notes("*", &rows) {
            write_note(out, &note, self.width)?;
        }
        Ok(())
    }

    /// Writes a Markdown table with the best of each row in bold.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_markdown(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "## {}, {}\n", self.title(), self.evenings())?;
        let zones = self.zones();
        let zones = zones.unwrap_or_default();
        let names = self.names().into_iter().enumerate().map(|(at, name)| {
            let zone = zones.get(at).filter(|zone| !zone.is_empty());
            let zone = zone.map_or_else(String::new, |zone| format!(" ({zone})"));
            (markdown::escaped(&format!("{name}{zone}")), Side::Right)
        });
        let first = match self.rows {
            PeriodRows::Months => "month",
            PeriodRows::Years => "year",
        };
        let heads = std::iter::once((first.to_owned(), Side::Left)).chain(names);
        let heads: Vec<_> = heads.collect();
        let rows = self.told();
        let lines = rows.iter().map(|(name, texts)| {
            let texts = texts.iter().map(|(text, is_best)| {
                Emphasis::strong_if(*is_best).markdown(&markdown::escaped(text))
            });
            std::iter::once(name.clone()).chain(texts).collect()
        });
        markdown::write_table(out, &heads, lines)?;
        for note in self.notes("in bold", &rows) {
            writeln!(out, "\n{}", markdown::escaped(&note))?;
        }
        Ok(())
    }

    fn title(&self) -> String {
        let sites = plural(self.sites.len() as i64, "site", "sites");
        format!("{sites} side by side")
    }

    fn evenings(&self) -> String {
        format!("evenings {} to {}", self.dates.first(), self.dates.last())
    }

    fn several(&self) -> bool {
        self.sites.len() > 1
    }

    /// The headings of the columns: the sites, and what they have together.
    fn names(&self) -> Vec<&str> {
        let any = self.several().then_some(ANY);
        let titles = self.sites.iter().map(|site| site.title.as_str());
        titles.chain(any).collect()
    }

    /// The zones of the columns; `None` where all have the same.
    fn zones(&self) -> Option<Vec<&str>> {
        let zones = unless_alike(self.sites.iter().map(|site| site.zone.as_str()))?;
        Some(zones.into_iter().chain([""]).collect())
    }

    /// The rows, the last of which adds them up.
    fn told(&self) -> Vec<Row> {
        let periods = self.rows.periods(self.dates);
        let row = |name: String, cells: &[PeriodCell], best_as: BestAs| -> Row {
            let told: Vec<_> = cells.iter().map(Some).collect();
            let best = best_of_row(&told);
            let any = self.several().then(|| (PeriodCell::sum(cells), false));
            let texts = cells.iter().map(|cell| cell.text(best_as)).zip(best);
            let any = any.map(|(cell, is_best)| (cell.text(best_as), is_best));
            (name, texts.chain(any).collect())
        };
        let empty = PeriodCell::default();
        let each = periods.iter().enumerate().map(|(index, period)| {
            let cells = self.sites.iter().map(|site| site.cells.get(index));
            let cells: Vec<_> = cells.map(|cell| cell.unwrap_or(&empty).clone()).collect();
            let name = period.first_day.format(self.rows.name()).to_string();
            row(name, &cells, self.rows.best_as())
        });
        let totals = self.sites.iter().map(|site| PeriodCell::sum(&site.cells));
        let totals: Vec<_> = totals.collect();
        // The days of several years need the year: the score alone is told.
        each.chain([row(ALL.to_owned(), &totals, BestAs::Score)])
            .collect()
    }

    /// What the table means; `mark` is how the best of a row is marked.
    fn notes(&self, mark: &str, rows: &[Row]) -> impl Iterator<Item = String> {
        let starred = rows
            .iter()
            .any(|(_, texts)| texts.iter().any(|(_, is)| *is));
        let star = starred.then(|| format!("; {mark} {BEST_OF_ROW}"));
        let any = "; any: at one of them or more, each night once";
        let any = self.several().then_some(any);
        let key = format!(
            "Nights, the best evening and its score{}{}.",
            star.unwrap_or_default(),
            any.unwrap_or_default(),
        );
        let zones = self.zones().map(|_| EVENING_OF_ITS_ZONE.to_owned());
        let mut doubted = Doubted::default();
        let cells = self.sites.iter().flat_map(|site| &site.cells);
        let nights = cells.filter_map(|cell| cell.best());
        nights.for_each(|best| doubted.add(best));
        let part = in_part(
            &self.rows.periods(self.dates),
            self.rows.name(),
            self.rows.begins(),
        );
        [Some(key), zones, part, doubted.note()]
            .into_iter()
            .flatten()
    }
}

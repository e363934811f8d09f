//! Nights by calendar year, as a table with one block per site and as Markdown.

use super::{
    best_night::{BestNight, Doubted},
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    markdown,
    period_cell::in_part,
    words::night_words,
    wrap::{write_head, write_note},
};
use crate::{
    scene::{Dates, Site},
    search::{CalendarPeriod, years},
};
use chrono::Datelike;
use std::{
    cmp::Ordering,
    io::{self, Write},
};

/// What a page for people shows of the years of one site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteYears {
    name: String,
    years: Vec<YearRow>,
}

/// A year of a site.
#[derive(Debug, Clone, PartialEq)]
struct YearRow {
    year: i32,
    nights: usize,
    hours: f64,
    best: Option<BestNight>,
}

impl SiteYears {
    /// Keeps what the page shows of a site's years.
    pub fn of(site: &Site, years: &[CalendarPeriod<'_>]) -> Self {
        let row = |period: &CalendarPeriod<'_>| YearRow {
            year: period.first_day.year(),
            nights: period.nights,
            hours: period.minutes / 60.0,
            best: period.best.map(BestNight::of),
        };
        Self {
            name: site.title().into_owned(),
            years: years.iter().map(row).collect(),
        }
    }

    /// The year with most nights, among equals the one with most hours; `None`
    /// where there is nothing to choose from.
    fn richest(&self) -> Option<&YearRow> {
        let order = |a: &YearRow, b: &YearRow| {
            let by_nights = a.nights.cmp(&b.nights);
            by_nights.then(a.hours.total_cmp(&b.hours))
        };
        let most = self.years.iter().max_by(|a, b| order(a, b))?;
        let is_other = |year: &YearRow| order(year, most) != Ordering::Equal;
        self.years.iter().any(is_other).then_some(most)
    }
}

impl YearRow {
    /// Nights, hours, evening of the best night, its score.
    fn texts(&self) -> [String; 4] {
        let text = |of: fn(&BestNight) -> String| {
            let dash = || "-".to_owned();
            self.best.as_ref().map_or_else(dash, of)
        };
        [
            self.nights.to_string(),
            format!("{:.1}", self.hours),
            text(|best| night_words(best.night)),
            text(BestNight::score_words),
        ]
    }
}

/// The headings above [`YearRow::texts`], and how they are aligned.
const HEADS: [(&str, Side); 4] = [
    ("nights", Side::Right),
    ("hours", Side::Right),
    ("best evening", Side::Left),
    ("score", Side::Right),
];

/// A page about the years of any number of sites, written as they come.
#[derive(Debug, Clone)]
pub struct YearPage {
    dates: Dates,
    width: usize,
    doubted: Doubted,
    sites: usize,
    starred: bool,
}

impl YearPage {
    /// A page about these evenings, on a terminal `width` columns wide.
    pub fn new(dates: Dates, width: usize) -> Self {
        Self {
            dates,
            width,
            doubted: Doubted::default(),
            sites: 0,
            starred: false,
        }
    }

    /// Writes the first line of a table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn begin_table(&self, out: &mut impl Write) -> io::Result<()> {
        let evenings = format!(", {}", self.evenings());
        write_head(out, "Nights by year", &evenings, self.width)
    }

    /// Writes the block of a site: one row per year, with `*` at the year with
    /// most nights.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn add_to_table(&mut self, out: &mut impl Write, site: &SiteYears) -> io::Result<()> {
        if self.sites > 0 {
            writeln!(out)?;
        }
        self.note(site);
        writeln!(out, "{STRONG}{}{STRONG:#}", site.name)?;
        let sides = std::iter::once(Side::Left).chain(HEADS.map(|(_, side)| side));
        let mut grid = Grid::new(sides.collect::<Vec<_>>());
        grid.heading(std::iter::once("year").chain(HEADS.map(|(head, _)| head)));
        let richest = site.richest();
        self.starred |= richest.is_some();
        for year in &site.years {
            let is_richest = richest == Some(year);
            let style = if is_richest { STRONG } else { PLAIN };
            let star = if is_richest { "*" } else { "" };
            let [nights, others @ ..] = year.texts();
            let counted = [year.year.to_string(), format!("{star}{nights}")];
            let texts = counted.into_iter().chain(others);
            grid.styled_row(texts.map(|text| (text, style)));
        }
        grid.write(out)
    }

    /// Writes what comes below a table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn end_table(&self, out: &mut impl Write) -> io::Result<()> {
        if self.starred {
            writeln!(out, "{FAINT}* most nights.{FAINT:#}")?;
        }
        for note in self.notes() {
            write_note(out, &note, self.width)?;
        }
        Ok(())
    }

    /// Writes the heading of a Markdown table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn begin_markdown(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "## Nights by year, {}\n", self.evenings())?;
        let heads = [("site", Side::Left), ("year", Side::Left)];
        let heads = heads.into_iter().chain(HEADS);
        let heads: Vec<_> = heads.map(|(head, side)| (head.to_owned(), side)).collect();
        markdown::write_table(out, &heads, [])
    }

    /// Writes the rows of a site, one per year; the year with most nights is
    /// bold.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn add_to_markdown(&mut self, out: &mut impl Write, site: &SiteYears) -> io::Result<()> {
        self.note(site);
        let richest = site.richest();
        self.starred |= richest.is_some();
        let rows = site.years.iter().map(|year| {
            let style = if richest == Some(year) { STRONG } else { PLAIN };
            let name = [markdown::escaped(&site.name), year.year.to_string()];
            let texts = year.texts().map(|text| markdown::escaped(&text));
            let texts = texts.map(|text| style.markdown(&text));
            name.into_iter().chain(texts).collect()
        });
        markdown::write_rows(out, rows)
    }

    /// Writes what comes below a Markdown table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn end_markdown(&self, out: &mut impl Write) -> io::Result<()> {
        let bold = self.starred.then(|| "Most nights in bold.".to_owned());
        for note in bold.into_iter().chain(self.notes()) {
            writeln!(out, "\n{}", markdown::escaped(&note))?;
        }
        Ok(())
    }

    fn note(&mut self, site: &SiteYears) {
        self.sites += 1;
        let nights = site.years.iter().filter_map(|year| year.best.as_ref());
        nights.for_each(|best| self.doubted.add(best));
    }

    fn evenings(&self) -> String {
        let (first, last) = (self.dates.first(), self.dates.last());
        format!("evenings {first} to {last}")
    }

    fn notes(&self) -> impl Iterator<Item = String> {
        let counted = "A night belongs to the year of its evening; hours are those of its windows.";
        let swing = "Counts change with the Moon's path over 18.6 years: docs/model.md says how.";
        let years = years(self.dates.first(), self.dates.last(), &[]);
        let part = in_part(&years, "%Y", |day| day.ordinal() == 1);
        let known = [Some(counted.to_owned()), part];
        let last = [self.doubted.note(), Some(swing.to_owned())];
        known.into_iter().chain(last).flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn notes_keep_the_width_and_the_same_words() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        let dates = Dates::new(day(2027, 3, 2), day(2029, 6, 30)).expect("dates");
        let under = |width: usize| {
            let mut out = Vec::new();
            let page = YearPage::new(dates, width);
            page.end_table(&mut out).expect("a vector takes all");
            let text = String::from_utf8(out).expect("text");
            text.replace(&FAINT.to_string(), "")
                .replace(&format!("{FAINT:#}"), "")
        };
        let (narrow, usual) = (under(50), under(80));
        for (text, width) in [(&narrow, 50), (&usual, 80)] {
            for line in text.lines() {
                assert!(line.chars().count() <= width, "{line}");
            }
        }
        assert_eq!(usual.lines().count(), 3, "{usual}");
        let words = |text: &str| text.split_whitespace().count();
        assert_eq!(words(&narrow), words(&usual));
    }
}

//! The best night of each month at each site of a batch: as a table and as
//! Markdown.

use super::{
    best_night::{BestNight, Doubted},
    grid::{Emphasis, FAINT, Grid, PLAIN, STRONG, Side},
    markdown,
    words::plural,
    wrap::{shortened_apart, write_head, write_note},
};
use crate::{scene::Site, search::CalendarPeriod};
use chrono::{Datelike, NaiveDate};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// What the table shows of one site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteMonths {
    name: String,
    best: Vec<Option<BestNight>>,
}

impl SiteMonths {
    /// Keeps what the table shows of a site's months.
    pub fn of(site: &Site, months: &[CalendarPeriod<'_>]) -> Self {
        let best = |month: &CalendarPeriod<'_>| month.best.map(BestNight::of);
        Self {
            name: site.title().into_owned(),
            best: months.iter().map(best).collect(),
        }
    }
}

/// The sites of a batch by month.
#[derive(Debug, Clone, Copy)]
pub struct Summary<'a> {
    /// The sites, in the order of the input.
    pub sites: &'a [SiteMonths],
    /// First evening.
    pub first: NaiveDate,
    /// Last evening.
    pub last: NaiveDate,
    /// Columns of the terminal.
    pub width: usize,
}

/// Names are cut to this many characters, or to more if two would then read the
/// same.
pub(super) const LONGEST_NAME: usize = 24;
/// Width of a month, characters: `*Sat 29 (77~)` and two blanks before it.
const MONTH_WIDTH: usize = 15;

impl Summary<'_> {
    /// Writes one row per site and one column per month, with as many months
    /// side by side as there is room for.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write) -> io::Result<()> {
        let sites = plural(self.sites.len() as i64, "site", "sites");
        write_head(
            out,
            &format!("Best night of each month at {sites}"),
            &format!(", evenings {} to {}", self.first, self.last),
            self.width,
        )?;
        let months = self.months();
        let best = self.best_sites();
        let names: Vec<&str> = self.sites.iter().map(|site| site.name.as_str()).collect();
        let short = shortened_apart(&names, LONGEST_NAME);
        let names = short.values().map(|name| name.width()).max();
        let room = self.width.saturating_sub(names.unwrap_or(0));
        let most = (room / MONTH_WIDTH).max(1);
        // Blocks of similar length, rather than full ones and a short rest.
        let blocks = months.len().div_ceil(most).max(1);
        let length = months.len().div_ceil(blocks).max(1);
        let indices: Vec<usize> = (0..months.len()).collect();
        for block in indices.chunks(length) {
            let mut sides = vec![Side::Left];
            sides.extend(block.iter().map(|_| Side::Right));
            let mut grid = Grid::new(sides);
            let heads = block.iter().filter_map(|index| months.get(*index));
            let heads = heads.map(|month| month.format("%b %Y").to_string());
            grid.heading(std::iter::once(String::new()).chain(heads));
            for (row, site) in self.sites.iter().enumerate() {
                let name = short.get(site.name.as_str()).unwrap_or(&site.name);
                let name = (name.clone(), PLAIN);
                let cells = block.iter().map(|&index| {
                    let is_best = best.get(index) == Some(&Some(row));
                    let text = match site.best.get(index).copied().flatten() {
                        Some(mark) => words(mark),
                        None => "-".to_owned(),
                    };
                    let star = if is_best && self.several() { "*" } else { "" };
                    let text = format!("{star}{text}");
                    (text, if is_best { STRONG } else { PLAIN })
                });
                grid.styled_row(std::iter::once(name).chain(cells));
            }
            grid.write(out)?;
        }
        if self.several() && best.iter().any(Option::is_some) {
            writeln!(
                out,
                "{FAINT}Evening and score; * the best of the month.{FAINT:#}"
            )?;
        } else {
            writeln!(out, "{FAINT}Evening and score.{FAINT:#}")?;
        }
        match self.haze_note() {
            Some(note) => write_note(out, &note, self.width),
            None => Ok(()),
        }
    }

    /// What the mark on doubtful nights means, if there are any.
    fn haze_note(&self) -> Option<String> {
        let mut doubted = Doubted::default();
        let nights = self.sites.iter().flat_map(|site| &site.best);
        nights.flatten().for_each(|best| doubted.add(best));
        doubted.note()
    }

    /// Writes a Markdown table with one row per site and the best of each month
    /// in bold.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_markdown(&self, out: &mut impl Write) -> io::Result<()> {
        let best = self.best_sites();
        let mut heads = vec![("site".to_owned(), Side::Left)];
        heads.extend(
            self.months()
                .iter()
                .map(|month| (month.format("%b %Y").to_string(), Side::Right)),
        );
        let rows = self.sites.iter().enumerate().map(|(row, site)| {
            let cells = site.best.iter().enumerate().map(|(index, mark)| {
                let Some(mark) = mark else {
                    return "-".to_owned();
                };
                let bold = self.several() && best.get(index) == Some(&Some(row));
                Emphasis::strong_if(bold).markdown(&words(*mark))
            });
            std::iter::once(markdown::escaped(&site.name))
                .chain(cells)
                .collect()
        });
        writeln!(
            out,
            "## Best night of each month, evenings {} to {}\n",
            self.first, self.last
        )?;
        markdown::write_table(out, &heads, rows)
    }

    fn several(&self) -> bool {
        self.sites.len() > 1
    }

    fn months(&self) -> Vec<NaiveDate> {
        crate::search::months(self.first, self.last, &[])
            .iter()
            .map(|month| month.first_day)
            .collect()
    }

    /// For each month the row of the site with the highest score; among equals
    /// the first.
    fn best_sites(&self) -> Vec<Option<usize>> {
        (0..self.months().len())
            .map(|index| {
                let mut best: Option<(usize, f64)> = None;
                for (row, site) in self.sites.iter().enumerate() {
                    if let Some(mark) = site.best.get(index).copied().flatten()
                        && best.is_none_or(|(_, score)| mark.score > score)
                    {
                        best = Some((row, mark.score));
                    }
                }
                best.map(|(row, _)| row)
            })
            .collect()
    }
}

/// `Sat 29 (77)`: the evening and its score, with `~` if it is doubtful.
fn words(best: BestNight) -> String {
    format!(
        "{} {} ({})",
        best.night.format("%a"),
        best.night.day(),
        best.score_words()
    )
}

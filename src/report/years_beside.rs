//! The calendar years of a site side by side: a row for each month.

use super::{
    best_night::Doubted,
    blocks::balanced,
    grid::{Emphasis, Grid, PLAIN, STRONG, Side},
    markdown,
    period_cell::{BEST_OF_ROW, BestAs, PeriodCell, best_of_row, in_part},
    wrap::{write_head, write_note, write_wrapped},
};
use crate::{
    scene::{Dates, Site},
    search::{CalendarPeriod, months},
};
use chrono::{Datelike, NaiveDate};
use std::{
    collections::{BTreeMap, BTreeSet},
    io::{self, Write},
    ops::Range,
    sync::Arc,
};

/// What a page shows of the months of a site, or of all views of a place.
#[derive(Debug, Clone)]
pub struct SiteMonthsOfYears {
    site: Arc<Site>,
    /// How many views it adds up; none for a site alone.
    views: usize,
    /// By year and month of the year.
    cells: BTreeMap<(i32, u32), PeriodCell>,
}

impl SiteMonthsOfYears {
    /// Keeps what the page shows of the months of a site.
    pub fn of(site: &Arc<Site>, months: &[CalendarPeriod<'_>]) -> Self {
        let cell = |month: &CalendarPeriod<'_>| {
            let day = month.first_day;
            ((day.year(), day.month()), PeriodCell::of(month))
        };
        Self {
            site: Arc::clone(site),
            views: 0,
            cells: months.iter().map(cell).collect(),
        }
    }

    /// Adds another view of the place: a night of several counts once.
    fn add(&mut self, view: &Self) {
        self.views += 1;
        for (month, cell) in &view.cells {
            let sum = self.cells.entry(*month).or_default();
            *sum = PeriodCell::sum([&*sum, cell]);
        }
    }

    fn title(&self) -> String {
        match self.views {
            0 => self.site.title().into_owned(),
            _ => format!("{}, any view", self.site.name),
        }
    }

    fn years(&self) -> Vec<i32> {
        let years: BTreeSet<i32> = self.cells.keys().map(|(year, _)| *year).collect();
        years.into_iter().collect()
    }

    /// The months of the year that lie in one of the years at least.
    fn months(&self) -> BTreeSet<u32> {
        self.cells.keys().map(|(_, month)| *month).collect()
    }

    fn sum(&self, of: impl Fn(i32, u32) -> bool) -> PeriodCell {
        let chosen = self.cells.iter();
        let chosen = chosen.filter(|((year, month), _)| of(*year, *month));
        PeriodCell::sum(chosen.map(|(_, cell)| cell))
    }

    /// The rows of the table, each with the name of its month; the last adds
    /// them up. Each has a cell for each year, `None` where the month is not
    /// asked for, and the sum over the years.
    fn rows(&self) -> Vec<(String, Vec<Option<PeriodCell>>, PeriodCell)> {
        let years = self.years();
        let of_month = |month: u32| {
            let cells = years.iter().map(|year| self.cells.get(&(*year, month)));
            let cells = cells.map(Option::<&PeriodCell>::cloned).collect();
            let all = self.sum(|_, of| of == month);
            (month_named(month, "%b"), cells, all)
        };
        let of_year = |year: &i32| Some(self.sum(|of, _| of == *year));
        let totals = years.iter().map(of_year).collect();
        let last = (ALL.to_owned(), totals, self.sum(|_, _| true));
        let months = self.months();
        months.into_iter().map(of_month).chain([last]).collect()
    }

    /// The year with most nights, its month with most, the month that has most
    /// over the years, and the best night.
    fn verdict(&self) -> String {
        let whole = self.sum(|_, _| true);
        let Some(best) = whole.best_words() else {
            return "No night in these evenings.".to_owned();
        };
        let years = self.years();
        let year = most(&years, |year| self.sum(|of, _| of == year));
        let months: Vec<u32> = self.months().into_iter().collect();
        let over_all = most(&months, |month| self.sum(|_, of| of == month));
        let mut said = String::new();
        if let Some((year, nights)) = year.filter(|_| years.len() > 1) {
            let in_it = |month| self.sum(|of, of_month| of == year && of_month == month);
            let in_it = most(&months, in_it);
            let in_it = in_it.map_or_else(String::new, |(month, nights)| {
                format!(", of them {nights} in {}", month_named(month, "%B"))
            });
            said = format!("Most nights in {year}: {nights}{in_it}. ");
        }
        if let Some((month, nights)) = over_all {
            let together = match years.len() {
                1 => "Most nights",
                _ => "In all these years together most",
            };
            let month = month_named(month, "%B");
            said = format!("{said}{together} in {month}: {nights}. ");
        }
        format!("{said}Best night: {best}.")
    }
}

/// The heading of what adds up a row or a column.
pub(super) const ALL: &str = "all";

/// A month of the year in a form of its name, `%b` or `%B`.
fn month_named(month: u32, form: &str) -> String {
    let day = NaiveDate::from_ymd_opt(2000, month, 1);
    day.map_or_else(String::new, |day| day.format(form).to_string())
}

/// The first of those with most nights, among equals with the best score, and
/// how many.
fn most<T: Copy>(of: &[T], cell: impl Fn(T) -> PeriodCell) -> Option<(T, usize)> {
    let ranked = of.iter().rev().map(|one| (*one, cell(*one).rank()));
    let most = ranked.max_by_key(|(_, rank)| *rank)?;
    Some((most.0, most.1.0))
}

/// A page with the years of any number of sites, written as they come.
#[derive(Debug)]
pub struct YearsBesidePage {
    dates: Dates,
    width: usize,
    doubted: Doubted,
    blocks: usize,
    starred: bool,
    blanks: bool,
    /// What is said of each site, for the end of a Markdown page.
    verdicts: Vec<(String, String)>,
    /// The place of the last site, its views added up.
    place: Option<SiteMonthsOfYears>,
}

impl YearsBesidePage {
    /// A page about these evenings, on a terminal `width` columns wide.
    pub fn new(dates: Dates, width: usize) -> Self {
        Self {
            dates,
            width,
            doubted: Doubted::default(),
            blocks: 0,
            starred: false,
            blanks: false,
            verdicts: Vec::new(),
            place: None,
        }
    }

    /// Writes the first line of a table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn begin_table(&self, out: &mut impl Write) -> io::Result<()> {
        let rest = format!(", {}", self.evenings());
        write_head(out, "Years side by side", &rest, self.width)
    }

    /// Writes the block of a site, and before it that of all views of a place
    /// that is done.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn add_to_table(
        &mut self,
        out: &mut impl Write,
        site: &SiteMonthsOfYears,
    ) -> io::Result<()> {
        if let Some(place) = self.place_before(site) {
            self.block(out, &place)?;
        }
        self.block(out, site)
    }

    /// Writes what comes below a table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn end_table(&mut self, out: &mut impl Write) -> io::Result<()> {
        if let Some(place) = self.last_place() {
            self.block(out, &place)?;
        }
        for note in self.notes("*") {
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
        writeln!(out, "## Years side by side, {}\n", self.evenings())?;
        let years = self.dates.first().year()..=self.dates.last().year();
        let several = years.clone().count() > 1;
        let years = years.map(|year| (year.to_string(), Side::Right));
        let heads = ["site", "month"].map(|head| (head.to_owned(), Side::Left));
        let all = several.then(|| (ALL.to_owned(), Side::Right));
        let heads: Vec<_> = heads.into_iter().chain(years).chain(all).collect();
        markdown::write_table(out, &heads, [])
    }

    /// Writes the rows of a site, one per month, and before them those of all
    /// views of a place that is done.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn add_to_markdown(
        &mut self,
        out: &mut impl Write,
        site: &SiteMonthsOfYears,
    ) -> io::Result<()> {
        if let Some(place) = self.place_before(site) {
            self.lines(out, &place)?;
        }
        self.lines(out, site)
    }

    /// Writes what comes below a Markdown table.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn end_markdown(&mut self, out: &mut impl Write) -> io::Result<()> {
        if let Some(place) = self.last_place() {
            self.lines(out, &place)?;
        }
        writeln!(out)?;
        for (site, verdict) in &self.verdicts {
            let (site, verdict) = (markdown::escaped(site), markdown::escaped(verdict));
            writeln!(out, "- {site}: {verdict}")?;
        }
        for note in self.notes("in bold") {
            writeln!(out, "\n{}", markdown::escaped(&note))?;
        }
        Ok(())
    }

    /// Keeps a site for the sum over the views of its place. The result is the
    /// place before it, if it is done and has several views.
    fn place_before(&mut self, site: &SiteMonthsOfYears) -> Option<SiteMonthsOfYears> {
        if let Some(place) = &mut self.place
            && place.site.shares_place(&site.site)
        {
            place.add(site);
            return None;
        }
        let mut place = site.clone();
        place.views = 1;
        self.place.replace(place).filter(|place| place.views > 1)
    }

    fn last_place(&mut self) -> Option<SiteMonthsOfYears> {
        self.place.take().filter(|place| place.views > 1)
    }

    fn block(&mut self, out: &mut impl Write, site: &SiteMonthsOfYears) -> io::Result<()> {
        if self.blocks > 0 {
            writeln!(out)?;
        }
        self.blocks += 1;
        write_head(out, &site.title(), "", self.width)?;
        let rows = self.told(site);
        let heads = heads(site);
        let grid = |some: Range<usize>| {
            let sides = std::iter::once(Side::Left).chain(some.clone().map(|_| Side::Right));
            let mut grid = Grid::new(sides.collect::<Vec<_>>());
            let of_block = heads.get(some.clone()).unwrap_or_default().iter().cloned();
            grid.heading(std::iter::once(String::new()).chain(of_block));
            for (name, cells) in &rows {
                let cells = cells.get(some.clone()).unwrap_or_default().iter();
                let cells = cells.map(|(text, is_best)| match is_best {
                    true => (format!("*{text}"), STRONG),
                    false => (text.clone(), PLAIN),
                });
                grid.styled_row(std::iter::once((name.clone(), PLAIN)).chain(cells));
            }
            grid
        };
        for (block, some) in balanced(heads.len(), self.width, grid).enumerate() {
            if block > 0 {
                writeln!(out)?;
            }
            grid(some).write(out)?;
        }
        write_wrapped(out, "", &site.verdict(), self.width)
    }

    fn lines(&mut self, out: &mut impl Write, site: &SiteMonthsOfYears) -> io::Result<()> {
        self.verdicts.push((site.title(), site.verdict()));
        let rows = self.told(site);
        let title = markdown::escaped(&site.title());
        let rows = rows.into_iter().map(|(name, cells)| {
            let cells = cells.into_iter().map(|(text, is_best)| {
                Emphasis::strong_if(is_best).markdown(&markdown::escaped(&text))
            });
            [title.clone(), name].into_iter().chain(cells).collect()
        });
        markdown::write_rows(out, rows)
    }

    /// The rows of a site: the name of each, and its texts with whether each is
    /// the best of its row.
    fn told(&mut self, site: &SiteMonthsOfYears) -> Vec<(String, Vec<(String, bool)>)> {
        let several = site.years().len() > 1;
        let rows = site.rows();
        rows.iter()
            .map(|(name, cells, all)| {
                let cells: Vec<Option<&PeriodCell>> = cells.iter().map(Option::as_ref).collect();
                let best = best_of_row(&cells);
                self.starred |= best.contains(&true);
                self.blanks |= cells.contains(&None);
                let told = cells.iter().flatten().filter_map(|cell| cell.best());
                told.for_each(|best| self.doubted.add(best));
                let text = |cell: &Option<&PeriodCell>| {
                    cell.map_or_else(String::new, |cell| cell.text(BestAs::Score))
                };
                let texts = cells.iter().map(text).zip(best);
                let all = several.then(|| (all.text(BestAs::Score), false));
                (name.clone(), texts.chain(all).collect())
            })
            .collect()
    }

    fn evenings(&self) -> String {
        let (first, last) = (self.dates.first(), self.dates.last());
        format!("evenings {first} to {last}")
    }

    /// What the table means; `mark` is how the best of a row is marked.
    fn notes(&self, mark: &str) -> impl Iterator<Item = String> {
        let best = self.starred.then(|| format!("; {mark} {BEST_OF_ROW}"));
        let blanks = self.blanks.then_some("; blank: outside these evenings");
        let key = format!(
            "Nights and the best score{}{}.",
            best.unwrap_or_default(),
            blanks.unwrap_or_default()
        );
        let months = months(self.dates.first(), self.dates.last(), &[]);
        let part = in_part(&months, "%b %Y", |day| day.day() == 1);
        [Some(key), part, self.doubted.note()].into_iter().flatten()
    }
}

/// The headings of the columns: the years, and the sum of several.
fn heads(site: &SiteMonthsOfYears) -> Vec<String> {
    let years = site.years();
    let all = (years.len() > 1).then(|| ALL.to_owned());
    years.iter().map(i32::to_string).chain(all).collect()
}

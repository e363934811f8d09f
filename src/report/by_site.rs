//! Nights counted at each of many sites: a row a site, in lines of records, as
//! a part of a JSON document, and as a table for people.

use super::{
    best_night::{BestNight, Doubted},
    csv,
    csv_layout::{Column, CsvLayout},
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    json, markdown,
    rows::site_nights::{ROW, SiteCounts, is_counted},
    summary::LONGEST_NAME,
    words::{night_words, plural},
    wrap::{shortened_apart, write_head, write_note},
};
use crate::scene::{Dates, LightKind, Site};
use serde_json::Value;
use std::io::{self, Write};

/// Whether lines of this layout tell something of the best window of a site.
pub fn tells_best(layout: &CsvLayout) -> bool {
    let mut tells = false;
    layout.each(ROW, |column| {
        tells |= matches!(column, Column::Field(field) if !is_counted(field));
    });
    tells
}

/// Writes the header line of the CSV.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_csv_header(out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
    csv::write_header(out, ROW, layout)
}

impl SiteCounts<'_> {
    /// Writes the line of CSV.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_csv(&self, out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
        csv::write_record(out, ROW, &self, self.site, layout)
    }

    /// Writes the object in a line.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_line(&self, out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
        json::write_line(out, ROW, &self, &self.site.own, layout)
    }

    /// Writes the site's part of the JSON document.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_block(&self, out: &mut impl Write) -> io::Result<()> {
        let site = json::site_object(self.site);
        // The document has the site's own fields in an object of their own.
        let counts = ROW.iter().skip(SITE_FIELDS);
        let counts = Value::Object(json::object(counts, &self));
        write!(
            out,
            "    {{\n      \"site\": {site},\n      \"counts\": {counts}\n    }}"
        )
    }
}

/// How many of the fields of a row tell which site it is.
pub const SITE_FIELDS: usize = 6;

/// What a page for people shows of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteRow {
    name: String,
    nights: usize,
    minutes: f64,
    kinds: Vec<(LightKind, usize)>,
    best: Option<(BestNight, LightKind)>,
}

impl SiteRow {
    /// Keeps what the page shows.
    pub fn of(site: &Site, counts: &SiteCounts<'_>) -> Self {
        let best = counts.window();
        Self {
            name: site.title().into_owned(),
            nights: counts.nights(),
            minutes: counts.minutes(),
            kinds: counts.kinds().to_vec(),
            best: best.map(|window| (BestNight::of(window), window.light)),
        }
    }

    /// Hours, nights of each of these kinds, evening of the best night, its kind
    /// if there are several, its score.
    fn texts(&self, kinds: &[LightKind]) -> Vec<String> {
        let dash = || "-".to_owned();
        let best = |text: &dyn Fn(&BestNight) -> String| {
            let best = self.best.as_ref();
            best.map_or_else(dash, |(best, _)| text(best))
        };
        let mut texts = vec![format!("{:.1}", self.minutes / 60.0)];
        texts.extend(kinds.iter().map(|kind| {
            let asked = self.kinds.iter().find(|(asked, _)| asked == kind);
            asked.map_or_else(dash, |(_, nights)| nights.to_string())
        }));
        texts.push(best(&|best| night_words(best.night)));
        if !kinds.is_empty() {
            let light = self.best.as_ref().map(|(_, light)| light.word().to_owned());
            texts.push(light.unwrap_or_else(dash));
        }
        texts.push(best(&BestNight::score_words));
        texts
    }
}

/// A page about any number of sites.
#[derive(Debug, Clone, Copy)]
pub struct SitesPage<'a> {
    /// The sites, in the order of the input.
    pub sites: &'a [SiteRow],
    /// The evenings asked about.
    pub dates: Dates,
    /// Columns of the terminal.
    pub width: usize,
}

impl SitesPage<'_> {
    /// Writes a row per site, with `*` at the most nights.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write) -> io::Result<()> {
        let sites = plural(self.sites.len() as i64, "site", "sites");
        let evenings = format!(", {}", self.evenings());
        write_head(out, &format!("Nights at {sites}"), &evenings, self.width)?;
        if self.sites.is_empty() {
            return Ok(());
        }
        let kinds = self.kinds();
        let heads = heads(&kinds);
        let mut grid = Grid::new(heads.iter().map(|(_, side)| *side).collect::<Vec<_>>());
        grid.heading(heads.iter().map(|(head, _)| head.clone()));
        let names: Vec<&str> = self.sites.iter().map(|site| site.name.as_str()).collect();
        let short = shortened_apart(&names, LONGEST_NAME);
        let most = self.most();
        for site in self.sites {
            let is_most = most == Some(site.nights);
            let style = if is_most { STRONG } else { PLAIN };
            let star = if is_most { "*" } else { "" };
            let name = short.get(site.name.as_str()).unwrap_or(&site.name);
            let first = [name.clone(), format!("{star}{}", site.nights)];
            let texts = first.into_iter().chain(site.texts(&kinds));
            grid.styled_row(texts.map(|text| (text, style)));
        }
        // Site, nights, best evening and score stay.
        let counts = HOURS + 1..HOURS + 1 + kinds.len();
        let light = (!kinds.is_empty()).then_some(counts.end + 1);
        let order = light.into_iter().chain([HOURS]).chain(counts.rev());
        grid.shed(self.width, &order.collect::<Vec<_>>());
        grid.write(out)?;
        if most.is_some() {
            writeln!(out, "{FAINT}* most nights.{FAINT:#}")?;
        }
        for note in self.notes() {
            write_note(out, &note, self.width)?;
        }
        Ok(())
    }

    /// Writes a Markdown table with a row per site, the most nights in bold.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_markdown(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "## Nights by site, {}\n", self.evenings())?;
        let (kinds, most) = (self.kinds(), self.most());
        let rows = self.sites.iter().map(|site| {
            let style = if most == Some(site.nights) {
                STRONG
            } else {
                PLAIN
            };
            let name = markdown::escaped(&site.name);
            let texts = std::iter::once(site.nights.to_string());
            let texts = texts.chain(site.texts(&kinds));
            let texts = texts.map(|text| style.markdown(&markdown::escaped(&text)));
            std::iter::once(name).chain(texts).collect()
        });
        markdown::write_table(out, &heads(&kinds), rows)?;
        let bold = most.map(|_| "Most nights in bold.".to_owned());
        for note in bold.into_iter().chain(self.notes()) {
            writeln!(out, "\n{}", markdown::escaped(&note))?;
        }
        Ok(())
    }

    /// The kinds of light asked for at one site or another; none if it is one
    /// kind at all of them.
    fn kinds(&self) -> Vec<LightKind> {
        let asked = self.sites.iter().flat_map(|site| &site.kinds);
        let asked: Vec<LightKind> = asked.map(|(kind, _)| *kind).collect();
        let mut kinds = LightKind::ALL.map(|(_, kind)| kind).to_vec();
        kinds.retain(|kind| asked.contains(kind));
        if kinds.len() < 2 {
            kinds.clear();
        }
        kinds
    }

    /// The most nights of a site, if there is something to choose from.
    fn most(&self) -> Option<usize> {
        let nights = || self.sites.iter().map(|site| site.nights);
        let most = nights().max()?;
        nights().any(|nights| nights < most).then_some(most)
    }

    fn evenings(&self) -> String {
        let (first, last) = (self.dates.first(), self.dates.last());
        format!("evenings {first} to {last}")
    }

    fn notes(&self) -> impl Iterator<Item = String> {
        let mut doubted = Doubted::default();
        let best = self.sites.iter().filter_map(|site| site.best.as_ref());
        best.for_each(|(best, _)| doubted.add(best));
        let counted = "A night counts once; hours are those of its windows.".to_owned();
        [Some(counted), doubted.note()].into_iter().flatten()
    }
}

/// The column of hours.
const HOURS: usize = 2;

/// The headings of a page where several kinds of light are asked for, and how
/// the columns are aligned.
fn heads(kinds: &[LightKind]) -> Vec<(String, Side)> {
    let head = |text: &str, side| (text.to_owned(), side);
    let mut heads = vec![
        head("site", Side::Left),
        head("nights", Side::Right),
        head("hours", Side::Right),
    ];
    heads.extend(kinds.iter().map(|kind| head(kind.word(), Side::Right)));
    heads.push(head("best evening", Side::Left));
    if !kinds.is_empty() {
        heads.push(head("light", Side::Left));
    }
    heads.push(head("score", Side::Right));
    heads
}

//! The table of a scan, for people.

use super::{
    grid::Grid,
    record_grid::{self, Column},
    row::{Apart, Common, Field, Importance, Shown},
    rows::{
        SCORE,
        window::{Record, SITE, Windows, fields_of},
    },
    window_key::ShownColumns,
    words::{
        NAMED_BY_EVENING, cloud_note, common_of, eclipse_phrase, haze_note, heading_for, is_marked,
        meter_note, near_town_ending, place_words, plural, range_words, shown_words, target_of,
        town_at_words,
    },
    wrap::{shortened_apart, write_head, write_note, write_wrapped},
};
use crate::{
    light::milky_way::WASHED_OUT_BELOW,
    scene::Site,
    search::{Caveats, Interval, Window},
};
use chrono::NaiveDate;
use std::io::{self, Write};

/// What the table shows of one site.
#[derive(Debug, Clone, Copy)]
pub struct SiteTable<'a> {
    /// The site.
    pub site: &'a Site,
    /// The windows, in the order shown.
    pub windows: &'a [&'a Window],
    /// How many windows there are in all.
    pub found: usize,
    /// How many evenings were searched.
    pub evenings: i64,
    /// The first and the last of them, if the table gives them.
    pub range: Option<[NaiveDate; 2]>,
    /// Columns of the terminal.
    pub width: usize,
    /// What the windows must be told apart by.
    pub apart: Apart,
}

/// The table of one ranking over several sites.
#[derive(Debug, Clone, Copy)]
pub struct RankingTable<'a> {
    /// Sites and their windows, in the order shown.
    pub rows: &'a [(&'a Site, &'a Window)],
    /// How many windows there are in all.
    pub found: usize,
    /// How many sites there are.
    pub sites: usize,
    /// How many evenings were searched.
    pub evenings: i64,
    /// The first and the last of them, if the table gives them.
    pub range: Option<[NaiveDate; 2]>,
    /// Columns of the terminal.
    pub width: usize,
    /// What the windows must be told apart by.
    pub apart: Apart,
}

impl SiteTable<'_> {
    /// Writes a heading for the site and one row per window; the columns shown.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<ShownColumns> {
        self.write_heading(out)?;
        if self.windows.is_empty() {
            return Ok(ShownColumns::default());
        }
        let rows: Vec<_> = self
            .windows
            .iter()
            .map(|window| (self.site, *window))
            .collect();
        write_rows(out, &rows, self.width, false, self.apart)
    }

    fn write_heading(&self, out: &mut impl Write) -> io::Result<()> {
        let site = self.site;
        let place = format!(
            "  {}, {}{}",
            place_words(site),
            site.zone.name(),
            near_town_ending(site)
        );
        write_head(out, &site.title(), &place, self.width)?;
        let shown = shown_words(self.windows.len(), self.found);
        let windows = plural(self.found as i64, "window", "windows");
        let evenings = plural(self.evenings, "evening", "evenings");
        let range = range_words(self.range);
        let found = format!("{windows} in {evenings}{range}{shown}");
        write_wrapped(out, "", &found, self.width)
    }
}

impl RankingTable<'_> {
    /// Writes a heading and one row per window, with the site's name last; the
    /// columns shown.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<ShownColumns> {
        let windows = plural(self.found as i64, "window", "windows");
        let evenings = plural(self.evenings, "evening", "evenings");
        let sites = plural(self.sites as i64, "site", "sites");
        let shown = shown_words(self.rows.len(), self.found);
        let range = range_words(self.range);
        let found = format!("{windows} at {sites} in {evenings}{range}{shown}");
        write_wrapped(out, "", &found, self.width)?;
        if self.rows.is_empty() {
            return Ok(ShownColumns::default());
        }
        write_rows(out, self.rows, self.width, true, self.apart)
    }
}

fn write_rows(
    out: &mut impl Write,
    rows: &[(&Site, &Window)],
    width: usize,
    named: bool,
    apart: Apart,
) -> io::Result<ShownColumns> {
    let doubts = rows
        .iter()
        .fold(Caveats::default(), |all, (_, window)| all.or(window.doubts));
    let windows = || rows.iter().map(|(_, window)| *window);
    let target = target_of(windows());
    let common = common_of(windows()).with(apart);
    let (columns, grid) = fitting_grid(rows, width, named, common, is_marked(doubts));
    grid.write(out)?;
    let past_midnight = rows.iter().any(|(site, window)| {
        window
            .intervals()
            .any(|stretch| ends_past_midnight(site, window.night, stretch))
    });
    if past_midnight {
        write_note(out, NAMED_BY_EVENING, width)?;
    }
    let rough = if doubts.sky_guessed {
        approximate(&columns)
    } else {
        Vec::new()
    };
    for note in [
        haze_note(doubts, target),
        cloud_note(doubts),
        meter_note(&rough),
    ]
    .into_iter()
    .flatten()
    {
        write_note(out, &note, width)?;
    }
    let washed_out = rows.iter().any(|(_, window)| {
        let contrast = window.best.light.milky_way_contrast;
        contrast.is_some_and(|contrast| contrast < WASHED_OUT_BELOW)
    });
    if washed_out {
        let note = format!("Milky Way below {WASHED_OUT_BELOW:.2}: washed out.");
        write_note(out, &note, width)?;
    }
    for (site, window) in rows {
        let record = Record { site, window };
        if record.in_town_glow() == Some(true) {
            let town = record.town_under_target();
            let line = format!(
                "{} {}: the {target} stands in the glow of {}",
                site.title(),
                window.night,
                town.map_or_else(|| "a town".to_owned(), |dome| town_at_words(site, dome))
            );
            write_wrapped(out, "", &line, width)?;
        }
        if let Some(kind) = window.eclipse {
            let line = format!(
                "{} {}: {}",
                site.title(),
                window.night,
                eclipse_phrase(kind)
            );
            write_wrapped(out, "", &line, width)?;
        }
    }
    Ok(ShownColumns::of(&columns, common))
}

/// The grid that fits, with its columns.
fn fitting_grid(
    rows: &[(&Site, &Window)],
    width: usize,
    named: bool,
    common: Common,
    marks: bool,
) -> (Vec<Column<Windows>>, Grid) {
    let target = target_of(rows.iter().map(|(_, window)| *window));
    let records: Vec<Record<'_>> = rows
        .iter()
        .map(|(site, window)| Record { site, window })
        .collect();
    let heading = |title: &str| heading_for(title, target);
    let titles: Vec<_> = rows.iter().map(|(site, _)| site.title()).collect();
    let names: Vec<&str> = titles.iter().map(|title| &**title).collect();
    let grid_of = |columns: &[Column<Windows>], longest: usize| {
        let short = shortened_apart(&names, longest);
        let dress = |field: &Field<Windows>, shown: &Shown<Windows>, record: &Record<'_>, text| {
            let mut text: String = text;
            if field.name == SCORE && marks {
                text.push(if is_marked(record.window.doubts) {
                    '~'
                } else {
                    ' '
                });
            }
            if field.name == SITE
                && let Some(name) = short.get(&*record.site.title())
            {
                text.clone_from(name);
            }
            (text, shown.style)
        };
        record_grid::grid(columns, &records, common.is_of_blends(), heading, dress)
    };
    let mut columns = record_grid::columns(fields_of(&records), Importance::Further, common);
    columns.retain(|(field, _)| named || field.name != SITE);
    // Whole names matter more than columns that need more than 80 columns.
    let (few, grid) = record_grid::fitting(columns.clone(), width, |c| grid_of(c, usize::MAX));
    let usual = |of: &[Column<Windows>]| {
        let usual = of.iter().filter(|(_, s)| s.importance <= Importance::Usual);
        usual.count()
    };
    if usual(&few) < usual(&columns) {
        record_grid::fitting(columns, width, |c| grid_of(c, LONGEST_NAME))
    } else {
        (few, grid)
    }
}

/// The names of the columns that are approximate without a meter reading.
fn approximate(columns: &[Column<Windows>]) -> Vec<&'static str> {
    let rough = ["Milky Way", "kept", "stops", "mag"].into_iter();
    let is_shown = |name: &str| {
        let shows = |(_, c): &Column<Windows>| {
            c.name == name || c.over.ends_with(name) || format!("{} {}", c.over, c.name) == name
        };
        columns.iter().any(shows)
    };
    rough.filter(|name| is_shown(name)).collect()
}

/// Names are cut to this many characters if other columns need the room.
const LONGEST_NAME: usize = 22;

/// Whether a period of a night ends on the morning after the evening that names
/// the night.
pub(super) fn ends_past_midnight(site: &Site, night: NaiveDate, period: Interval) -> bool {
    site.zone.local_date(period.last()) != night
}

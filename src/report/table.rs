//! The table of a scan, for people.

use super::{
    grid::{Emphasis, FAINT, Grid, PLAIN, STRONG, Side},
    words::{
        NAMED_BY_EVENING, clock, clocks, eclipse_word, haze_note, heading_for, is_marked,
        light_cell, light_letters, meter_note, plural, range_words, shown_words, stops, target_of,
    },
};
use crate::{
    Figure,
    scene::{Site, offset_text},
    search::{Doubts, Interval, Window},
};
use chrono::NaiveDate;
use std::io::{self, Write};

/// What the table tells of one site.
#[derive(Debug, Clone, Copy)]
pub struct SiteTable<'a> {
    /// The site.
    pub site: &'a Site,
    /// The windows shown, in the order shown.
    pub windows: &'a [&'a Window],
    /// How many windows there are.
    pub found: usize,
    /// Evenings looked at.
    pub evenings: i64,
    /// The first and the last of them, where they are told.
    pub range: Option<[NaiveDate; 2]>,
    /// Columns of the terminal.
    pub width: usize,
}

/// The table of one ranking over several sites.
#[derive(Debug, Clone, Copy)]
pub struct RankingTable<'a> {
    /// Sites and their windows, in the order shown.
    pub rows: &'a [(&'a Site, &'a Window)],
    /// How many windows there are.
    pub found: usize,
    /// How many sites.
    pub sites: usize,
    /// Evenings looked at.
    pub evenings: i64,
    /// The first and the last of them, where they are told.
    pub range: Option<[NaiveDate; 2]>,
    /// Columns of the terminal.
    pub width: usize,
}

/// From this width on there is room for what the narrow table leaves out.
const WIDE: usize = 112;
/// How many columns that is at most.
const FURTHER_COLUMNS: usize = 6;

impl SiteTable<'_> {
    /// Writes a heading for the site and a row a window.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        self.write_heading(out)?;
        if self.windows.is_empty() {
            return Ok(());
        }
        let rows: Vec<_> = self
            .windows
            .iter()
            .map(|window| (self.site, *window))
            .collect();
        write_rows(out, &rows, self.width, false)
    }

    fn write_heading(&self, out: &mut impl Write) -> io::Result<()> {
        let site = self.site;
        write!(out, "{STRONG}{}{STRONG:#}", site.name)?;
        writeln!(
            out,
            "{FAINT}  {:.4} {:.4}, {:.0} m, {}{FAINT:#}",
            Figure(site.latitude_deg),
            Figure(site.longitude_deg),
            Figure(site.elevation_m),
            site.zone.name()
        )?;
        let shown = shown_words(self.windows.len(), self.found);
        let windows = plural(self.found as i64, "window", "windows");
        let evenings = plural(self.evenings, "evening", "evenings");
        let range = range_words(self.range);
        writeln!(out, "{windows} in {evenings}{range}{shown}")
    }
}

impl RankingTable<'_> {
    /// Writes a heading and a row a window, the site's name last.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let windows = plural(self.found as i64, "window", "windows");
        let evenings = plural(self.evenings, "evening", "evenings");
        let sites = plural(self.sites as i64, "site", "sites");
        let shown = shown_words(self.rows.len(), self.found);
        let range = range_words(self.range);
        writeln!(out, "{windows} at {sites} in {evenings}{range}{shown}")?;
        if self.rows.is_empty() {
            return Ok(());
        }
        write_rows(out, self.rows, self.width, true)
    }
}

fn write_rows(
    out: &mut impl Write,
    rows: &[(&Site, &Window)],
    width: usize,
    named: bool,
) -> io::Result<()> {
    let blend = rows.iter().any(|(_, window)| window.land.is_some());
    let doubts = rows
        .iter()
        .fold(Doubts::default(), |all, (_, window)| all.or(window.doubts));
    let target = target_of(rows.iter().map(|(_, window)| *window));
    let (shown, grid) = fitting_grid(rows, width, target, |further| {
        columns(further, blend, named, is_marked(doubts))
    });
    grid.write(out)?;
    let past_midnight = rows.iter().any(|(site, window)| {
        window
            .stretches()
            .any(|stretch| ends_past_midnight(site, window.night, stretch))
    });
    if past_midnight {
        writeln!(out, "{FAINT}{NAMED_BY_EVENING}{FAINT:#}")?;
    }
    let rough = if doubts.sky_guessed { &shown[..] } else { &[] };
    for note in [haze_note(doubts, target), meter_note(rough)]
        .into_iter()
        .flatten()
    {
        writeln!(out, "{FAINT}{note}{FAINT:#}")?;
    }
    for (site, window) in rows {
        if let Some(kind) = window.eclipse {
            let word = eclipse_word(kind);
            writeln!(
                out,
                "{} {}: {word} lunar eclipse in the window",
                site.name, window.night
            )?;
        }
    }
    Ok(())
}

/// The grid of what fits. How wide the columns get is known only with the
/// texts in them (an offset of half an hour, a blend's second spell), so that
/// as many of the further columns stay as there is room for. With it, the names
/// of those columns shown that are rough where no meter was read.
fn fitting_grid(
    rows: &[(&Site, &Window)],
    width: usize,
    target: &str,
    columns: impl Fn(Option<usize>) -> Vec<TableColumn>,
) -> (Vec<&'static str>, Grid) {
    let grid = |further| {
        let columns = columns(further);
        let mut grid = Grid::new(columns.iter().map(|c| c.side).collect::<Vec<_>>());
        // A longer name takes a blank of the gap before it.
        let gap = |c: &TableColumn| match heading_for(c.over, target).len() > c.over.len() {
            true => c.gap.min(1),
            false => c.gap,
        };
        grid.gaps(columns.iter().map(gap).collect::<Vec<_>>());
        grid.heading(columns.iter().map(|c| heading_for(c.over, target)));
        grid.heading(columns.iter().map(|c| c.name));
        for (site, window) in rows {
            grid.styled_row(columns.iter().map(|c| ((c.text)(site, window), c.style)));
        }
        let rough = ["kept", "stops", "mag"].into_iter();
        let is_shown = |name: &str| columns.iter().any(|c| c.over == name || c.name == name);
        (rough.filter(|name| is_shown(name)).collect(), grid)
    };
    let most = if width >= WIDE { FURTHER_COLUMNS } else { 0 };
    (0..=most)
        .rev()
        .map(|further| grid(Some(further)))
        .find(|(_, wide)| wide.width() <= width)
        .unwrap_or_else(|| grid((!tells_offsets(rows)).then_some(0)))
}

/// Whether a window begins or ends in an hour that the clocks show twice, so
/// that its times take more room.
fn tells_offsets(rows: &[(&Site, &Window)]) -> bool {
    rows.iter().any(|(site, window)| {
        window
            .stretches()
            .any(|interval| clocks(site, interval).contains(' '))
    })
}

/// Whether a stretch of a night ends on the morning after the evening that
/// names the night.
pub(super) fn ends_past_midnight(site: &Site, night: NaiveDate, spell: Interval) -> bool {
    site.zone.local_date(spell.last()) != night
}

struct TableColumn {
    /// Blanks before it: one within a group, two between groups.
    gap: usize,
    over: &'static str,
    name: &'static str,
    side: Side,
    style: Emphasis,
    text: fn(&Site, &Window) -> String,
}

/// A name cut to `most` characters.
pub(super) fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_string();
    }
    let kept: String = name.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// The columns of the table, `further` of those that the narrow one leaves out
/// among them; `None` is the shortest, for names of sites and for times that
/// need their offset.
fn columns(further: Option<usize>, blend: bool, named: bool, marks: bool) -> Vec<TableColumn> {
    use Side::{Left, Right};
    let column = |gap, over, name, side, style, text| TableColumn {
        gap,
        over,
        name,
        side,
        style,
        text,
    };
    // A ranking over sites on a narrow terminal gives room to their names.
    let short = further.is_none() || named && further == Some(0);
    let mut columns = vec![
        column(0, "", "#", Right, FAINT, |_, w| w.rank.to_string()),
        column(
            1,
            "",
            "score",
            Right,
            STRONG,
            if marks {
                |_, w| {
                    format!(
                        "{:.0}{}",
                        w.score,
                        if is_marked(w.doubts) { "~" } else { " " }
                    )
                }
            } else {
                |_, w| format!("{:.0}", w.score)
            },
        ),
        column(1, "", "evening", Left, PLAIN, |_, w| {
            w.night.format("%a %Y-%m-%d").to_string()
        }),
        column(
            1,
            "",
            if blend { "dark" } else { "window" },
            Left,
            PLAIN,
            |s, w| clocks(s, w.interval),
        ),
    ];
    if !short {
        columns.push(column(1, "", "best", Left, STRONG, |s, w| {
            clock(s, w.best.moment())
        }));
    }
    if blend {
        columns.push(column(1, "", "moonlit", Left, PLAIN, |s, w| {
            w.land
                .as_ref()
                .map_or_else(String::new, |land| clocks(s, land.interval))
        }));
    }
    columns.extend([
        column(2, "Moon", "lit", Right, PLAIN, |_, w| {
            format!("{:.0}%", 100.0 * w.lit().sky.phase.illuminated_fraction)
        }),
        column(1, "", "up°", Right, PLAIN, |_, w| {
            degrees(w.lit().sky.moon.apparent_altitude_deg)
        }),
        column(1, "light", "from", Right, PLAIN, |_, w| {
            light_cell(w.lit(), light_letters)
        }),
        column(2, "core", "up°", Right, PLAIN, |_, w| {
            degrees(w.best.sky.target.apparent_altitude_deg)
        }),
    ]);
    if !short {
        columns.push(column(1, "", "az°", Right, PLAIN, |_, w| {
            degrees(w.best.sky.target.azimuth_deg)
        }));
    }
    if !blend && !short {
        columns.push(column(2, "kept", "", Right, PLAIN, |_, w| {
            format!("{:.0}%", 100.0 * w.best.light.contrast_kept)
        }));
    }
    if !blend {
        columns.push(column(1, "land", "stops", Right, PLAIN, |_, w| {
            stops(w.best.light.balance_stops)
        }));
    }
    let more = [
        column(2, "", "min", Right, PLAIN, |_, w| {
            format!("{:.0}", w.interval.minutes())
        }),
        column(1, "moonlight", "mlx", Right, PLAIN, |_, w| {
            format!("{:.1}", 1000.0 * w.lit().light.moonlight_lux)
        }),
        column(1, "sky", "mag", Right, PLAIN, |_, w| {
            format!("{:.1}", w.best.light.sky_mag_arcsec2)
        }),
        column(2, "arch", "top°", Right, PLAIN, |_, w| {
            let arch = w.best.sky.arch;
            arch.map_or_else(String::new, |arch| degrees(arch.top_altitude_deg))
        }),
        column(1, "shadow", "x height", Right, PLAIN, |_, w| {
            w.lit()
                .light
                .shadow_length_per_height
                .map_or_else(|| "-".to_string(), |length| format!("{length:.1}"))
        }),
        column(2, "", "UTC", Left, FAINT, |s, w| {
            offset_text(s.zone.offset_seconds_at(w.best.moment()))
        }),
    ];
    columns.extend(more.into_iter().take(further.unwrap_or(0)));
    if named {
        columns.push(column(2, "", "site", Left, PLAIN, |s, _| {
            shortened(&s.name, 22)
        }));
    }
    columns
}

/// Whole degrees under a heading that says so.
fn degrees(value: f64) -> String {
    format!("{:.0}", Figure(value.round()))
}

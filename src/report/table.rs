//! The table of a scan, for people.

use super::{
    columns::eclipse_word,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
};
use crate::{
    Figure,
    ephemeris::Moment,
    plan::{clock_text, hours_text},
    rule::Instant,
    scene::{Site, offset_text},
    search::{Doubts, Interval, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG, Window},
};
use anstyle::Style;
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

/// `, 2027-05-01 to 2027-08-31` where that is told.
fn range_words(range: Option<[NaiveDate; 2]>) -> String {
    range.map_or_else(String::new, |[first, last]| format!(", {first} to {last}"))
}

/// `, 10 shown` where that is a part of what was found.
pub(super) fn shown_words(shown: usize, found: usize) -> String {
    match shown {
        0 => String::new(),
        shown if shown == found => String::new(),
        shown => format!(", {shown} shown"),
    }
}

fn write_rows(
    out: &mut impl Write,
    rows: &[(&Site, &Window)],
    width: usize,
    named: bool,
) -> io::Result<()> {
    let blend = rows.iter().any(|(_, window)| window.land.is_some());
    let marks = rows.iter().any(|(_, window)| is_marked(window));
    fitting_grid(rows, width, |further| columns(further, blend, named, marks)).write(out)?;
    let spells = |window: &Window| {
        let land = window.land.as_ref().map(|land| land.interval);
        [Some(window.interval), land]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
    };
    let past_midnight = rows.iter().any(|(site, window)| {
        spells(window)
            .iter()
            .any(|spell| ends_past_midnight(site, window.night, *spell))
    });
    if past_midnight {
        writeln!(out, "{FAINT}{NAMED_BY_EVENING}{FAINT:#}")?;
    }
    write_doubts(out, rows)?;
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
/// as many of the further columns stay as there is room for.
fn fitting_grid(
    rows: &[(&Site, &Window)],
    width: usize,
    columns: impl Fn(Option<usize>) -> Vec<TableColumn>,
) -> Grid {
    let grid = |further| {
        let columns = columns(further);
        let mut grid = Grid::new(columns.iter().map(|c| c.side).collect::<Vec<_>>());
        grid.gaps(columns.iter().map(|c| c.gap).collect::<Vec<_>>());
        grid.heading(columns.iter().map(|c| c.over));
        grid.heading(columns.iter().map(|c| c.name));
        for (site, window) in rows {
            grid.styled_row(columns.iter().map(|c| ((c.text)(site, window), c.style)));
        }
        grid
    };
    let most = if width >= WIDE { FURTHER_COLUMNS } else { 0 };
    (0..=most)
        .rev()
        .map(|further| grid(Some(further)))
        .find(|wide| wide.width() <= width)
        .unwrap_or_else(|| grid((!tells_offsets(rows)).then_some(0)))
}

/// Whether a window begins or ends in an hour that the clocks show twice, so
/// that its times take more room.
fn tells_offsets(rows: &[(&Site, &Window)]) -> bool {
    rows.iter().any(|(site, window)| {
        let moonlit = window.land.as_ref().map(|land| land.interval);
        [Some(window.interval), moonlit]
            .into_iter()
            .flatten()
            .any(|interval| clocks(site, interval).contains(' '))
    })
}

/// How a table dates its nights; said where it could send somebody out a night
/// too early.
pub(super) const NAMED_BY_EVENING: &str =
    "Named by the evening: a time after midnight is the next morning's.";

/// Whether a stretch of a night ends on the morning after the evening that
/// names the night.
pub(super) fn ends_past_midnight(site: &Site, night: NaiveDate, spell: Interval) -> bool {
    site.zone.local_date(spell.last()) != night
}

/// `1 night`, `2 nights`.
pub fn plural(count: i64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

struct TableColumn {
    /// Blanks before it: one within a group, two between groups.
    gap: usize,
    over: &'static str,
    name: &'static str,
    side: Side,
    style: Style,
    text: fn(&Site, &Window) -> String,
}

/// Local wall-clock time, rounded to the minute (see [`clock_text`]).
pub fn clock(site: &Site, moment: Moment) -> String {
    clock_text(site.zone, moment, false)
}

/// A stretch of time on the local wall clock (see [`hours_text`]).
pub(super) fn clocks(site: &Site, interval: Interval) -> String {
    hours_text(site.zone, interval, false)
}

/// The light as a photographer says it: its angle and the side it comes from.
pub fn light_words(signed_angle_deg: f64) -> String {
    let side = if signed_angle_deg < 0.0 {
        "left"
    } else {
        "right"
    };
    format!("{:.0}° {side}", signed_angle_deg.abs())
}

/// Stops with their sign.
pub fn stops(value: f64) -> String {
    format!("{:+.1}", Figure(value))
}

/// A name cut to `most` characters.
pub(super) fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_string();
    }
    let kept: String = name.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// The instant that shows the land: a blend's moonlit spell has its own.
fn moonlit(window: &Window) -> &Instant {
    window.land.as_ref().map_or(&window.best, |land| &land.best)
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
                |_, w| format!("{:.0}{}", w.score, if is_marked(w) { "~" } else { " " })
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
            format!("{:.0}%", 100.0 * moonlit(w).sky.phase.illuminated_fraction)
        }),
        column(1, "", "up°", Right, PLAIN, |_, w| {
            degrees(moonlit(w).sky.moon.apparent_altitude_deg)
        }),
        column(1, "light", "from", Right, PLAIN, |_, w| {
            let instant = moonlit(w);
            if instant.light.beam_lux > 0.0 {
                let angle = instant.signed_light_angle_deg();
                let side = if angle < 0.0 { "L" } else { "R" };
                format!("{:.0}°{side}", angle.abs())
            } else {
                "-".to_string()
            }
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
            format!("{:.1}", 1000.0 * moonlit(w).light.moonlight_lux)
        }),
        column(1, "sky", "mag", Right, PLAIN, |_, w| {
            format!("{:.1}", w.best.light.sky_mag_arcsec2)
        }),
        column(2, "arch", "top°", Right, PLAIN, |_, w| {
            let arch = w.best.sky.arch;
            arch.map_or_else(String::new, |arch| degrees(arch.top_altitude_deg))
        }),
        column(1, "shadow", "x height", Right, PLAIN, |_, w| {
            moonlit(w)
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

/// Whether a window's row carries the mark of what is doubtful about it alone.
fn is_marked(window: &Window) -> bool {
    window.doubts.moon_near_horizon || window.doubts.target_low
}

/// Tells what the marks mean and what else is doubtful.
fn write_doubts(out: &mut impl Write, rows: &[(&Site, &Window)]) -> io::Result<()> {
    let any = |doubt: fn(Doubts) -> bool| rows.iter().any(|(_, window)| doubt(window.doubts));
    let moon = format!("Moon within {MOON_NEAR_HORIZON_DEG:.0}° of the horizon");
    let core = format!("core under {TARGET_LOW_DEG:.0}°");
    let mark = match (
        any(|doubts| doubts.moon_near_horizon),
        any(|doubts| doubts.target_low),
    ) {
        (false, false) => None,
        (true, false) => Some(moon),
        (false, true) => Some(core),
        (true, true) => Some(format!("{moon} or {core}")),
    };
    if let Some(mark) = mark {
        writeln!(out, "{FAINT}~ {mark} at some time: haze decides.{FAINT:#}")?;
    }
    if any(|doubts| doubts.sky_guessed) {
        writeln!(
            out,
            "{FAINT}Sky brightness is no meter reading, so kept and stops are rough.{FAINT:#}"
        )?;
    }
    Ok(())
}

/// Whole degrees under a heading that says so.
fn degrees(value: f64) -> String {
    format!("{:.0}", Figure(value.round()))
}

//! The table of a scan, for people.

use super::{
    columns::eclipse_word,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
};
use crate::{
    ephemeris::Moment,
    scan::Window,
    scene::{Site, offset_text},
};
use anstyle::Style;
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
    /// Columns of the terminal.
    pub width: usize,
}

/// From this width on there is room for what the narrow table leaves out.
const WIDE: usize = 112;

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
            site.latitude_deg,
            site.longitude_deg,
            site.elevation_m,
            site.zone.name()
        )?;
        let shown = match self.windows.len() {
            0 => String::new(),
            shown if shown == self.found => String::new(),
            shown => format!(", {shown} shown"),
        };
        let windows = plural(self.found as i64, "window", "windows");
        let evenings = plural(self.evenings, "evening", "evenings");
        writeln!(out, "{windows} in {evenings}{shown}")
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
        writeln!(out, "{windows} at {sites} in {evenings}")?;
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
    let mut columns = columns(width >= WIDE, blend);
    if named {
        columns.push(TableColumn {
            over: "",
            name: "site",
            side: Side::Left,
            style: PLAIN,
            text: |site, _| site.name.clone(),
        });
    }
    let mut grid = Grid::new(columns.iter().map(|c| c.side).collect::<Vec<_>>());
    grid.heading(columns.iter().map(|c| c.over));
    grid.heading(columns.iter().map(|c| c.name));
    for (site, window) in rows {
        grid.styled_row(columns.iter().map(|c| ((c.text)(site, window), c.style)));
    }
    grid.write(out)?;
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

/// `1 night`, `2 nights`.
pub fn plural(count: i64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

struct TableColumn {
    over: &'static str,
    name: &'static str,
    side: Side,
    style: Style,
    text: fn(&Site, &Window) -> String,
}

/// Local wall-clock time, rounded to the minute.
pub fn clock(site: &Site, moment: Moment) -> String {
    let rounded = Moment::from_seconds((moment.seconds() / 60.0).round() * 60.0);
    site.zone.local(rounded).format("%H:%M").to_string()
}

fn degrees(value: f64) -> String {
    format!("{value:.0}°")
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
    let value = if value.abs() < 0.05 { 0.0 } else { value };
    format!("{value:+.1}")
}

fn columns(wide: bool, blend: bool) -> Vec<TableColumn> {
    use Side::{Left, Right};
    let column = |over, name, side, style, text| TableColumn {
        over,
        name,
        side,
        style,
        text,
    };
    let mut columns = vec![
        column("", "#", Right, FAINT, |_, w| w.rank.to_string()),
        column("", "score", Right, STRONG, |_, w| format!("{:.0}", w.score)),
        column("", "night", Left, PLAIN, |_, w| {
            w.night.format("%a %Y-%m-%d").to_string()
        }),
        column(
            "",
            if blend { "dark" } else { "window" },
            Left,
            PLAIN,
            |s, w| {
                let (first, last) = (w.interval.first(), w.interval.last());
                format!("{}-{}", clock(s, first), clock(s, last))
            },
        ),
        column("", "best", Left, STRONG, |s, w| clock(s, w.best.moment())),
    ];
    if blend {
        columns.push(column("", "moonlit land", Left, PLAIN, |s, w| {
            w.land.as_ref().map_or_else(String::new, |land| {
                let (first, last) = (land.interval.first(), land.interval.last());
                format!("{}-{}", clock(s, first), clock(s, last))
            })
        }));
    }
    columns.extend([
        column("Moon", "lit", Right, PLAIN, |_, w| {
            let sky = &w.land.as_ref().map_or(&w.best, |land| &land.best).sky;
            format!("{:.0}%", 100.0 * sky.phase.illuminated_fraction)
        }),
        column("", "up", Right, PLAIN, |_, w| {
            let sky = &w.land.as_ref().map_or(&w.best, |land| &land.best).sky;
            degrees(sky.moon.apparent_altitude_deg)
        }),
        column("light", "from", Right, PLAIN, |_, w| {
            let instant = w.land.as_ref().map_or(&w.best, |land| &land.best);
            if instant.sky.moon.apparent_altitude_deg > -0.3 {
                light_words(instant.signed_light_angle_deg())
            } else {
                "-".to_string()
            }
        }),
        column("core", "up", Right, PLAIN, |_, w| {
            degrees(w.best.sky.target.apparent_altitude_deg)
        }),
        column("", "azim", Right, PLAIN, |_, w| {
            degrees(w.best.sky.target.azimuth_deg)
        }),
        column("kept", "", Right, PLAIN, |_, w| {
            format!("{:.0}%", 100.0 * w.best.light.contrast_kept)
        }),
    ]);
    if !blend {
        columns.push(column("land", "stops", Right, PLAIN, |_, w| {
            stops(w.best.light.balance_stops)
        }));
    }
    if wide {
        columns.extend([
            column("window", "min", Right, PLAIN, |_, w| {
                format!("{:.0}", w.interval.minutes())
            }),
            column("moonlight", "mlx", Right, PLAIN, |_, w| {
                let light = &w.land.as_ref().map_or(&w.best, |land| &land.best).light;
                format!("{:.1}", 1000.0 * light.moonlight_lux)
            }),
            column("sky", "mag", Right, PLAIN, |_, w| {
                format!("{:.1}", w.best.light.sky_mag_arcsec2)
            }),
            column("arch", "top", Right, PLAIN, |_, w| {
                let arch = w.best.sky.arch;
                arch.map_or_else(String::new, |arch| degrees(arch.top_altitude_deg))
            }),
        ]);
        if !blend {
            columns.push(column("shadow", "x height", Right, PLAIN, |_, w| {
                w.best
                    .light
                    .shadow_length_per_height
                    .map_or_else(|| "-".to_string(), |length| format!("{length:.1}"))
            }));
        }
        columns.push(column("", "UTC", Left, FAINT, |s, w| {
            offset_text(s.zone.offset_seconds_at(w.best.moment()))
        }));
    }
    columns
}

//! Nights by the bearing of a subject, as a table and in JSON.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    json::list,
    rows::what_if::SECTOR,
    words::{night_words, plural},
};
use crate::{scene::Site, why::BearingSector};
use serde_json::Value;
use std::io::{self, Write};

/// Writes a row a sector, the one with most nights marked.
///
/// # Errors
///
/// What `out` says.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    sectors: &[BearingSector],
    evenings: i64,
) -> io::Result<()> {
    writeln!(
        out,
        "{STRONG}{}{STRONG:#}: nights by the bearing of the subject, in {}",
        site.name,
        plural(evenings, "evening", "evenings")
    )?;
    let best = best(sectors);
    let mut grid = Grid::new([
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Left,
    ]);
    grid.heading(["", "best", "", "light", "light", "best", ""]);
    grid.heading([
        "sector", "bearing", "nights", "left", "right", "score", "on",
    ]);
    for sector in sectors {
        let turn = &sector.best;
        let marked = best.is_some_and(|best| best.best.bearing_deg == turn.bearing_deg);
        let style = if marked { STRONG } else { PLAIN };
        let mark = if marked { "*" } else { "" };
        let some = turn.nights > 0;
        let when = |text: String| if some { text } else { String::new() };
        grid.styled_row([
            (
                format!("{:03.0}-{:03.0}", sector.from_deg, sector.to_deg),
                style,
            ),
            (when(format!("{:.0}", turn.bearing_deg)), style),
            (format!("{mark}{}", turn.nights), style),
            (when(turn.nights_lit_from_left.to_string()), PLAIN),
            (
                when((turn.nights - turn.nights_lit_from_left.min(turn.nights)).to_string()),
                PLAIN,
            ),
            (
                turn.best_score
                    .map_or_else(String::new, |score| format!("{score:.0}")),
                PLAIN,
            ),
            (turn.best_night.map_or_else(String::new, night_words), PLAIN),
        ]);
    }
    grid.write(out)?;
    match best {
        Some(best) => writeln!(
            out,
            "Most nights with the subject at {:.0}°: --facing {:.0} --target-offset -60..60 finds {}.",
            best.best.bearing_deg,
            best.best.bearing_deg,
            plural(best.best.nights as i64, "night", "nights")
        ),
        None => writeln!(out, "No night whichever way the frame is turned."),
    }
}

/// The sector with most nights; of equals the better score.
fn best(sectors: &[BearingSector]) -> Option<&BearingSector> {
    sectors
        .iter()
        .filter(|sector| sector.best.nights > 0)
        .max_by(|a, b| {
            let score = |sector: &BearingSector| sector.best.best_score.unwrap_or(0.0);
            a.best
                .nights
                .cmp(&b.best.nights)
                .then(score(a).total_cmp(&score(b)))
        })
}

/// The sectors as an array.
pub fn array(sectors: &[BearingSector]) -> Value {
    sectors.iter().map(|sector| list(SECTOR, &sector)).collect()
}

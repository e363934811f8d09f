//! Nights by the bearing of a subject, as a table and in JSON.

use super::{
    grid::{PLAIN, STRONG},
    json::list,
    record_grid::{self, Column},
    row::{Common, Field, Importance, Shown},
    rows::what_if::SECTOR,
    words::plural,
    wrap::{write_head, write_wrapped},
};
use crate::{scene::Site, why::BearingSector};
use serde_json::Value;
use std::io::{self, Write};

/// Writes one row per sector and marks the one with most nights.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    sectors: &[BearingSector],
    evenings: i64,
    width: usize,
) -> io::Result<()> {
    let evenings = plural(evenings, "evening", "evenings");
    let what = format!(": nights by the bearing of the subject, in {evenings}");
    write_head(out, &site.title(), &what, width)?;
    let best = best(sectors);
    let marked = |sector: &BearingSector| {
        best.is_some_and(|best| best.best.bearing_deg == sector.best.bearing_deg)
    };
    let dress = |field: &Field<BearingSector>,
                 shown: &Shown<BearingSector>,
                 sector: &&BearingSector,
                 text: String| {
        // Only the best sector is marked, and there only bearing and count.
        if !marked(sector) || shown.place > 2 {
            return (text, PLAIN);
        }
        let mark = if field.name == "nights" { "*" } else { "" };
        (format!("{mark}{text}"), STRONG)
    };
    let columns = record_grid::columns(SECTOR, Importance::Further, Common::default());
    let records: Vec<&BearingSector> = sectors.iter().collect();
    let grid =
        |columns: &[Column<_>]| record_grid::grid(columns, &records, false, str::to_owned, dress);
    record_grid::fitting(columns, width, grid).1.write(out)?;
    let line = match best {
        Some(best) => format!(
            "Most nights with the subject at {:.0}°: --facing {:.0} --target-offset -60..60 finds {}.",
            best.best.bearing_deg,
            best.best.bearing_deg,
            plural(best.best.nights as i64, "night", "nights")
        ),
        None => "No night whichever way the frame is turned.".to_owned(),
    };
    write_wrapped(out, "", &line, width)
}

/// The sector with most nights; among equals the one with the better score.
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

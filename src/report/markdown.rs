//! Markdown with pipe tables, for notes and wikis.

use super::{
    grid::{Emphasis, Side},
    night::{in_window, place_texts},
    record_grid,
    row::{Apart, Importance, Room, RowKind, Shown, shown},
    rows::{
        night::{NightRow, step_fields},
        window::{Record, SITE, fields_of},
    },
    words::{
        advice_sentence, caution_sentence, clock_text, common_of, happening_words, heading_for,
        heading_lines, near_town_ending, night_common, place_words, plural, shown_words, sun_words,
        target_of,
    },
};
use crate::{
    plan::{Caution, NightPlan},
    scene::Site,
    search::Window,
};
use std::io::{self, Write};

/// The text escaped, so that it cannot break a table or be read as markup.
pub(super) fn escaped(text: &str) -> String {
    let mut clean = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\\' | '|' | '*' | '_' | '`' | '[' | ']' | '<' | '>' | '#' | '~' => {
                clean.push('\\');
                clean.push(character);
            }
            c if c.is_control() => clean.push(' '),
            c => clean.push(c),
        }
    }
    clean
}

/// Writes a pipe table.
pub(super) fn write_table(
    out: &mut impl Write,
    heads: &[(String, Side)],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> io::Result<()> {
    let names: Vec<String> = heads.iter().map(|head| head.0.clone()).collect();
    let rules = heads.iter().map(|(_, side)| match side {
        Side::Left => "---".to_string(),
        Side::Right => "---:".to_string(),
    });
    write_rows(out, [names, rules.collect()])?;
    write_rows(out, rows)
}

/// Writes rows of a pipe table.
pub(super) fn write_rows(
    out: &mut impl Write,
    rows: impl IntoIterator<Item = Vec<String>>,
) -> io::Result<()> {
    for row in rows {
        writeln!(out, "| {} |", row.join(" | "))?;
    }
    Ok(())
}

/// Writes a pipe table of the fields that a page shows, one row per record.
fn write_records<K: RowKind>(
    out: &mut impl Write,
    shown: &[&Shown<K>],
    records: &[K::Of<'_>],
    blend: bool,
    target: &str,
) -> io::Result<()> {
    let heads: Vec<(String, Side)> = shown
        .iter()
        .map(|shown| {
            let title = shown.heading(shown.title, blend);
            (heading_for(title, target), shown.side)
        })
        .collect();
    let lines = records.iter().map(|record| {
        let texts = shown.iter().map(|shown| (shown.text)(record, Room::Page));
        texts.map(|text| escaped(&text)).collect()
    });
    write_table(out, &heads, lines)
}

/// Writes the windows of one site under a heading; `found` counts all of them,
/// shown or not.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_site(
    out: &mut impl Write,
    site: &Site,
    windows: &[&Window],
    found: usize,
    evenings: i64,
    apart: Apart,
) -> io::Result<()> {
    writeln!(out, "## {}\n", escaped(&site.title()))?;
    writeln!(
        out,
        "{}, {}{}. {} in {}{}.",
        place_words(site),
        escaped(site.zone.name()),
        escaped(&near_town_ending(site)),
        plural(found as i64, "window", "windows"),
        plural(evenings, "evening", "evenings"),
        shown_words(windows.len(), found),
    )?;
    if windows.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    let rows: Vec<(&Site, &Window)> = windows.iter().map(|window| (site, *window)).collect();
    write_windows(out, &rows, false, apart)
}

/// Writes the windows of several sites in one ranking; `found` counts all of
/// them, shown or not, at `sites` sites.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_ranking(
    out: &mut impl Write,
    rows: &[(&Site, &Window)],
    found: usize,
    sites: usize,
    evenings: i64,
    apart: Apart,
) -> io::Result<()> {
    writeln!(
        out,
        "{} at {} in {}{}.",
        plural(found as i64, "window", "windows"),
        plural(sites as i64, "site", "sites"),
        plural(evenings, "evening", "evenings"),
        shown_words(rows.len(), found),
    )?;
    if rows.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    write_windows(out, rows, true, apart)
}

fn write_windows(
    out: &mut impl Write,
    rows: &[(&Site, &Window)],
    named: bool,
    apart: Apart,
) -> io::Result<()> {
    let common = common_of(rows.iter().map(|(_, window)| *window)).with(apart);
    let records: Vec<Record<'_>> = rows
        .iter()
        .map(|(site, window)| Record { site, window })
        .collect();
    let shown: Vec<_> = shown(fields_of(&records))
        .into_iter()
        .filter(|(field, shown)| shown.page && shown.is_in(common) && (named || field.name != SITE))
        .map(|(_, shown)| shown)
        .collect();
    let target = target_of(rows.iter().map(|(_, window)| *window));
    write_records(out, &shown, &records, common.is_of_blends(), target)
}

/// Writes one night.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_night(out: &mut impl Write, plan: &NightPlan<'_>) -> io::Result<()> {
    writeln!(out, "# {}\n", escaped(&plan.site.title()))?;
    for line in heading_lines(plan) {
        writeln!(out, "- {}", escaped(&line))?;
    }
    writeln!(out, "\n## Timetable\n")?;
    let heads = [
        ("time", Side::Left),
        ("what", Side::Left),
        ("altitude", Side::Right),
        ("true", Side::Right),
        ("compass", Side::Right),
    ]
    .map(|(name, side)| (name.to_string(), side));
    let clock = |moment| clock_text(plan.site.zone, moment, plan.clocks_change);
    let lines = plan.card().map(|entry| {
        let [altitude, azimuth, magnetic] = place_texts(plan, entry);
        let words = escaped(&happening_words(
            entry.event,
            plan.rules.target_name(),
            plan.windows.len(),
        ));
        vec![clock(entry.moment()), words, altitude, azimuth, magnetic]
    });
    write_table(out, &heads, lines)?;
    write_steps(out, plan, "##")?;
    write_advice(out, plan, "##")?;
    write_cautions(out, &plan.cautions.iter().collect::<Vec<_>>())
}

/// Writes light and settings under a heading of this `level`, if there are any.
pub(super) fn write_steps(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    level: &str,
) -> io::Result<()> {
    let Some(below) = plan.steps_below_sun_deg else {
        return Ok(());
    };
    if plan.steps.is_empty() {
        return Ok(());
    }
    let sun = sun_words(plan, below);
    writeln!(out, "\n{level} Light and settings, Sun {sun}\n")?;
    let columns = record_grid::columns(step_fields(plan), Importance::Further, night_common(plan));
    let heading = |text: &str| heading_for(text, plan.rules.target_name());
    let heads: Vec<(String, Side)> = columns
        .iter()
        .map(|(_, c)| (heading(c.title), c.side))
        .collect();
    let lines = plan.steps.iter().map(|step| {
        let emphasis = Emphasis::strong_if(in_window(plan, step));
        let row = NightRow::of_step(plan, step);
        let texts = columns.iter().map(|(_, c)| (c.text)(&row, Room::Page));
        let mut cells: Vec<String> = texts.collect();
        if let Some(time) = cells.first_mut() {
            *time = emphasis.markdown(time);
        }
        cells
    });
    write_table(out, &heads, lines)?;
    if plan.steps.iter().any(|step| in_window(plan, step)) {
        writeln!(out, "\nTime in bold: within a window.")?;
    }
    Ok(())
}

/// Writes what to do under a heading of this `level`.
pub(super) fn write_advice(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    level: &str,
) -> io::Result<()> {
    writeln!(out, "\n{level} What to do\n")?;
    for advice in &plan.advice {
        writeln!(out, "- {}", escaped(&advice_sentence(plan, advice)))?;
    }
    Ok(())
}

/// Writes what to take care of, last on a page.
pub(super) fn write_cautions(out: &mut impl Write, cautions: &[&Caution]) -> io::Result<()> {
    writeln!(out, "\n## Take care\n")?;
    for caution in cautions {
        writeln!(out, "- {}", escaped(caution_sentence(caution)))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_a_table() {
        assert_eq!(escaped("a|b *c*\n[d]"), r"a\|b \*c\* \[d\]");
    }
}

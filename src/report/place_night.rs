//! A night at a place with several views, for people: one timetable, then what
//! each view needs.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    markdown::{self, escaped},
    night::{Card, READING_WIDTH, place_texts, weight, write_list},
    words::{
        caution_sentence, clock_text, happening_words, line_view, place_lines as heading_lines,
        place_near_words, view_lines, view_name,
    },
    wrap::{write_head, write_wrapped},
};
use crate::plan::{Caution, NightPlan, PlaceLine, place_lines};
use std::io::{self, Write};

/// Writes the timetable of the place, then light, settings and advice of each
/// of its views, `width` columns wide.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, plans: &[NightPlan<'_>], width: usize) -> io::Result<()> {
    let Some(plan) = plans.first() else {
        return Ok(());
    };
    let place = format!("  {}", place_near_words(plan.site));
    write_head(out, &plan.site.name, &place, width)?;
    for line in heading_lines(plan) {
        write_wrapped(out, "", &line, width)?;
    }
    writeln!(out)?;
    timetable(out, plans, width)?;
    for plan in plans {
        writeln!(out, "\n{STRONG}{}{STRONG:#}", view_name(plan))?;
        for line in view_lines(plan) {
            write_wrapped(out, "", &line, width)?;
        }
        let card = Card { plan, width };
        card.steps(out)?;
        card.what_to_do(out)?;
    }
    let cautions = all_cautions(plans).into_iter().map(caution_sentence);
    write_list(out, "Take care", cautions, width.min(READING_WIDTH))
}

fn timetable(out: &mut impl Write, plans: &[NightPlan<'_>], width: usize) -> io::Result<()> {
    let lines = place_lines(plans, NightPlan::card);
    if lines.is_empty() {
        return writeln!(out, "Nothing rises, sets or turns this night.");
    }
    let (left, right) = (Side::Left, Side::Right);
    let mut grid = Grid::new([left, left, left, right, right, right]);
    grid.heading(["", "view", "", "alt", "azimuth", "compass"]);
    for line in &lines {
        let style = weight(line.entry.event);
        let [clock, view, words, altitude, azimuth, magnetic] = line_texts(line);
        grid.styled_row([
            (clock, style),
            (view, style),
            (words, style),
            (altitude, PLAIN),
            (azimuth, PLAIN),
            (magnetic, PLAIN),
        ]);
    }
    grid.shed(width, &[5, 3, 4]);
    grid.write(out)
}

/// A line of the timetable: time, view, what happens, altitude, true and compass
/// bearing.
pub(super) fn line_texts(line: &PlaceLine<'_>) -> [String; 6] {
    let PlaceLine { plan, entry, .. } = *line;
    let clock = clock_text(plan.site.zone, entry.moment(), plan.clocks_change);
    let words = happening_words(entry.event, plan.rules.target_name(), plan.windows.len());
    let [altitude, azimuth, magnetic] = place_texts(plan, entry);
    let view = line_view(line).to_owned();
    [clock, view, words, altitude, azimuth, magnetic]
}

/// The cautions of all views, each once.
pub(super) fn all_cautions<'a>(
    plans: impl IntoIterator<Item = &'a NightPlan<'a>>,
) -> Vec<&'a Caution> {
    let mut all: Vec<&Caution> = Vec::new();
    for caution in plans.into_iter().flat_map(|plan| &plan.cautions) {
        if !all.iter().any(|before| before.topic == caution.topic) {
            all.push(caution);
        }
    }
    all
}

/// Writes the same in Markdown.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_markdown(out: &mut impl Write, plans: &[NightPlan<'_>]) -> io::Result<()> {
    let Some(plan) = plans.first() else {
        return Ok(());
    };
    writeln!(out, "# {}\n", escaped(&plan.site.name))?;
    for line in heading_lines(plan) {
        writeln!(out, "- {}", escaped(&line))?;
    }
    writeln!(out, "\n## Timetable\n")?;
    let heads = [
        ("time", Side::Left),
        ("view", Side::Left),
        ("what", Side::Left),
        ("altitude", Side::Right),
        ("true", Side::Right),
        ("compass", Side::Right),
    ]
    .map(|(name, side)| (name.to_owned(), side));
    let lines = place_lines(plans, NightPlan::card);
    let rows = lines
        .iter()
        .map(|line| line_texts(line).map(|text| escaped(&text)).to_vec());
    markdown::write_table(out, &heads, rows)?;
    for plan in plans {
        writeln!(out, "\n## {}\n", escaped(view_name(plan)))?;
        for line in view_lines(plan) {
            writeln!(out, "- {}", escaped(&line))?;
        }
        markdown::write_steps(out, plan, "###")?;
        markdown::write_advice(out, plan, "###")?;
    }
    markdown::write_cautions(out, &all_cautions(plans))
}

//! A night for people: a card for the field.

use super::{
    grid::{Emphasis, Grid, PLAIN, STRONG, Side},
    record_grid::{self, Column},
    row::{Importance, Shown},
    rows::{
        night::{NightRow, NightRows, step_fields},
        step_texts::{bearing, compass_bearing, degrees},
    },
    words::{
        advice_sentence, caution_sentence, clock_text, happening_words, heading_for, heading_lines,
        night_common, place_near_words, steps_note,
    },
    wrap::{write_head, write_wrapped},
};
use crate::{
    ephemeris::{EventKind, Moment},
    plan::{NightEvent, NightPlan, NightStep, TimetableEntry},
};
use std::io::{self, Write};

/// Longest line of advice, columns: longer lines are hard to read.
pub(super) const READING_WIDTH: usize = 96;

/// Writes the card, `width` columns wide.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, plan: &NightPlan<'_>, width: usize) -> io::Result<()> {
    let card = Card { plan, width };
    card.heading(out)?;
    writeln!(out)?;
    card.timetable(out)?;
    writeln!(out)?;
    card.steps(out)?;
    card.what_to_do(out)?;
    write_list(
        out,
        "Take care",
        plan.cautions.iter().map(caution_sentence),
        width.min(READING_WIDTH),
    )
}

pub(super) fn write_list<S: AsRef<str>>(
    out: &mut impl Write,
    heading: &str,
    lines: impl Iterator<Item = S>,
    width: usize,
) -> io::Result<()> {
    writeln!(out, "\n{STRONG}{heading}{STRONG:#}")?;
    for line in lines {
        write_wrapped(out, "- ", line.as_ref(), width)?;
    }
    Ok(())
}

pub(super) struct Card<'a> {
    pub plan: &'a NightPlan<'a>,
    pub width: usize,
}

impl Card<'_> {
    fn clock(&self, moment: Moment) -> String {
        clock_text(self.plan.site.zone, moment, self.plan.clocks_change)
    }

    /// What to do, with its heading.
    pub fn what_to_do(&self, out: &mut impl Write) -> io::Result<()> {
        let advice = self.plan.advice.iter();
        write_list(
            out,
            "What to do",
            advice.map(|a| advice_sentence(self.plan, a)),
            self.width.min(READING_WIDTH),
        )
    }

    fn heading(&self, out: &mut impl Write) -> io::Result<()> {
        let site = self.plan.site;
        let place = format!("  {}", place_near_words(site));
        write_head(out, &site.title(), &place, self.width)?;
        for line in heading_lines(self.plan) {
            write_wrapped(out, "", &line, self.width)?;
        }
        Ok(())
    }

    fn timetable(&self, out: &mut impl Write) -> io::Result<()> {
        let mut grid = Grid::new([
            Side::Left,
            Side::Left,
            Side::Right,
            Side::Right,
            Side::Right,
        ]);
        grid.heading(["", "", "alt", "azimuth", "compass"]);
        let mut any = false;
        for entry in self.plan.card() {
            any = true;
            let style = weight(entry.event);
            let [altitude, azimuth, magnetic] = place_texts(self.plan, entry);
            let target = self.plan.rules.target_name();
            let words = happening_words(entry.event, target, self.plan.windows.len());
            grid.styled_row([
                (self.clock(entry.moment()), style),
                (words, style),
                (altitude, PLAIN),
                (azimuth, PLAIN),
                (magnetic, PLAIN),
            ]);
        }
        if any {
            grid.shed(self.width, &[4, 2, 3]);
            grid.write(out)
        } else {
            writeln!(out, "Nothing rises, sets or turns this night.")
        }
    }

    /// Light and settings, step by step.
    pub fn steps(&self, out: &mut impl Write) -> io::Result<()> {
        let plan = self.plan;
        let Some(below) = plan.steps_below_sun_deg else {
            return writeln!(out, "The Sun does not set: no dark hours to plan.");
        };
        if plan.steps.is_empty() {
            return writeln!(out, "The dark hours are shorter than a step.");
        }
        let some_inside = plan.steps.iter().any(|step| in_window(plan, step));
        write_wrapped(out, "", &steps_note(plan, below, "*"), self.width)?;
        let rows: Vec<NightRow<'_>> = plan
            .steps
            .iter()
            .map(|step| NightRow::of_step(plan, step))
            .collect();
        let heading = |text: &str| heading_for(text, plan.rules.target_name());
        let dress = |_: &_, shown: &Shown<NightRows>, row: &NightRow<'_>, text: String| {
            let inside = in_window(plan, row.step);
            let is_first = shown.place == 0 && some_inside;
            let mark = if is_first && inside { "*" } else { "" };
            (text + mark, Emphasis::strong_if(inside))
        };
        let columns =
            record_grid::columns(step_fields(plan), Importance::Further, night_common(plan));
        let grid = |columns: &[Column<NightRows>]| {
            record_grid::grid(columns, &rows, false, heading, dress)
        };
        record_grid::fitting(columns, self.width, grid).1.write(out)
    }
}

/// Whether an instant lies in a window of its night.
pub(super) fn in_window(plan: &NightPlan<'_>, step: &NightStep) -> bool {
    let moment = step.instant.moment().seconds();
    plan.windows
        .iter()
        .any(|w| w.interval.start <= moment && moment <= w.interval.end)
}

/// What the eye should find first.
pub(super) fn weight(event: NightEvent) -> Emphasis {
    match event {
        NightEvent::WindowOpens(_)
        | NightEvent::WindowBest(_)
        | NightEvent::WindowCloses(_)
        | NightEvent::LandBegins(_)
        | NightEvent::LandBest(_)
        | NightEvent::LandEnds(_)
        | NightEvent::Arrive
        | NightEvent::ClocksChange(_) => STRONG,
        _ => PLAIN,
    }
}

/// Altitude, azimuth and compass reading, for a line of a card.
pub(super) fn place_texts(plan: &NightPlan<'_>, entry: &TimetableEntry) -> [String; 3] {
    let Some(place) = entry.place() else {
        return Default::default();
    };
    // The altitude of a twilight is the Sun's own, geometric.
    let twilight = matches!(
        entry.event,
        NightEvent::Sky(
            EventKind::CivilDusk
                | EventKind::NauticalDusk
                | EventKind::AstronomicalDusk
                | EventKind::AstronomicalDawn
                | EventKind::NauticalDawn
                | EventKind::CivilDawn
        )
    );
    let altitude = if twilight {
        place.altitude_deg
    } else {
        place.apparent_altitude_deg
    };
    let compass = plan.compass.as_ref().ok();
    [
        degrees(altitude),
        bearing(plan.site, place.azimuth_deg),
        compass.map_or_else(String::new, |field| {
            compass_bearing(field.magnetic_bearing_deg(place.azimuth_deg))
        }),
    ]
}

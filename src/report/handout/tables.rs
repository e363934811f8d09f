//! The tables of a page: the timetable, and light and settings step by step.

use super::html::{class, escaped, head};
use crate::{
    plan::{NightPlan, NightStep, PlaceLine, TimetableEntry, place_lines},
    report::{
        grid::{Emphasis, Side},
        night::{in_window, place_texts, weight},
        record_grid::{self, Column},
        row::{Importance, Room, Shown},
        rows::night::{NightRow, NightRows, step_fields},
        words::{
            clock_text, happening_words, heading_for, line_view, night_common, shutter_text,
            steps_note, sun_words,
        },
    },
    scene::North,
};
use std::{
    io::{self, Write},
    ops::Range,
};

const NOTHING: &str = "<p>Nothing rises, sets or turns this night.</p>";
/// The columns of the hours that count, beside each other on a phone.
const NEAR: [&str; 7] = [
    "time_local",
    "shutter_s",
    "iso",
    "moon_altitude_deg",
    "light_angle_deg",
    "target_altitude_deg",
    "land_vs_sky_stops",
];
/// Rows of the hours that count; of a longer window every second, third ... is
/// there. The project's choice: a screen of a phone.
const MOST_NEAR: usize = 20;
/// A twilight stands at its altitude but for the last digits, degrees.
const HAIR_DEG: f64 = 1e-3;

/// The timetable of a place; of several views each line has the name of its own.
pub(super) fn timetable(out: &mut impl Write, plans: &[&NightPlan<'_>]) -> io::Result<()> {
    writeln!(out, "<section>\n<h2>Timetable</h2>")?;
    let lines = place_lines(plans.iter().copied(), NightPlan::card);
    if lines.is_empty() {
        return writeln!(out, "{NOTHING}\n</section>");
    }
    writeln!(out, "<table class=\"order\">")?;
    let dark = plans.first().and_then(|plan| {
        let dark = sun_words(plan, plan.steps_below_sun_deg?);
        Some(format!(
            "Shutter and ISO for the sky, with the Sun {dark}. "
        ))
    });
    let dark = dark.unwrap_or_default();
    writeln!(
        out,
        "<caption>{dark}Small: altitude and bearing of what a line is about.</caption>"
    )?;
    // A night that never gets dark has no settings.
    let is_dark = !dark.is_empty();
    let heads = [
        ("time", Side::Left, true),
        ("shutter", Side::Right, is_dark),
        ("ISO", Side::Right, is_dark),
        ("what", Side::Left, true),
    ];
    let heads = heads.iter().filter(|(_, _, is_shown)| *is_shown);
    head(
        out,
        heads.map(|(name, side, _)| ((*name).to_owned(), *side)),
    )?;
    let several = plans.len() > 1;
    for line in &lines {
        timetable_row(out, line, several, is_dark)?;
    }
    writeln!(out, "</tbody></table>\n</section>")
}

fn timetable_row(
    out: &mut impl Write,
    line: &PlaceLine<'_>,
    several: bool,
    is_dark: bool,
) -> io::Result<()> {
    let PlaceLine { plan, entry, .. } = *line;
    let clock = clock_text(plan.site.zone, entry.moment(), plan.clocks_change);
    let mut words = happening_words(entry.event, plan.rules.target_name(), plan.windows.len());
    if several && !line.of_place {
        words = format!("{}: {words}", line_view(line));
    }
    // What is about the place is the same for every view; the settings are not.
    let is_of_view = !(several && line.of_place);
    let settings = is_of_view.then(|| settings(plan, &entry.step)).flatten();
    let [shutter, iso] = settings.unwrap_or_default();
    let settings = match is_dark {
        true => format!("<td>{shutter}</td><td>{iso}</td>"),
        false => String::new(),
    };
    let strong = weight(entry.event);
    let place = place_words(plan, entry);
    let place = match place.is_empty() {
        true => place,
        false => format!(" <small>{}</small>", escaped(&place)),
    };
    writeln!(
        out,
        "<tr{}><th scope=\"row\">{}</th>{settings}\
         <td class=\"l\">{}{place}</td></tr>",
        row_class(strong),
        escaped(&clock),
        strong.html(&escaped(&words)),
    )
}

/// Shutter and ISO, if it is dark enough for them.
fn settings(plan: &NightPlan<'_>, step: &NightStep) -> Option<[String; 2]> {
    let below_deg = plan.steps_below_sun_deg?;
    let exposure = &step.frame.exposure;
    let is_dark = step.instant.sky.sun.altitude_deg <= below_deg + HAIR_DEG;
    is_dark.then(|| [shutter_text(exposure.shutter_s), exposure.iso.to_string()])
}

/// Where the body of a line stands: `23°, 193°, compass 186°`.
fn place_words(plan: &NightPlan<'_>, entry: &TimetableEntry) -> String {
    let [altitude, azimuth, magnetic] = place_texts(plan, entry);
    // Bearings that are magnetic anyway are not told twice.
    let is_true = plan.site.conventions.north == North::True;
    let compass = match is_true && !magnetic.is_empty() {
        true => format!("compass {magnetic}"),
        false => String::new(),
    };
    let parts = [altitude, azimuth, compass];
    let told = parts.into_iter().filter(|part| !part.is_empty());
    told.collect::<Vec<_>>().join(", ")
}

/// Light and settings: the hours that count in few columns, and every hour in
/// all of them, folded until somebody asks.
pub(super) fn steps(out: &mut impl Write, plan: &NightPlan<'_>, level: u8) -> io::Result<()> {
    writeln!(
        out,
        "<section class=\"light\">\n<h{level}>Light and settings</h{level}>"
    )?;
    let Some(below) = plan.steps_below_sun_deg else {
        let never = "The Sun does not set: no dark hours to plan.";
        return writeln!(out, "<p>{never}</p>\n</section>");
    };
    if plan.steps.is_empty() {
        let short = "The dark hours are shorter than a step.";
        return writeln!(out, "<p>{short}</p>\n</section>");
    }
    let columns = record_grid::columns(step_fields(plan), Importance::Usual, night_common(plan));
    let near = near(plan);
    if !near.is_empty() {
        let shown = NEAR.iter().filter_map(|name| {
            let mut columns = columns.iter().copied();
            columns.find(|(field, _)| field.name == *name)
        });
        let shown: Vec<Column<NightRows>> = shown.collect();
        let caption = "The window, and what is around it; bold within.";
        writeln!(out, "<table class=\"near\">\n<caption>{caption}</caption>")?;
        step_rows(out, plan, &shown, |column| column.title.to_owned(), near)?;
    }
    // Shutter and ISO come beside the time.
    let mut all = columns;
    all.sort_by_key(|(field, _)| {
        let place = NEAR.iter().take(3).position(|name| *name == field.name);
        place.unwrap_or(NEAR.len())
    });
    let note = steps_note(plan, below, "bold");
    writeln!(
        out,
        "<details>\n<summary>Every step of the night, all columns</summary>\n<p>{}.</p>\n\
         <div class=\"box\" tabindex=\"0\" role=\"region\" aria-label=\"Every step of the night\">\
         <table class=\"steps\">\n<caption>Every step of the night</caption>",
        escaped(&note)
    )?;
    // The short headings of a terminal, which the note explains.
    let short = |column: &Shown<NightRows>| {
        let both = [column.over, column.name].into_iter();
        let words: Vec<&str> = both.filter(|words| !words.is_empty()).collect();
        words.join(" ")
    };
    step_rows(out, plan, &all, short, plan.steps.iter().collect())?;
    writeln!(out, "</div>\n</details>\n</section>")
}

/// The steps within the windows and the moonlit periods, with one before and
/// one after; thinned if there are many.
fn near<'a>(plan: &'a NightPlan<'_>) -> Vec<&'a NightStep> {
    let seconds = |step: &NightStep| step.instant.moment().seconds();
    let periods = plan.windows.iter().flat_map(|window| window.intervals());
    let ranges: Vec<Range<usize>> = periods
        .map(|period| {
            let before = plan.steps.partition_point(|s| seconds(s) < period.start);
            let until = plan.steps.partition_point(|s| seconds(s) <= period.end);
            before.saturating_sub(1)..until + 1
        })
        .collect();
    let is_near = |index: &usize| ranges.iter().any(|range| range.contains(index));
    let count = (0..plan.steps.len()).filter(is_near).count();
    let every = count.div_ceil(MOST_NEAR).max(1);
    let steps = plan.steps.iter().enumerate();
    let near = steps.filter(|(index, _)| is_near(index) && index.is_multiple_of(every));
    near.map(|(_, step)| step).collect()
}

/// The head and the rows of a table of steps, and its end.
fn step_rows(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    columns: &[Column<NightRows>],
    named: impl Fn(&Shown<NightRows>) -> String,
    steps: Vec<&NightStep>,
) -> io::Result<()> {
    let heading = |column| heading_for(&named(column), plan.rules.target_name());
    head(out, columns.iter().map(|(_, c)| (heading(c), c.side)))?;
    for step in steps {
        let of_step = NightRow::of_step(plan, step);
        let strong = Emphasis::strong_if(in_window(plan, step));
        write!(out, "<tr{}>", row_class(strong))?;
        for (index, (_, column)) in columns.iter().enumerate() {
            let text = escaped(&(column.text)(&of_step, Room::Page));
            match index {
                0 => write!(out, "<th scope=\"row\">{}</th>", strong.html(&text))?,
                _ => write!(out, "<td{}>{text}</td>", class(column.side))?,
            }
        }
        writeln!(out, "</tr>")?;
    }
    writeln!(out, "</tbody></table>")
}

fn row_class(strong: Emphasis) -> &'static str {
    match strong {
        Emphasis::Strong => " class=\"now\"",
        _ => "",
    }
}

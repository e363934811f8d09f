//! One night as a single HTML page that needs no other file: for a phone in the
//! dark, and for paper.

pub mod booklet;

use super::{
    greys::Greys,
    grid::{Emphasis, Side},
    night::{in_window, place_texts, weight},
    place_night::{all_cautions, line_texts},
    record_grid,
    row::{Importance, Room},
    rows::night::{NightRow, step_fields},
    words::{
        advice_sentence, caution_sentence, clock_text, happening_words, heading_for, heading_lines,
        night_common, place_lines as place_heading_lines, place_near_words, steps_note, view_lines,
        view_name,
    },
};
use crate::plan::{NightPlan, place_lines};
use std::{
    borrow::Cow,
    io::{self, Write},
};

/// More lines of light and settings than this are printed smaller, so that the
/// view still fits on the same sheet.
const MANY: usize = 48;
const NOTHING: &str = "<p>Nothing rises, sets or turns this night.</p>";
const STYLE: &str = include_str!("handout.css");

/// A picture of a page, drawn twice: for the dark and for paper.
#[derive(Debug, Clone, Copy)]
pub struct Drawing<'a> {
    /// The heading above it.
    pub heading: &'a str,
    /// SVG in dim ink on black.
    pub dark: &'a str,
    /// The same drawing in dark ink on white.
    pub light: &'a str,
}

/// A view of the place, with its pictures.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// Its plan.
    pub plan: &'a NightPlan<'a>,
    /// The picture of the night.
    pub night: Drawing<'a>,
    /// The picture of what the camera sees.
    pub sight: Drawing<'a>,
}

/// Writes the page: the words of the plans, the picture of the night after the
/// timetable, that of the sight after light and settings. A place with several
/// views has one timetable and a section for each of them.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, views: &[View<'_>]) -> io::Result<()> {
    let Some(first) = views.first() else {
        return Ok(());
    };
    let mut greys = Greys::default();
    let drawn = drawn(&mut greys, views);
    let night = first.plan.night.date.format("%a %-d %B %Y");
    let title = format!("{}, night of {night}", name(views, first.plan));
    begin(out, &title, "", &greys)?;
    night_page(out, views, &drawn)?;
    end(out)
}

/// The beginning of a document up to its body. `more` is style.
fn begin(out: &mut impl Write, title: &str, more: &str, greys: &Greys) -> io::Result<()> {
    writeln!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>{}</title>\n<style>\n{STYLE}{more}{}</style>\n</head>\n<body>",
        escaped(title),
        greys.style(),
    )
}

fn end(out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "</body>\n</html>")
}

/// The pictures of views, each with its two grounds joined.
fn drawn(greys: &mut Greys, views: &[View<'_>]) -> Vec<[String; 2]> {
    let of_view = |view: &View<'_>| [view.night, view.sight].map(|d| greys.joined(d.dark, d.light));
    views.iter().map(of_view).collect()
}

/// The name of a page of these views.
fn name<'a>(views: &[View<'_>], plan: &'a NightPlan<'_>) -> Cow<'a, str> {
    match views {
        [_] => plan.site.title(),
        _ => Cow::Borrowed(&plan.site.name),
    }
}

/// What stands in the body of a page.
fn night_page(out: &mut impl Write, views: &[View<'_>], drawn: &[[String; 2]]) -> io::Result<()> {
    let Some(first) = views.first() else {
        return Ok(());
    };
    let plan = first.plan;
    let one = views.len() == 1;
    let lines = match one {
        true => heading_lines(plan),
        false => place_heading_lines(plan),
    };
    heading(out, plan, &escaped(&name(views, plan)), &lines)?;
    let plans: Vec<&NightPlan<'_>> = views.iter().map(|view| view.plan).collect();
    writeln!(out, "<div class=\"words\">\n<section>")?;
    if one {
        timetable(out, plan)?;
    } else {
        place_timetable(out, &plans)?;
    }
    writeln!(out, "</section>\n<section>")?;
    if one {
        what_to_do(out, plan, 2)?;
    }
    let cautions = all_cautions(plans.iter().copied());
    list(
        out,
        "Take care",
        cautions.into_iter().map(caution_sentence),
        2,
    )?;
    writeln!(out, "</section>\n</div>")?;
    for (view, [night_svg, sight_svg]) in views.iter().zip(drawn) {
        let level = if one { 2 } else { 3 };
        if !one {
            writeln!(
                out,
                "<h2 class=\"sheet\">{}</h2>",
                escaped(view_name(view.plan))
            )?;
            for line in view_lines(view.plan) {
                writeln!(out, "<p>{}</p>", escaped(&line))?;
            }
            what_to_do(out, view.plan, level)?;
        }
        picture(out, view.night.heading, "night", night_svg, level)?;
        steps(out, view.plan, level)?;
        picture(out, view.sight.heading, "view", sight_svg, level)?;
    }
    Ok(())
}

fn heading(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    name: &str,
    lines: &[String],
) -> io::Result<()> {
    writeln!(
        out,
        "<h1>{name}</h1>\n<p>{}</p>",
        escaped(&place_near_words(plan.site))
    )?;
    for line in lines {
        writeln!(out, "<p>{}</p>", escaped(line))?;
    }
    Ok(())
}

fn what_to_do(out: &mut impl Write, plan: &NightPlan<'_>, level: u8) -> io::Result<()> {
    let advice = plan.advice.iter();
    let sentences = advice.map(|advice| advice_sentence(plan, advice));
    list(out, "What to do", sentences, level)
}

/// The timetable of a place, with a column for the view.
fn place_timetable(out: &mut impl Write, plans: &[&NightPlan<'_>]) -> io::Result<()> {
    writeln!(out, "<h2>Timetable</h2>")?;
    let lines = place_lines(plans.iter().copied(), NightPlan::card);
    if lines.is_empty() {
        return writeln!(out, "{NOTHING}");
    }
    writeln!(out, "<div class=\"box\"><table class=\"order\">")?;
    let heads = [
        ("time", Side::Left),
        ("view", Side::Left),
        ("what", Side::Left),
        ("alt", Side::Right),
        ("azimuth", Side::Right),
        ("compass", Side::Right),
    ];
    head(out, heads.map(|(name, side)| (name.to_owned(), side)))?;
    for line in &lines {
        let sides = heads.map(|(_, side)| side);
        let cells = line_texts(line).into_iter().zip(sides);
        row(out, cells, weight(line.entry.event))?;
    }
    writeln!(out, "</tbody></table></div>")
}

fn timetable(out: &mut impl Write, plan: &NightPlan<'_>) -> io::Result<()> {
    writeln!(out, "<h2>Timetable</h2>")?;
    if plan.card().next().is_none() {
        return writeln!(out, "{NOTHING}");
    }
    writeln!(out, "<div class=\"box\"><table class=\"order\">")?;
    let heads = [
        ("time", Side::Left),
        ("what", Side::Left),
        ("alt", Side::Right),
        ("azimuth", Side::Right),
        ("compass", Side::Right),
    ];
    head(out, heads.map(|(name, side)| (name.to_owned(), side)))?;
    for entry in plan.card() {
        let clock = clock_text(plan.site.zone, entry.moment(), plan.clocks_change);
        let words = happening_words(entry.event, plan.rules.target_name(), plan.windows.len());
        let [altitude, azimuth, magnetic] = place_texts(plan, entry);
        let cells = [clock, words, altitude, azimuth, magnetic];
        let sides = heads.map(|(_, side)| side);
        row(out, cells.into_iter().zip(sides), weight(entry.event))?;
    }
    writeln!(out, "</tbody></table></div>")
}

fn steps(out: &mut impl Write, plan: &NightPlan<'_>, level: u8) -> io::Result<()> {
    // A view begins on a sheet of its own.
    let class = if level == 2 { " class=\"sheet\"" } else { "" };
    writeln!(out, "<h{level}{class}>Light and settings</h{level}>")?;
    let Some(below) = plan.steps_below_sun_deg else {
        return writeln!(out, "<p>The Sun does not set: no dark hours to plan.</p>");
    };
    if plan.steps.is_empty() {
        return writeln!(out, "<p>The dark hours are shorter than a step.</p>");
    }
    let note = steps_note(plan, below, "bold");
    writeln!(out, "<p>{}.</p>", escaped(&note))?;
    let columns = record_grid::columns(step_fields(plan), Importance::Usual, night_common(plan));
    let heading = |text: &str| heading_for(text, plan.rules.target_name());
    writeln!(
        out,
        "<div class=\"box\" tabindex=\"0\" role=\"region\" aria-label=\"Light and settings\">\
         <table class=\"steps{}\">",
        if plan.steps.len() > MANY { " many" } else { "" }
    )?;
    head(out, columns.iter().map(|(_, c)| (heading(c.title), c.side)))?;
    for step in &plan.steps {
        let of_step = NightRow::of_step(plan, step);
        let cells = columns
            .iter()
            .map(|(_, c)| ((c.text)(&of_step, Room::Page), c.side));
        row(out, cells, Emphasis::strong_if(in_window(plan, step)))?;
    }
    writeln!(out, "</tbody></table></div>")
}

fn list<S: AsRef<str>>(
    out: &mut impl Write,
    heading: &str,
    lines: impl Iterator<Item = S>,
    level: u8,
) -> io::Result<()> {
    writeln!(out, "<h{level}>{heading}</h{level}>\n<ul>")?;
    for line in lines {
        writeln!(out, "<li>{}</li>", escaped(line.as_ref()))?;
    }
    writeln!(out, "</ul>")
}

fn picture(
    out: &mut impl Write,
    heading: &str,
    class: &str,
    svg: &str,
    level: u8,
) -> io::Result<()> {
    let heading = escaped(heading);
    writeln!(
        out,
        "<h{level}>{heading}</h{level}>\n<figure class=\"{class}\"><div class=\"box\" tabindex=\"0\" \
         role=\"region\" aria-label=\"{heading}\">\n{}\n</div></figure>",
        svg.trim_end()
    )
}

fn head(out: &mut impl Write, heads: impl IntoIterator<Item = (String, Side)>) -> io::Result<()> {
    write!(out, "<thead><tr>")?;
    for (name, side) in heads {
        write!(
            out,
            "<th scope=\"col\"{}>{}</th>",
            class(side),
            escaped(&name)
        )?;
    }
    writeln!(out, "</tr></thead><tbody>")
}

fn row(
    out: &mut impl Write,
    cells: impl Iterator<Item = (String, Side)>,
    emphasis: Emphasis,
) -> io::Result<()> {
    write!(
        out,
        "<tr{}>",
        if emphasis == Emphasis::Strong {
            " class=\"now\""
        } else {
            ""
        }
    )?;
    for (text, side) in cells {
        let text = emphasis.html(&escaped(&text));
        write!(out, "<td{}>{text}</td>", class(side))?;
    }
    writeln!(out, "</tr>")
}

fn class(side: Side) -> &'static str {
    match side {
        Side::Left => " class=\"l\"",
        Side::Right => "",
    }
}

/// Text escaped for both HTML and XML.
fn escaped(text: &str) -> String {
    let mut clean = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => clean.push_str("&amp;"),
            '<' => clean.push_str("&lt;"),
            '>' => clean.push_str("&gt;"),
            '"' => clean.push_str("&quot;"),
            '\'' => clean.push_str("&#39;"),
            c if c.is_control() => clean.push(' '),
            c => clean.push(c),
        }
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_become_markup() {
        assert_eq!(
            escaped("<b a=\"c\">&'\u{7}"),
            "&lt;b a=&quot;c&quot;&gt;&amp;&#39; "
        );
    }
}

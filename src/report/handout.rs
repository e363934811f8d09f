//! One night as a single HTML page that needs no other file: for a phone in the
//! dark, and for paper.

pub mod booklet;
mod html;
mod tables;

use super::{
    greys::Greys,
    place_night::all_cautions,
    words::{
        Answer, advice_sentence, answer, capitalised, caution_sentence, heading_lines,
        place_lines as place_heading_lines, place_near_words, view_lines, view_name,
    },
};
use crate::{plan::NightPlan, search::Window};
use html::{escaped, list};
use std::{
    borrow::Cow,
    io::{self, Write},
};

const STYLE: &str = include_str!("handout.css");

/// A drawing on two grounds.
#[derive(Debug, Clone, Copy)]
pub struct Grounds<'a> {
    /// SVG in dim ink on black.
    pub dark: &'a str,
    /// The same drawing in dark ink on white.
    pub light: &'a str,
}

/// A picture of a page, drawn for two widths.
#[derive(Debug, Clone, Copy)]
pub struct Drawing<'a> {
    /// What it is of.
    pub heading: &'a str,
    /// As wide as a phone.
    pub phone: Grounds<'a>,
    /// As wide as a sheet of paper.
    pub paper: Grounds<'a>,
}

/// A view of the place, with its pictures.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// Its plan.
    pub plan: &'a NightPlan<'a>,
    /// The first window of the nights after, where this one has none.
    pub next: Option<&'a Window>,
    /// The picture of the night.
    pub night: Drawing<'a>,
    /// The picture of what the camera sees.
    pub sight: Drawing<'a>,
}

/// A picture of a page with its two grounds joined, for each of two widths.
struct Drawn {
    phone: String,
    paper: String,
}

/// Writes the page: first the answer of the night, then the timetable, light and
/// settings, the pictures of night and view, what to do and what to take care
/// of. A place with several views has one timetable and
/// a section for each of them.
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
    night_page(out, views, &drawn, "")?;
    end(out)
}

/// The beginning of a document up to its body. `more` is style.
///
/// On a screen it is dark whatever the device is set to: a white page at the
/// tripod costs half an hour of night vision (common practice, no source).
fn begin(out: &mut impl Write, title: &str, more: &str, greys: &Greys) -> io::Result<()> {
    writeln!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"color-scheme\" content=\"dark\"/>\n\
         <meta name=\"theme-color\" content=\"black\"/>\n\
         <title>{}</title>\n<style>\n{STYLE}{more}{}</style>\n</head>\n<body>\n<main>",
        escaped(title),
        greys.style(),
    )
}

fn end(out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "</main>\n</body>\n</html>")
}

/// The pictures of views: of each the night, and the view.
fn drawn(greys: &mut Greys, views: &[View<'_>]) -> Vec<[Drawn; 2]> {
    let mut joined = |grounds: Grounds<'_>| greys.joined(grounds.dark, grounds.light);
    let of_view = |view: &View<'_>| {
        [view.night, view.sight].map(|drawing| Drawn {
            phone: joined(drawing.phone),
            paper: joined(drawing.paper),
        })
    };
    views.iter().map(of_view).collect()
}

/// The name of a page of these views.
fn name<'a>(views: &[View<'_>], plan: &'a NightPlan<'_>) -> Cow<'a, str> {
    match views {
        [_] => plan.site.title(),
        _ => Cow::Borrowed(&plan.site.name),
    }
}

/// What stands in the body of a page. `more` is what its answer has besides, as
/// HTML.
fn night_page(
    out: &mut impl Write,
    views: &[View<'_>],
    drawn: &[[Drawn; 2]],
    more: &str,
) -> io::Result<()> {
    let Some(first) = views.first() else {
        return Ok(());
    };
    let plan = first.plan;
    let one = views.len() == 1;
    let lines = match one {
        true => heading_lines(plan),
        false => place_heading_lines(plan),
    };
    let mut lines = lines.into_iter();
    let night = lines.next().unwrap_or_default();
    writeln!(
        out,
        "<header>\n<h1>{}</h1>\n<p>{}</p>\n</header>",
        escaped(&name(views, plan)),
        escaped(&night)
    )?;
    match one {
        true => answer_block(out, &answer(plan, first.next), more)?,
        false => index(out, views)?,
    }
    let plans: Vec<&NightPlan<'_>> = views.iter().map(|view| view.plan).collect();
    // On paper the lists stand beside the timetable, on a screen at the end.
    writeln!(out, "<div class=\"beside\">")?;
    tables::timetable(out, &plans)?;
    writeln!(out, "<div class=\"lists\">")?;
    if one {
        what_to_do(out, plan, 2)?;
    }
    let cautions = all_cautions(plans.iter().copied());
    let cautions = cautions.into_iter().map(caution_sentence);
    list(out, "Take care", cautions, 2)?;
    let place = std::iter::once(capitalised(&place_near_words(plan.site)));
    list(out, "Place and night", place.chain(lines), 2)?;
    writeln!(out, "</div>\n</div>")?;
    if let (true, Some(drawn)) = (one, drawn.first()) {
        return pictures(out, first, drawn, 2);
    }
    for (number, (of_view, drawn)) in (1..).zip(views.iter().zip(drawn)) {
        let plan = of_view.plan;
        let name = escaped(view_name(plan));
        writeln!(
            out,
            "<section class=\"sheet\" id=\"view-{number}\">\n<h2>{name}</h2>"
        )?;
        answer_block(out, &answer(plan, of_view.next), "")?;
        writeln!(out, "<div class=\"lists\">")?;
        what_to_do(out, plan, 3)?;
        list(out, "About the view", view_lines(plan).into_iter(), 3)?;
        writeln!(out, "</div>")?;
        pictures(out, of_view, drawn, 3)?;
        writeln!(out, "</section>")?;
    }
    Ok(())
}

/// What a reader who reads no more must know.
fn answer_block(out: &mut impl Write, answer: &Answer, more: &str) -> io::Result<()> {
    writeln!(out, "<section class=\"answer\" aria-label=\"The answer\">")?;
    for line in &answer.lead {
        writeln!(out, "<p>{}</p>", escaped(line))?;
    }
    writeln!(out, "<dl>")?;
    for (name, text) in &answer.lines {
        let text = escaped(text);
        writeln!(out, "<div><dt>{name}</dt><dd>{text}</dd></div>")?;
    }
    writeln!(out, "{more}</dl>\n</section>")
}

/// The answers of several views, each in a line that leads to it.
fn index(out: &mut impl Write, views: &[View<'_>]) -> io::Result<()> {
    writeln!(
        out,
        "<section class=\"answer views\" aria-label=\"The answers\">\n<dl>"
    )?;
    for (number, view) in (1..).zip(views) {
        let answer = answer(view.plan, view.next);
        let lead = escaped(&answer.lead.join("; "));
        let more = ["Camera", "Sky", "Next"].iter().filter_map(|name| {
            let line = answer.line(name)?;
            Some(match *name {
                "Next" => format!("Next: {line}"),
                _ => line.to_owned(),
            })
        });
        let more = escaped(&more.collect::<Vec<_>>().join("; "));
        writeln!(
            out,
            "<div><dt><a href=\"#view-{number}\">{}</a></dt><dd><b>{lead}</b> \
             <small>{more}</small></dd></div>",
            escaped(view_name(view.plan)),
        )?;
    }
    writeln!(out, "</dl>\n</section>")
}

/// Light and settings of a view, then its pictures.
fn pictures(
    out: &mut impl Write,
    view: &View<'_>,
    [night, sight]: &[Drawn; 2],
    level: u8,
) -> io::Result<()> {
    tables::steps(out, view.plan, level)?;
    picture(out, view.night.heading, "night", night, level)?;
    picture(out, view.sight.heading, "view", sight, level)
}

fn what_to_do(out: &mut impl Write, plan: &NightPlan<'_>, level: u8) -> io::Result<()> {
    let advice = plan.advice.iter();
    let sentences = advice.map(|advice| advice_sentence(plan, advice));
    list(out, "What to do", sentences, level)
}

/// A picture under its heading, drawn for a phone and for paper: the style shows
/// one of both.
fn picture(
    out: &mut impl Write,
    heading: &str,
    class: &str,
    drawn: &Drawn,
    level: u8,
) -> io::Result<()> {
    writeln!(
        out,
        "<figure class=\"{class}\">\n<figcaption><h{level}>{}</h{level}></figcaption>\n\
         <div class=\"phone\">\n{}\n</div>\n<div class=\"paper\">\n{}\n</div>\n</figure>",
        escaped(heading),
        drawn.phone.trim_end(),
        drawn.paper.trim_end()
    )
}

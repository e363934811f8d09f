//! Trips as one HTML document: the evenings, then a page for each night and one
//! for what stands in for it.

use super::{
    View, begin, drawn, end,
    html::{class, escaped, head, list},
    night_page,
};
use crate::{
    plan::{Because, Caution, CautionTopic, Trip, TripStop},
    report::{
        greys::Greys,
        grid::Side,
        record_grid::{self, Column},
        row::{Common, Importance, Room},
        rows::{
            SCORE, percent,
            trip::{EVENING, SHOWN_OF_WINDOW, SITE, TripRow, TripRows},
        },
        trip::TripTables,
        words::{
            caution_sentence, clear_chances_line, drive_words, is_marked, short_night_words,
            trip_name, trip_words,
        },
    },
};
use std::io::{self, Write};

const STYLE: &str = include_str!("booklet.css");
/// The columns of the evenings: what fits beside each other on a phone.
const COLUMNS: [&str; 4] = ["night", SITE, SCORE, "window"];

/// What a page of a booklet is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Purpose {
    Session,
    SparePlace,
    SpareNight,
}

/// A night of a booklet, which has a page of its own.
#[derive(Debug, Clone)]
pub struct Leaf<'a> {
    /// The site with its rules, and the window that was chosen.
    pub stop: &'a TripStop,
    trip: &'a Trip,
    purpose: Purpose,
    /// The evenings of the trip that it is for, in order.
    evenings: Vec<TripRow<'a>>,
    anchor: String,
}

impl Leaf<'_> {
    fn is_of(&self, stop: &TripStop) -> bool {
        self.stop.site_number == stop.site_number && self.stop.window.night == stop.window.night
    }
}

/// The nights that need a page, in the order of the pages: each session,
/// followed by its spare place, else by its spare night. A night that is spare
/// for several sessions of a trip comes once, after the first of them.
pub fn leaves(trips: &[Trip]) -> Vec<Leaf<'_>> {
    let mut leaves: Vec<Leaf<'_>> = Vec::new();
    for row in trips.iter().flat_map(TripRow::all) {
        let night = row.night;
        let place = night.spare_place.as_ref().map(|s| (Purpose::SparePlace, s));
        let later = night.spare_night.as_ref().map(|s| (Purpose::SpareNight, s));
        let session = night.session.as_ref().map(|s| (Purpose::Session, s));
        for (purpose, stop) in session.into_iter().chain(place.or(later)) {
            let known = leaves.iter_mut().find(|leaf| {
                let same = leaf.purpose == purpose && std::ptr::eq(leaf.trip, row.trip);
                same && leaf.is_of(stop)
            });
            if let Some(leaf) = known {
                leaf.evenings.push(row);
                continue;
            }
            let of = match purpose {
                Purpose::Session => "evening",
                Purpose::SparePlace | Purpose::SpareNight => "spare-of",
            };
            leaves.push(Leaf {
                stop,
                trip: row.trip,
                purpose,
                evenings: vec![row],
                // No two trips share an evening.
                anchor: format!("{of}-{}", night.night),
            });
        }
    }
    leaves
}

/// Writes the evenings of trips, then a page for each of their [`leaves`], of
/// which `pages` are the views in the same order.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(
    out: &mut impl Write,
    tables: &TripTables<'_>,
    leaves: &[Leaf<'_>],
    pages: &[View<'_>],
) -> io::Result<()> {
    let mut greys = Greys::default();
    let drawings = drawn(&mut greys, pages);
    let title = tables.trips.first().and_then(trip_name);
    let title = title.unwrap_or_else(|| "No trip".to_owned());
    begin(out, &title, STYLE, &greys)?;
    if tables.trips.is_empty() {
        writeln!(out, "<h1>No trip</h1>")?;
    }
    for trip in tables.trips {
        evenings(out, tables, trip, leaves)?;
    }
    notes(out, tables)?;
    let nights = leaves.iter().zip(pages).zip(drawings.chunks(1));
    for (index, ((leaf, view), drawing)) in nights.enumerate() {
        writeln!(out, "<article id=\"{}\">", leaf.anchor)?;
        let of_trip = of_trip(leaf, leaves);
        night_page(out, std::slice::from_ref(view), drawing, &of_trip)?;
        let up = link(&index_of(leaf.trip), "all evenings");
        let on = leaves.get(index + 1).map(|next| {
            let night = short_night_words(next.stop.window.night);
            let to = format!("next page: {}, {night}", next.stop.site().title());
            format!(" | {}", link(&next.anchor, &to))
        });
        let on = on.unwrap_or_default();
        writeln!(out, "<p class=\"go\">{up}{on}</p>\n</article>")?;
    }
    end(out)
}

fn index_of(trip: &Trip) -> String {
    format!("trip-{}", trip.rank)
}

/// A link to an anchor of the document; the text is escaped here.
fn link(anchor: &str, text: &str) -> String {
    format!("<a href=\"#{anchor}\">{}</a>", escaped(text))
}

fn linked(anchor: Option<&str>, text: &str) -> String {
    anchor.map_or_else(|| escaped(text), |anchor| link(anchor, text))
}

/// The anchor of the page of a stop of a trip, if it has one.
fn anchor_of<'a>(
    leaves: &'a [Leaf<'_>],
    trip: &Trip,
    purpose: Purpose,
    stop: &TripStop,
) -> Option<&'a str> {
    let mut of_trip = leaves.iter().filter(|leaf| std::ptr::eq(leaf.trip, trip));
    let leaf = of_trip.find(|leaf| leaf.purpose == purpose && leaf.is_of(stop))?;
    Some(&leaf.anchor)
}

/// The evenings of a trip, each in a line, and how one gets there and what
/// stands in for it in the next.
fn evenings(
    out: &mut impl Write,
    tables: &TripTables<'_>,
    trip: &Trip,
    leaves: &[Leaf<'_>],
) -> io::Result<()> {
    let Some(name) = trip_name(trip) else {
        return Ok(());
    };
    let whole = format!("In all{}", trip_words(trip, tables.is_weighted));
    writeln!(
        out,
        "<section class=\"trips\" id=\"{}\">\n<h1>{}</h1>\n<p>{}</p>",
        index_of(trip),
        escaped(&name),
        escaped(&whole)
    )?;
    if let Some(chances) = clear_chances_line(trip) {
        writeln!(out, "<p>{}</p>", escaped(&chances))?;
    }
    let columns = columns();
    writeln!(
        out,
        "<table class=\"trip\">\n<caption>Each evening leads to its page; below it stands \
         what can stand in for it.</caption>"
    )?;
    head(
        out,
        columns.iter().map(|(_, s)| (s.title.to_owned(), s.side)),
    )?;
    for row in TripRow::all(trip) {
        // The lines of an evening stay on one sheet; `head` has begun the first.
        if row.number > 1 {
            writeln!(out, "<tbody>")?;
        }
        write!(out, "<tr>")?;
        for (field, shown) in &columns {
            let text = (shown.text)(&row, Room::Page);
            let text = match (field.name, row.session()) {
                ("night", Some(stop)) => {
                    linked(anchor_of(leaves, trip, Purpose::Session, stop), &text)
                }
                (SITE, Some(_)) => format!("<strong>{}</strong>", escaped(&text)),
                (SCORE, Some(stop)) if is_marked(stop.window.doubts) => format!("{text}~"),
                ("window", Some(_)) => format!("<span>{}</span>", escaped(&text)),
                _ => escaped(&text),
            };
            write!(out, "<td{}>{text}</td>", class(shown.side))?;
        }
        writeln!(out, "</tr>")?;
        if let Some(stop) = row.session() {
            let more = more(&row, stop, leaves);
            let left = class(Side::Left);
            let all = columns.len();
            writeln!(
                out,
                "<tr class=\"more\"><td{left} colspan=\"{all}\">{more}</td></tr>"
            )?;
        }
        writeln!(out, "</tbody>")?;
    }
    writeln!(out, "</table>\n</section>")
}

fn columns() -> Vec<Column<TripRows>> {
    let fields = EVENING.iter().chain(SHOWN_OF_WINDOW);
    let mut columns = record_grid::columns(fields, Importance::Further, Common::default());
    let place = |name: &str| COLUMNS.iter().position(|column| *column == name);
    columns.retain(|(field, _)| place(field.name).is_some());
    columns.sort_by_key(|(field, _)| place(field.name));
    columns
}

/// What is to be known of a session besides, and what stands in for it, as HTML.
fn more(row: &TripRow<'_>, stop: &TripStop, leaves: &[Leaf<'_>]) -> String {
    let mut parts: Vec<String> = vec![stop.window.light.word().to_owned()];
    parts.extend(chance_words(stop));
    parts.extend(way_words(stop));
    format!("{}; {}", escaped(&parts.join(", ")), spares(row, leaves))
}

fn chance_words(stop: &TripStop) -> Option<String> {
    Some(format!("clear {}", percent(stop.chance?)))
}

fn way_words(stop: &TripStop) -> Option<String> {
    Some(drive_words(stop.site(), stop.way?))
}

/// What stands in for a session, as HTML.
fn spares(row: &TripRow<'_>, leaves: &[Leaf<'_>]) -> String {
    let (place, later) = (&row.night.spare_place, &row.night.spare_night);
    let spare = |purpose, stop: &TripStop, text: &str| {
        let anchor = anchor_of(leaves, row.trip, purpose, stop);
        let mut facts = vec![format!("score {:.0}", stop.window.score)];
        facts.extend(chance_words(stop));
        // The drive to a spare night starts where the group is then.
        facts.extend(way_words(stop).filter(|_| purpose == Purpose::SparePlace));
        let what = format!(" ({})", facts.join(", "));
        linked(anchor, text) + &escaped(&what)
    };
    let mut parts: Vec<String> = Vec::new();
    if let Some(stop) = place {
        let text = format!("spare place {}", stop.site().title());
        parts.push(spare(Purpose::SparePlace, stop, &text));
    }
    if let Some(stop) = later {
        let text = format!("spare night {}", short_night_words(stop.window.night));
        parts.push(spare(Purpose::SpareNight, stop, &text));
    }
    match parts.is_empty() {
        true => "no spare place or night".to_owned(),
        false => parts.join("; "),
    }
}

/// What the evenings assume, and what to take care of.
fn notes(out: &mut impl Write, tables: &TripTables<'_>) -> io::Result<()> {
    // A spare place is a drive away, also of a trip to one place.
    let away = |trip: &Trip| trip.nights.iter().any(|night| night.spare_place.is_some());
    let drives = tables
        .trips
        .iter()
        .any(|trip| trip.moves() > 0 || away(trip));
    let key = tables.key(drives).into_iter().chain(tables.mark_note());
    for note in key {
        writeln!(out, "<p>{}</p>", escaped(&note))?;
    }
    if drives {
        let caution = Caution {
            topic: CautionTopic::Drive,
            because: Because::Always,
        };
        list(
            out,
            "Take care",
            [caution_sentence(&caution)].into_iter(),
            2,
        )?;
    }
    Ok(())
}

/// What a page is within its trip, as lines of its answer: the evening, what the
/// index says of it, and what stands in for it.
fn of_trip(leaf: &Leaf<'_>, leaves: &[Leaf<'_>]) -> String {
    let (stop, trip) = (leaf.stop, leaf.trip);
    let evenings = leaf.evenings.iter().map(|row| {
        let session = row.session();
        let anchor = session.and_then(|s| anchor_of(leaves, trip, Purpose::Session, s));
        let anchor = anchor.filter(|_| leaf.purpose != Purpose::Session);
        linked(anchor, &format!("evening {}", row.number))
    });
    let evenings: Vec<String> = evenings.collect();
    let evenings = evenings.join(", ");
    let of = match leaf.purpose {
        Purpose::Session => format!("{evenings} of {}", trip.nights.len()),
        Purpose::SparePlace => format!("spare place of {evenings}"),
        Purpose::SpareNight => format!("spare night of {evenings}"),
    };
    let trip_name = trip_name(trip).unwrap_or_default();
    let mut facts = vec![
        format!("score {:.0}", stop.window.score),
        stop.window.light.word().to_owned(),
    ];
    facts.extend(chance_words(stop));
    facts.extend(way_words(stop));
    let line = |name: &str, html: &str| {
        format!("<div class=\"of-trip\"><dt>{name}</dt><dd>{html}</dd></div>\n")
    };
    let mut lines = String::new();
    if let (Purpose::Session, Some(row)) = (leaf.purpose, leaf.evenings.first()) {
        lines.push_str(&line("Spare", &spares(row, leaves)));
    }
    let trip_name = link(&index_of(trip), &trip_name);
    let facts = escaped(&facts.join(", "));
    lines.push_str(&line("Trip", &format!("{trip_name}; {of}: {facts}")));
    lines
}

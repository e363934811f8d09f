//! Quarters, apsides and eclipses, as a table and as JSON.

use super::{
    cell::Cell,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    json::{document, object, query},
    rows::phases::{APSIDES, ECLIPSES, QUARTERS, apsis_word},
    words::eclipse_word,
    wrap::write_note,
};
use crate::{
    ephemeris::{Apsis, Eclipse, Moment, Quarter},
    scene::{Zone, offset_text},
};
use serde_json::{Value, json};
use std::io::{self, Write};

/// What the Moon does over a range of days.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// Quarters, in order of time.
    pub quarters: Vec<(Quarter, Moment)>,
    /// Perigees and apogees, in order of time.
    pub apsides: Vec<Apsis>,
    /// Lunar eclipses, in order of time.
    pub eclipses: Vec<Eclipse>,
}

fn quarter_words(quarter: Quarter) -> &'static str {
    match quarter {
        Quarter::New => "new Moon",
        Quarter::First => "first quarter",
        Quarter::Full => "full Moon",
        Quarter::Last => "last quarter",
    }
}

fn utc(moment: Moment) -> Value {
    Cell::Utc(moment).to_json()
}

/// Local date and time, rounded to the minute, and the offset from UTC.
fn local(zone: Zone, moment: Moment) -> String {
    let rounded = moment.to_the_minute();
    format!(
        "{} {}",
        zone.local(rounded).format("%a %Y-%m-%d %H:%M"),
        offset_text(zone.offset_seconds_at(rounded))
    )
}

const ECLIPSES_NOTE: &str = "Eclipses of the Moon: the time of the greatest, and how deep the Moon is in \
     umbra and penumbra, 1 for its whole diameter.";

impl Almanac {
    /// Writes everything in order of time.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write, zone: Zone, width: usize) -> io::Result<()> {
        let quarters = self.quarters.iter().map(|(quarter, moment)| {
            let style = if matches!(quarter, Quarter::New | Quarter::Full) {
                STRONG
            } else {
                PLAIN
            };
            let words = quarter_words(*quarter).to_string();
            (*moment, words, String::new(), style)
        });
        let apsides = self.apsides.iter().map(|apsis| {
            let distance = format!("{:.0} km", apsis.distance_km);
            (
                apsis.moment,
                apsis_word(apsis.kind).to_string(),
                distance,
                FAINT,
            )
        });
        let eclipses = self.eclipses.iter().map(|eclipse| {
            let words = format!("{} eclipse", eclipse_word(eclipse.kind));
            let magnitude = format!(
                "umbral {:.3}, penumbral {:.3}",
                eclipse.umbral_magnitude, eclipse.penumbral_magnitude
            );
            (eclipse.greatest, words, magnitude, STRONG)
        });
        let mut all: Vec<_> = quarters.chain(apsides).chain(eclipses).collect();
        all.sort_by(|a, b| a.0.seconds().total_cmp(&b.0.seconds()));
        writeln!(out, "{FAINT}times in {}{FAINT:#}", zone.name())?;
        let mut grid = Grid::new([Side::Left, Side::Left, Side::Left]);
        for (moment, what, detail, style) in all {
            grid.styled_row([(local(zone, moment), PLAIN), (what, style), (detail, PLAIN)]);
        }
        grid.shed(width, &[2]);
        grid.write(out)?;
        if !self.eclipses.is_empty() {
            write_note(out, ECLIPSES_NOTE, width)?;
        }
        Ok(())
    }

    /// Writes one JSON object: `phases`, `apsides`, `eclipses`, times in UTC.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_json(&self, out: &mut impl Write) -> io::Result<()> {
        let pair = |times: Option<[Moment; 2]>| {
            times.map_or(Value::Null, |[first, last]| json!([utc(first), utc(last)]))
        };
        let quarters = self
            .quarters
            .iter()
            .map(|quarter| object(QUARTERS, &quarter));
        let apsides = self.apsides.iter().map(|apsis| object(APSIDES, &apsis));
        let eclipses = self.eclipses.iter().map(|eclipse| {
            let mut fields = object(ECLIPSES, &eclipse);
            for (key, times) in [
                ("penumbral_utc", Some(eclipse.penumbral)),
                ("partial_utc", eclipse.partial),
                ("total_utc", eclipse.total),
            ] {
                fields.insert(key.to_owned(), pair(times));
            }
            fields
        });
        let body = json!({
            "phases": quarters.collect::<Vec<_>>(),
            "apsides": apsides.collect::<Vec<_>>(),
            "eclipses": eclipses.collect::<Vec<_>>(),
        });
        let document = document(query("phases"), body);
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }
}

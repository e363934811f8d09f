//! Spare nights and places, as a table and in JSON.

use super::{
    best_night::{BestNight, Doubted},
    blocks::unless_alike,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    json::{list, object},
    rows::spare_place::{PLACE, SPARE_PLACE},
    words::{EVENING_OF_ITS_ZONE, away_words, night_words},
    wrap::{shortened_within, write_head, write_note},
};
use crate::{
    scene::{Site, Units},
    search::{SparePlace, SparePlaces},
};
use serde_json::Value;
use std::io::{self, Write};

/// Places that a table lists of an evening.
const OF_AN_EVENING: usize = 3;
/// Lines that a table gives to what can stand in for a window.
const OF_A_WINDOW: usize = 8;
/// Names are not cut shorter than this, characters.
const SHORTEST_NAME: usize = 8;

/// Writes, for each window, what can stand in for it.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    windows: &[SparePlaces<'_>],
    days: u32,
    width: usize,
) -> io::Result<()> {
    let evenings = match days {
        1 => "the same evening and the next".to_owned(),
        _ => format!("the same evening and within {days} days after"),
    };
    let rest = format!(": found on {evenings}, with their scores");
    write_head(out, "Spare nights and places", &rest, width)?;
    let sites = |of: &SparePlaces<'_>| -> Vec<String> {
        let spares = of.spares.iter().map(|spare| spare.site);
        let sites = std::iter::once(of.site).chain(spares);
        sites.map(|site| site.title().into_owned()).collect()
    };
    let names: Vec<String> = windows.iter().flat_map(sites).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let longest = names.iter().map(|name| name.chars().count()).max();
    let longest = longest.unwrap_or_default();
    let mut made = grid(windows, |_| None);
    for most in (SHORTEST_NAME..longest).rev() {
        if made.width() <= width {
            break;
        }
        if let Some(short) = shortened_within(&names, most) {
            made = grid(windows, |name| short.get(name).cloned());
        }
    }
    made.write(out)?;
    let all = windows.iter().flat_map(|of| {
        let spares = of.spares.iter().map(|spare| (spare.site, spare.window));
        std::iter::once((of.site, of.window)).chain(spares)
    });
    if unless_alike(all.clone().map(|(site, _)| site.zone.name())).is_some() {
        write_note(out, EVENING_OF_ITS_ZONE, width)?;
    }
    let mut doubted = Doubted::default();
    all.for_each(|(_, window)| doubted.add(&BestNight::of(window)));
    match doubted.note() {
        Some(note) => write_note(out, &note, width),
        None => Ok(()),
    }
}

/// A row for each window, below it one for each that can stand in.
fn grid(windows: &[SparePlaces<'_>], short: impl Fn(&str) -> Option<String>) -> Grid {
    let mut grid = Grid::new([
        Side::Right,
        Side::Left,
        Side::Right,
        Side::Left,
        Side::Right,
    ]);
    grid.heading(["#", "evening", "score", "site", "away"]);
    let name = |site: &Site| {
        let title = site.title();
        short(&title).unwrap_or_else(|| title.into_owned())
    };
    for of in windows {
        let window = of.window;
        let texts = [
            window.rank.to_string(),
            night_words(window.night),
            BestNight::of(window).score_words(),
            name(of.site),
            String::new(),
        ];
        grid.styled_row(texts.map(|text| (text, STRONG)));
        let listed = listed(&of.spares);
        for spare in &listed {
            grid.row([
                String::new(),
                format!("  {}", night_words(spare.window.night)),
                BestNight::of(spare.window).score_words(),
                name(spare.site),
                away(of.site.conventions.units, spare),
            ]);
        }
        let rest = match of.spares.len() - listed.len() {
            0 if listed.is_empty() => "  none".to_owned(),
            0 => continue,
            more => format!("  {more} more"),
        };
        grid.styled_row([(String::new(), PLAIN), (rest, FAINT)]);
    }
    grid
}

/// Those that a table lists: of each evening the best.
fn listed<'s, 'a>(spares: &'s [SparePlace<'a>]) -> Vec<&'s SparePlace<'a>> {
    let same = |a: &SparePlace<'_>, b: &SparePlace<'_>| a.window.night == b.window.night;
    let evenings = spares.chunk_by(same);
    let of_evenings = evenings.flat_map(|evening| evening.iter().take(OF_AN_EVENING));
    of_evenings.take(OF_A_WINDOW).collect()
}

/// How far it is; nothing at the same place.
fn away(units: Units, spare: &SparePlace<'_>) -> String {
    match spare.distance_km {
        None => "-".to_owned(),
        Some(0.0) => String::new(),
        Some(km) => away_words(units, km),
    }
}

/// The windows with what can stand in for each, as an array.
pub fn array<'a>(windows: impl Iterator<Item = &'a SparePlaces<'a>>) -> Value {
    let one = |of: &SparePlaces<'_>| {
        let spares = of.spares.iter().map(|spare| list(SPARE_PLACE, spare));
        let spares = spares.collect();
        let mut whole = object(PLACE, &of);
        whole.insert("spares".into(), spares);
        Value::Object(whole)
    };
    windows.map(one).collect()
}

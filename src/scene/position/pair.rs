//! A latitude, a longitude and perhaps an elevation, written beside each
//! other in any of the ways of [`angle`](super::angle).

use super::angle::{Angle, Axis, readings};
use super::{Position, Read, ask, refuse};
use crate::scene::length::{comma_hint, metres_with_unit};
use crate::scene::number::number;

/// What parts two values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Gap {
    Semicolon,
    /// A comma with a blank behind it: no decimal mark.
    CommaBlank,
    Comma,
    Blank,
    /// Nothing: a letter or a sign begins or ends a value.
    Joint,
}

/// A place where the text can be parted.
struct Cut {
    gap: Gap,
    /// Where the first value ends and the next begins, bytes.
    end: usize,
    start: usize,
}

/// More places than this to part a text at are no position.
const MOST_CUTS: usize = 24;

/// Every place where the text can be parted.
fn cuts(text: &str) -> Vec<Cut> {
    let mut cuts = Vec::new();
    let mut before: Option<char> = None;
    let mut skip_to = 0;
    for (at, character) in text.char_indices() {
        if at < skip_to {
            continue;
        }
        let rest = text.get(at..).unwrap_or_default();
        let is_separator = |c: char| matches!(c, ' ' | ',' | ';');
        if is_separator(character) {
            let width = rest.find(|c| !is_separator(c)).unwrap_or(rest.len());
            let run = rest.get(..width).unwrap_or_default();
            let gap = match (
                run.matches(';').count(),
                run.matches(',').count(),
                run.contains(' '),
            ) {
                (1, 0, _) => Some(Gap::Semicolon),
                (0, 1, true) => Some(Gap::CommaBlank),
                (0, 1, false) => Some(Gap::Comma),
                (0, 0, true) => Some(Gap::Blank),
                _ => None,
            };
            skip_to = at + width;
            if let Some(gap) = gap {
                cuts.push(Cut {
                    gap,
                    end: at,
                    start: skip_to,
                });
            }
        } else if let Some(before) = before {
            let begins = character.is_alphabetic() && !before.is_alphabetic();
            let ends = before.is_alphabetic() && !character.is_alphabetic();
            let signed = matches!(character, '-' | '+') && !matches!(before, '-' | '+');
            if begins || ends || signed {
                cuts.push(Cut {
                    gap: Gap::Joint,
                    end: at,
                    start: at,
                });
            }
        }
        before = Some(character).filter(|_| !is_separator(character));
    }
    cuts
}

/// An elevation, metres, and whether it has its unit.
fn elevation(text: &str) -> Option<(f64, bool)> {
    let text = text.trim();
    // A label: `elevation 1900 m`.
    let bare = ["elevation", "altitude", "elev", "ele", "alt"]
        .into_iter()
        .find_map(|word| {
            text.get(..word.len())
                .filter(|start| start.eq_ignore_ascii_case(word))
                .and(text.get(word.len()..))
        });
    if let Some(rest) = bare {
        let rest = rest.trim_start_matches([' ', ':', '=', '.']);
        return metres_with_unit(rest)
            .or_else(|| number(rest))
            .map(|metres| (metres, true));
    }
    if let Some(metres) = metres_with_unit(text) {
        return Some((metres, true));
    }
    number(&text.replacen(',', ".", 1)).map(|metres| (metres, false))
}

/// The position of two angles, in the order that their letters say.
fn joined(first: &Angle, second: &Angle, elevation_m: Option<f64>) -> Option<Position> {
    // A point and a comma are not both decimal marks.
    if (first.has_comma || second.has_comma) && (first.has_point || second.has_point) {
        return None;
    }
    let (latitude, longitude) = match (first.axis, second.axis) {
        (Some(Axis::Latitude), Some(Axis::Latitude))
        | (Some(Axis::Longitude), Some(Axis::Longitude)) => return None,
        (Some(Axis::Longitude), _) | (_, Some(Axis::Latitude)) => (second, first),
        _ => (first, second),
    };
    Some(Position::at(
        latitude.degrees,
        longitude.degrees,
        elevation_m,
    ))
}

/// Every way to part the text into two angles and perhaps an elevation.
pub(super) fn read(text: &str) -> Read {
    let cuts = cuts(text);
    if cuts.len() > MOST_CUTS {
        return Read::NotMine;
    }
    if let Some(error) = two_whole_numbers(text) {
        return error;
    }
    let mut found = Vec::new();
    for (index, first_cut) in cuts.iter().enumerate() {
        let first = readings(text.get(..first_cut.end).unwrap_or_default());
        if first.is_empty() {
            continue;
        }
        let rest = text.get(first_cut.start..).unwrap_or_default();
        for (a, b) in both(&first, &readings(rest)) {
            found.extend(joined(&a, &b, None));
        }
        for second_cut in cuts.get(index + 1..).unwrap_or_default() {
            let middle = text.get(first_cut.start..second_cut.end);
            let last = text.get(second_cut.start..).unwrap_or_default();
            let Some((metres, has_unit)) = elevation(last) else {
                continue;
            };
            for (a, b) in both(&first, &readings(middle.unwrap_or_default())) {
                let is_apart = first_cut.gap == second_cut.gap
                    && first_cut.gap != Gap::Joint
                    && (first_cut.gap != Gap::Blank || (a.is_one_number && b.is_one_number));
                let comma_after_signs = matches!(second_cut.gap, Gap::CommaBlank | Gap::Semicolon)
                    && !(a.is_one_number && b.is_one_number)
                    && !has_decimal_comma(last);
                if has_unit || is_apart || comma_after_signs {
                    found.extend(joined(&a, &b, Some(metres)));
                }
            }
        }
    }
    match found.is_empty() {
        true => comma_in_length(text).unwrap_or(Read::NotMine),
        false => Read::Readings(found),
    }
}

fn has_decimal_comma(text: &str) -> bool {
    text.contains(',')
}

fn both<'a>(first: &'a [Angle], second: &'a [Angle]) -> impl Iterator<Item = (Angle, Angle)> + 'a {
    first
        .iter()
        .flat_map(|a| second.iter().map(move |b| (*a, *b)))
}

/// `10 20`: two whole numbers that may be the degrees and minutes of a latitude
/// whose longitude was lost.
fn two_whole_numbers(text: &str) -> Option<Read> {
    let (first, second) = text.split_once(' ')?;
    let whole = |text: &str| -> Option<u32> {
        let text = text.trim();
        let digits = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
        text.parse().ok().filter(|_| digits)
    };
    let (degrees, minutes) = (whole(first)?, whole(second)?);
    (degrees <= 90 && minutes < 60).then(|| {
        let pair = Position::at(f64::from(degrees), f64::from(minutes), None);
        let error = ask(text, std::iter::once(pair.plain_text()));
        let remedy = error.remedy.clone().unwrap_or_default();
        Read::Wrong(error.with_remedy(format!(
            "{remedy} ({degrees}\u{b0}{minutes}' alone lacks its other half)"
        )))
    })
}

/// An elevation at the end whose comma has two readings: `6,230 ft`.
fn comma_in_length(text: &str) -> Option<Read> {
    // A number, a blank and its unit.
    let (rest, _) = text.rsplit_once(' ')?;
    let start = rest.rfind([' ', ';']).map_or(0, |at| at + 1);
    let last = text.get(start..)?;
    let end = last.rfind(|c: char| c.is_ascii_digit())? + 1;
    let hint = comma_hint(last, last.get(..end)?)?;
    Some(Read::Wrong(
        refuse(last).with_remedy(format!("{hint} for {last}")),
    ))
}

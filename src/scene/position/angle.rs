//! One latitude or longitude: decimal degrees, degrees and minutes, degrees,
//! minutes and seconds, with signs, letters or words.

use crate::scene::ValueError;
use crate::scene::number::{number_hint, tidy};

/// Which of the two an angle is, if it says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Axis {
    Latitude,
    Longitude,
}

/// One way to read a text as an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Angle {
    /// North and east positive.
    pub degrees: f64,
    pub axis: Option<Axis>,
    /// Whether it is one number alone: nothing tells it from an elevation.
    pub is_one_number: bool,
    /// Whether a comma in it was taken for a decimal mark.
    pub has_comma: bool,
    /// Whether it has a point as a decimal mark.
    pub has_point: bool,
}

/// What a letter or word says: the axis, and the sign where it tells one.
type Meaning = (Axis, Option<f64>);

const NORTH: Meaning = (Axis::Latitude, Some(1.0));
const SOUTH: Meaning = (Axis::Latitude, Some(-1.0));
const EAST: Meaning = (Axis::Longitude, Some(1.0));
const WEST: Meaning = (Axis::Longitude, Some(-1.0));
const LATITUDE: Meaning = (Axis::Latitude, None);
const LONGITUDE: Meaning = (Axis::Longitude, None);

/// Letters and words in lower case, in the languages in which maps are common.
const WORDS: [(&str, Meaning); 29] = [
    ("n", NORTH),
    ("s", SOUTH),
    ("e", EAST),
    ("w", WEST),
    // East in German, west in Spanish, French, Italian and Portuguese.
    ("o", EAST),
    ("o", WEST),
    ("north", NORTH),
    ("south", SOUTH),
    ("east", EAST),
    ("west", WEST),
    ("nord", NORTH),
    ("norte", NORTH),
    ("süd", SOUTH),
    ("sud", SOUTH),
    ("sur", SOUTH),
    ("sul", SOUTH),
    ("ost", EAST),
    ("est", EAST),
    ("este", EAST),
    ("leste", EAST),
    ("ouest", WEST),
    ("oeste", WEST),
    ("ovest", WEST),
    ("lat", LATITUDE),
    ("latitude", LATITUDE),
    ("lon", LONGITUDE),
    ("long", LONGITUDE),
    ("lng", LONGITUDE),
    ("longitude", LONGITUDE),
];

/// Every meaning of a word; two for `O`.
fn meanings(word: &str) -> Vec<Meaning> {
    let word = word.to_lowercase();
    let matching = WORDS.iter().filter(|(known, _)| *known == word);
    matching.map(|(_, meaning)| *meaning).collect()
}

/// Every reading of a text as one angle; none if it is no angle.
pub(super) fn readings(text: &str) -> Vec<Angle> {
    let text = text.trim();
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return Vec::new();
    }
    let (before, rest) = leading_word(text);
    let rest = rest.trim();
    let mut all = Vec::new();
    // Each way to part the signs of degrees, minutes and seconds from the
    // letter behind them; `48s` may end with either.
    for (body, after) in trailing_words(rest) {
        let words: Vec<Meaning> = match (before, after) {
            (None, None) => {
                push(&mut all, body, None);
                continue;
            }
            (Some(word), None) | (None, Some(word)) => meanings(word),
            (Some(word), Some(after)) => {
                // A label and a letter: `latitude 37 N`.
                let labels = meanings(word);
                let label = labels.iter().find(|(_, sign)| sign.is_none());
                let Some((axis, _)) = label else { continue };
                let mut words = meanings(after);
                words.retain(|(of, sign)| of == axis && sign.is_some());
                words
            }
        };
        for word in words {
            push(&mut all, body, Some(word));
        }
    }
    all
}

fn push(all: &mut Vec<Angle>, body: &str, word: Option<Meaning>) {
    let Some(size) = Size::of(body, word.map(|(axis, _)| axis)) else {
        return;
    };
    let mut push_signed = |sign: f64| {
        let reading = Angle {
            degrees: tidy(sign * size.degrees),
            axis: word.map(|(axis, _)| axis),
            is_one_number: size.parts == 1 && word.is_none() && !size.has_signs,
            has_comma: size.has_comma,
            has_point: size.has_point,
        };
        if !all.contains(&reading) {
            all.push(reading);
        }
    };
    match (size.sign, word.and_then(|(_, sign)| sign)) {
        (Some(sign), None) => push_signed(sign),
        (None, Some(sign)) => push_signed(sign),
        (None, None) => push_signed(1.0),
        // `-113 W` is written for -113 by some, for 113 E by others.
        (Some(minus), Some(sign)) if minus < 0.0 => {
            push_signed(sign);
            push_signed(-sign);
        }
        (Some(_), Some(sign)) => push_signed(sign),
    }
}

/// The word at the beginning and what follows it.
fn leading_word(text: &str) -> (Option<&str>, &str) {
    let end = text
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(text.len());
    match text.split_at_checked(end) {
        Some((word, rest)) if !word.is_empty() => {
            let rest = rest.strip_prefix([':', '=', '.']).unwrap_or(rest);
            (Some(word), rest)
        }
        _ => (None, text),
    }
}

/// The body and the word behind it, in each way to part them.
fn trailing_words(text: &str) -> Vec<(&str, Option<&str>)> {
    let start = text
        .char_indices()
        .rev()
        .take_while(|(_, c)| c.is_alphabetic())
        .last()
        .map_or(text.len(), |(at, _)| at);
    let Some((body, word)) = text.split_at_checked(start) else {
        return Vec::new();
    };
    let mut ways = Vec::new();
    if word.is_empty() {
        return vec![(text, None)];
    }
    let is_sign = word == "s" && ends_in_seconds(body);
    if !is_sign && !meanings(word).is_empty() {
        ways.push((body.trim_end(), Some(word)));
    }
    // The word may begin with the sign of the last part: `48sS`, `48s`, `37d`.
    for (at, _) in word.char_indices().skip(1).take(7) {
        if let (Some(part), Some((mark, rest))) =
            (text.get(..start + at), word.split_at_checked(at))
            && !meanings(rest).is_empty()
            && ["d", "deg", "m", "min", "s", "sec"].contains(&mark)
        {
            ways.push((part, Some(rest)));
        }
    }
    ways.push((text, None));
    ways
}

/// Whether an `s` behind it is the sign of seconds: minutes with their letter
/// stand before it.
fn ends_in_seconds(body: &str) -> bool {
    body.ends_with(|c: char| c.is_ascii_digit()) && body.contains(['m', '\''])
}

/// An angle without its letter.
struct Size {
    /// Not negative.
    degrees: f64,
    sign: Option<f64>,
    parts: usize,
    /// Whether it has signs of degrees, minutes or seconds.
    has_signs: bool,
    has_comma: bool,
    has_point: bool,
}

/// The sign behind a part.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    None,
    Colon,
    /// The one that belongs to it: `°`, `'` or `"`, as a sign or a letter.
    Own,
}

impl Size {
    fn of(body: &str, axis: Option<Axis>) -> Option<Self> {
        let body = body.trim();
        let (sign, mut rest) = match body.strip_prefix(['-', '+']) {
            Some(rest) if body.starts_with('-') => (Some(-1.0), rest.trim_start()),
            Some(rest) => (Some(1.0), rest.trim_start()),
            None => (None, body),
        };
        let mut numbers: Vec<&str> = Vec::new();
        let mut marks = Vec::new();
        while !rest.is_empty() {
            let end = rest
                .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
                .unwrap_or(rest.len());
            let (number, after) = rest.split_at_checked(end)?;
            let last = marks.last().copied();
            let (mark, after) = mark_of(numbers.len(), last, after)?;
            numbers.push(number);
            marks.push(mark);
            rest = after;
            if numbers.len() > 3 {
                return None;
            }
        }
        // No colon without a part behind it.
        if marks.last() == Some(&Mark::Colon) || !numbers.iter().all(|n| is_number(n)) {
            return None;
        }
        let has_comma = numbers.iter().any(|number| number.contains(','));
        let has_point = numbers.iter().any(|number| number.contains('.'));
        let parts = numbers.len();
        let degrees = match numbers.as_slice() {
            [one] => match (axis, marks.as_slice()) {
                (Some(axis), [Mark::None]) => packed(one, axis).or_else(|| value(one))?,
                _ => value(one)?,
            },
            [degrees, minutes] => whole(degrees)? + below_60(minutes)? / 60.0,
            [degrees, minutes, seconds] => {
                whole(degrees)?
                    + below_60(minutes).filter(|_| whole(minutes).is_some())? / 60.0
                    + below_60(seconds)? / 3600.0
            }
            _ => return None,
        };
        Some(Self {
            degrees,
            sign,
            parts,
            has_signs: marks.iter().any(|mark| *mark != Mark::None),
            has_comma,
            has_point,
        })
    }
}

/// The sign behind the part of this number (0 degrees, 1 minutes, 2 seconds),
/// and what follows it. A letter is a sign only behind one: in `33 55 12s` it
/// is the south.
fn mark_of(part: usize, last: Option<Mark>, after: &str) -> Option<(Mark, &str)> {
    let trimmed = after.trim_start();
    let own: &[&str] = match (part, last) {
        (0, _) => &["\u{b0}", "degrees", "deg", "d"],
        (1, Some(Mark::Own)) => &["'", "minutes", "min", "m"],
        (1, _) => &["'"],
        (_, Some(Mark::Own)) => &["\"", "seconds", "sec", "s"],
        _ => &["\""],
    };
    for sign in own {
        if let Some(rest) = trimmed.strip_prefix(sign) {
            return Some((Mark::Own, rest.trim_start()));
        }
    }
    if let Some(rest) = trimmed.strip_prefix(':') {
        return Some((Mark::Colon, rest.trim_start()));
    }
    // A blank parts two numbers; nothing else may follow.
    let is_apart = trimmed.len() < after.len() || trimmed.is_empty();
    is_apart.then_some((Mark::None, trimmed))
}

/// Digits with at most one decimal mark between them.
fn is_number(text: &str) -> bool {
    let marks = text.chars().filter(|c| !c.is_ascii_digit()).count();
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    marks <= 1 && digit(text.chars().next()) && digit(text.chars().last())
}

fn value(text: &str) -> Option<f64> {
    text.replace(',', ".")
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
}

fn whole(text: &str) -> Option<f64> {
    value(text).filter(|_| text.chars().all(|c| c.is_ascii_digit()))
}

fn below_60(text: &str) -> Option<f64> {
    value(text).filter(|value| *value < 60.0)
}

/// Degrees, minutes and seconds written together, as pilots and satellite
/// receivers do beside a letter: `3710N`, `371048N`, `3710.8N`, `1132512W`.
pub(super) fn packed(text: &str, axis: Axis) -> Option<f64> {
    let width = match axis {
        Axis::Latitude => 2,
        Axis::Longitude => 3,
    };
    let digits = text.find(['.', ',']).unwrap_or(text.len());
    let (degrees, rest) = text.split_at_checked(width)?;
    let degrees = whole(degrees)?;
    match digits.checked_sub(width)? {
        2 => Some(degrees + below_60(rest)? / 60.0),
        4 => {
            let (minutes, seconds) = rest.split_at_checked(2)?;
            Some(degrees + below_60(minutes)? / 60.0 + below_60(seconds)? / 3600.0)
        }
        _ => None,
    }
}

/// The latitude or longitude in a text that holds nothing else, degrees; its
/// range is checked where both are known.
///
/// # Errors
///
/// Text that is no angle, one of the other axis, and one with two readings.
pub(crate) fn single_coordinate(text: &str, axis: Axis) -> Result<f64, ValueError> {
    let (expected, example) = match axis {
        Axis::Latitude => ("a latitude from -90 to 90", "for example -31.4"),
        Axis::Longitude => ("a longitude from -180 to 180", "for example 139.2"),
    };
    let most = match axis {
        Axis::Latitude => 90.0,
        Axis::Longitude => 180.0,
    };
    let typed = text.trim();
    let plain = super::plain_signs(typed);
    let readings = readings(&plain);
    let mut degrees: Vec<f64> = readings
        .iter()
        .filter(|reading| reading.axis.is_none_or(|of| of == axis))
        .map(|reading| reading.degrees)
        .collect();
    degrees.dedup();
    match degrees.as_slice() {
        [one] => Ok(*one),
        [] => {
            let error = ValueError::new(typed, expected);
            Err(match readings.first() {
                Some(_) => error.with_remedy("latitude and longitude may be swapped"),
                None => {
                    let hint = number_hint(typed, |degrees| degrees.abs() <= most);
                    error.with_remedy(hint.unwrap_or_else(|| example.to_owned()))
                }
            })
        }
        several => {
            let each: Vec<String> = several.iter().map(f64::to_string).collect();
            Err(
                ValueError::new(typed, format!("{expected} with one reading"))
                    .with_remedy(format!("write {}", each.join(" or "))),
            )
        }
    }
}

//! The position inside a link to a map, whatever map it is.
//!
//! Only forms that many maps share are known: `@LAT,LON` in the path, a pair as
//! the value of any parameter or as a part of the path, latitude and longitude
//! as parameters of those names, and `ZOOM/LAT/LON` behind the `#`.

use super::{Position, Read};
use crate::scene::ValueError;

/// The most pairs looked at in one link.
const MOST_PAIRS: usize = 20;

pub(super) fn read(text: &str) -> Read {
    let is_address = text.contains("://") || text.starts_with("www.");
    let is_part = text.starts_with(['@', '?', '#', '&']);
    if !is_address && !is_part {
        return Read::NotMine;
    }
    match pairs(text) {
        found if found.is_empty() => Read::Wrong(
            ValueError::new(text, "a link with a position in it")
                .with_remedy("for example https://example.org/@-31.4,139.2"),
        ),
        found => Read::Readings(found),
    }
}

/// Every pair that stands in a link as a position does.
pub(super) fn pairs(link: &str) -> Vec<Position> {
    let link = without_percents(link);
    // The name of the server is no place.
    let behind = match link.split_once("://") {
        Some((_, rest)) => rest.find(['/', '?', '#']).and_then(|at| rest.get(at..)),
        None => Some(link.as_str()),
    };
    let mut found = Vec::new();
    let (mut latitude, mut longitude) = (None, None);
    let parts = behind.unwrap_or_default().split(['?', '&', '#', ';']);
    for part in parts.take(200) {
        let (name, value) = part.split_once('=').unwrap_or(("", part));
        let name = name.to_ascii_lowercase();
        let alone = || decimal(value.trim());
        match name.as_str() {
            "lat" | "mlat" | "latitude" => latitude = latitude.or_else(alone),
            "lon" | "lng" | "long" | "mlon" | "mlng" | "longitude" => {
                longitude = longitude.or_else(alone);
            }
            _ => {}
        }
        found.extend(zoom_and_pair(value));
        for piece in value.split('/') {
            let (piece, marked) = match piece.rsplit_once('@') {
                Some((_, piece)) => (piece, true),
                None => (piece, false),
            };
            found.extend(pair(piece.trim(), marked));
        }
        if found.len() > MOST_PAIRS {
            break;
        }
    }
    if let Some((latitude, longitude)) = latitude.zip(longitude) {
        found.push(Position::at(latitude, longitude, None));
    }
    found
}

/// Two decimal numbers between commas. Behind an `@`, where maps write their
/// view, more may follow; elsewhere only an elevation or a zoom.
fn pair(text: &str, marked: bool) -> Option<Position> {
    let text = text.strip_prefix("loc:").unwrap_or(text);
    // A label may follow: `37.18,-113.42(Mesa)`.
    let text = text.split('(').next().unwrap_or_default().trim_end();
    let mut numbers = text.split(',').map(str::trim);
    let (first, second) = (numbers.next()?, numbers.next()?);
    let position = Position::at(decimal(first)?, decimal(second)?, None);
    let rest = numbers.count();
    // `1,2` in a link may be anything; places have decimals there.
    let has_points = first.contains('.') || second.contains('.');
    (marked || (rest <= 1 && has_points)).then_some(position)
}

/// `12/37.18/-113.42`.
fn zoom_and_pair(text: &str) -> Option<Position> {
    let mut parts = text.split('/');
    let (zoom, latitude, longitude) = (parts.next()?, parts.next()?, parts.next()?);
    let zoom = decimal(zoom.trim_end_matches('z')).filter(|zoom| (0.0..=30.0).contains(zoom));
    zoom?;
    Some(Position::at(decimal(latitude)?, decimal(longitude)?, None))
}

fn decimal(text: &str) -> Option<f64> {
    crate::scene::number::number(text)
}

/// The text with `%2C` and the like as the characters that they stand for.
fn without_percents(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut plain = Vec::with_capacity(bytes.len());
    let mut rest = bytes;
    while let Some((&byte, after)) = rest.split_first() {
        let code = match (byte, after) {
            (b'%', [high, low, ..]) => {
                let digit = |byte: &u8| char::from(*byte).to_digit(16);
                digit(high)
                    .zip(digit(low))
                    .and_then(|(high, low)| u8::try_from(16 * high + low).ok())
            }
            _ => None,
        };
        match code {
            Some(code) => {
                plain.push(code);
                rest = after.get(2..).unwrap_or_default();
            }
            None => {
                plain.push(if byte == b'+' { b' ' } else { byte });
                rest = after;
            }
        }
    }
    String::from_utf8_lossy(&plain).into_owned()
}

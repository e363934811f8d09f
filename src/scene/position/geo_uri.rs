//! `geo:` URIs (RFC 5870).

use super::{Position, Read, link};
use crate::scene::ValueError;

const EXPECTED: &str = "a geo: address such as geo:-31.4,139.2 or geo:-31.4,139.2,120";

/// The grammar is that of RFC 5870, section 3.3; a question behind a `?`, which
/// other programs add, may hold the position of a pin.
pub(super) fn read(text: &str) -> Read {
    let Some(rest) = text
        .get(..4)
        .filter(|scheme| scheme.eq_ignore_ascii_case("geo:"))
        .and(text.get(4..))
    else {
        return Read::NotMine;
    };
    let (rest, question) = match rest.split_once('?') {
        Some((rest, question)) => (rest, Some(question)),
        None => (rest, None),
    };
    let own = position(text, rest);
    match question.map(|question| link::pairs(&format!("?{question}"))) {
        Some(pins) if !pins.is_empty() => match own {
            // An address of 0,0 with a question is an address without a place.
            Ok(place) if (place.latitude_deg, place.longitude_deg) != (0.0, 0.0) => {
                Read::Readings(std::iter::once(place).chain(pins).collect())
            }
            _ => Read::Readings(pins),
        },
        _ => Read::of(own),
    }
}

fn position(text: &str, rest: &str) -> Result<Position, ValueError> {
    let refuse = || ValueError::new(text, EXPECTED);
    let mut parts = rest.split(';');
    let mut numbers = parts.next().unwrap_or_default().split(',').map(number);
    let (latitude_deg, longitude_deg) = match (numbers.next(), numbers.next()) {
        (Some(Some(latitude)), Some(Some(longitude))) => (latitude, longitude),
        _ => return Err(refuse().with_remedy("for example geo:-31.4,139.2")),
    };
    let elevation_m = match (numbers.next(), numbers.next()) {
        (None, _) => None,
        (Some(Some(metres)), None) => Some(metres),
        _ => return Err(refuse().with_remedy("for example geo:-31.4,139.2,120")),
    };
    for parameter in parts {
        let (name, value) = parameter.split_once('=').unwrap_or((parameter, ""));
        if name.eq_ignore_ascii_case("crs") && !value.eq_ignore_ascii_case("wgs84") {
            let error = ValueError::new(parameter, "crs=wgs84, the only system that is read");
            return Err(error.with_remedy(
                "positions on another ellipsoid are not converted: nothing near it is valid",
            ));
        }
    }
    let position = Position::at(latitude_deg, longitude_deg, elevation_m);
    position.check().map(|()| position)
}

/// `num` of the grammar: digits, a point with digits behind it, a minus.
fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let digits = text.strip_prefix('-').unwrap_or(text);
    let plain = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    crate::scene::number::number(text).filter(|_| plain)
}

//! Positions by ISO 6709, annex H: `+371048-1132512+1900CRSWGS_84/`.

use super::angle::{Axis, packed};
use super::{Position, Read};
use crate::scene::ValueError;

/// Latitude, longitude and height, each with its sign and nothing between
/// them; the width of the digits tells degrees from minutes and seconds. The
/// solidus at the end may be missing where the widths leave no doubt.
pub(super) fn read(text: &str) -> Read {
    let (body, crs) = match text.strip_suffix('/') {
        Some(body) => match body.split_once("CRS") {
            Some((body, crs)) => (body, Some(crs)),
            None => (body, None),
        },
        None => (text, None),
    };
    let ended = body.len() < text.len();
    let parts = signed_parts(body);
    let (Some(latitude), Some(longitude), height, None) =
        (parts.first(), parts.get(1), parts.get(2), parts.get(3))
    else {
        return Read::NotMine;
    };
    let (Some(latitude_deg), Some(longitude_deg)) = (
        degrees(latitude, Axis::Latitude),
        degrees(longitude, Axis::Longitude),
    ) else {
        return match ended {
            true => Read::Wrong(
                ValueError::new(
                    text,
                    "2, 4 or 6 digits of latitude and 3, 5 or 7 of longitude before the point",
                )
                .with_remedy("for example -312400+1391200/"),
            ),
            false => Read::NotMine,
        };
    };
    if let Some(crs) = crs.filter(|crs| !["WGS_84", "WGS84"].contains(crs)) {
        let error = ValueError::new(
            &format!("CRS{crs}"),
            "CRSWGS_84, the only system that is read",
        );
        return Read::Wrong(error.with_remedy(
            "positions on another ellipsoid are not converted: nothing near it is valid",
        ));
    }
    let elevation_m = height.and_then(|height| crate::scene::number::number(height));
    let position = Position::at(latitude_deg, longitude_deg, elevation_m);
    Read::of(position.check().map(|()| position))
}

/// The parts of a text that is nothing but numbers with their signs; none where
/// anything else stands in it.
fn signed_parts(text: &str) -> Vec<&str> {
    let signs = |c: char| matches!(c, '+' | '-');
    let plain = text
        .chars()
        .all(|c| c.is_ascii_digit() || signs(c) || c == '.');
    if !plain || !text.starts_with(signs) {
        return Vec::new();
    }
    let starts: Vec<usize> = text.match_indices(signs).map(|(at, _)| at).collect();
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    starts
        .iter()
        .zip(ends)
        .filter_map(|(start, end)| text.get(*start..end))
        .filter(|part| crate::scene::number::number(part).is_some())
        .collect::<Vec<_>>()
}

/// Degrees of `±DD.D`, `±DDMM.M` or `±DDMMSS.S`, of a longitude with a third
/// digit of degrees.
fn degrees(part: &str, axis: Axis) -> Option<f64> {
    let digits = part.strip_prefix(['+', '-'])?;
    let whole = digits.find('.').unwrap_or(digits.len());
    let width = match axis {
        Axis::Latitude => 2,
        Axis::Longitude => 3,
    };
    let size = match whole == width {
        true => digits.parse().ok()?,
        false => packed(digits, axis)?,
    };
    let signed: f64 = if part.starts_with('-') { -size } else { size };
    Some(crate::scene::number::tidy(signed))
}

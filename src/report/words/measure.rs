//! Positions, lengths and bearings for people, as the site's conventions have
//! them. Machine formats have decimal degrees, metres and true bearings always.

use crate::{
    Figure,
    scene::{LengthUnit, North, Notation, Site, Units},
    terrain::{MAGNETIC_MODEL, MAGNETIC_YEAR},
};

/// Up to here a distance is told in the small unit, metres: the project's
/// choice.
const NEAR_M: f64 = 10_000.0;

/// A position, in decimal degrees with `decimals` of them.
pub fn position_words(
    notation: Notation,
    latitude_deg: f64,
    longitude_deg: f64,
    decimals: usize,
) -> String {
    // No zero has a minus.
    let places = [latitude_deg, longitude_deg].map(|value| {
        let text = format!("{value:.decimals$}");
        match text.trim_matches(['-', '0', '.']).is_empty() {
            true => 0.0,
            false => value,
        }
    });
    match notation {
        Notation::Decimal => notation.text(places[0], places[1], decimals),
        _ => notation.text(latitude_deg, longitude_deg, decimals),
    }
}

/// A height or a short length, with `decimals` where it is in metres.
pub fn height_words(units: Units, metres: f64, decimals: usize) -> String {
    match units {
        Units::Metric => format!("{:.decimals$} m", Figure(metres)),
        Units::Feet => {
            let feet = metres / LengthUnit::Foot.metres();
            // A foot is some three times finer than a metre.
            let decimals = decimals.min(1);
            format!("{:.decimals$} ft", Figure(feet))
        }
    }
}

/// A distance over the ground.
pub fn distance_words(units: Units, metres: f64) -> String {
    match units {
        Units::Metric if metres < NEAR_M => height_words(units, metres, 1),
        Units::Metric => format!("{:.2} km", metres / LengthUnit::Kilometre.metres()),
        Units::Feet if metres < LengthUnit::Mile.metres() => height_words(units, metres, 1),
        Units::Feet => format!("{:.2} mi", metres / LengthUnit::Mile.metres()),
    }
}

/// Distances from here on are told in whole kilometres or miles.
const FAR_KM: f64 = 10.0;

/// How far another place is, in kilometres or miles: to a tenth where it is
/// near.
pub(in crate::report) fn away_words(units: Units, km: f64) -> String {
    kilometre_words(units, km, usize::from(km < FAR_KM))
}

/// A distance of kilometres, in whole ones or whole miles.
pub(in crate::report) fn far_words(units: Units, km: f64) -> String {
    kilometre_words(units, km, 0)
}

fn kilometre_words(units: Units, km: f64, decimals: usize) -> String {
    match units {
        Units::Metric => format!("{km:.decimals$} km"),
        Units::Feet => {
            let metres = km * LengthUnit::Kilometre.metres();
            format!("{:.decimals$} mi", metres / LengthUnit::Mile.metres())
        }
    }
}

/// A true bearing in degrees, or what a compass shows there, marked `M`.
pub fn bearing_words(north: North, true_deg: f64, decimals: usize) -> String {
    match north {
        North::True => format!("{true_deg:.decimals$}°"),
        North::Magnetic { .. } => {
            let shown = format!("{:.decimals$}", north.bearing_deg(true_deg));
            // What rounds to a whole turn is north.
            let shown = match shown.strip_prefix("360") {
                Some(rest) => format!("0{rest}"),
                None => shown,
            };
            format!("{shown}°M")
        }
    }
}

/// The place of a site, behind its name: position, elevation, and which north
/// bearings are counted from where that is not the true one.
pub fn place_words(site: &Site) -> String {
    let conventions = &site.conventions;
    let mut words = format!(
        "{}, {}",
        position_words(
            conventions.coordinates,
            site.latitude_deg,
            site.longitude_deg,
            4
        ),
        height_words(conventions.units, site.elevation_m, 0)
    );
    if let Some(north) = north_words(conventions.north) {
        words.push_str(", ");
        words.push_str(&north);
    }
    words
}

/// How bearings from a north differ from true ones; nothing where they are those.
pub fn north_words(north: North) -> Option<String> {
    let North::Magnetic { declination_deg } = north else {
        return None;
    };
    let side = if declination_deg < 0.0 {
        "west"
    } else {
        "east"
    };
    Some(format!(
        "bearings M: magnetic, declination {:.1}° {side} ({MAGNETIC_MODEL}, {MAGNETIC_YEAR:.1})",
        declination_deg.abs()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_in_feet_and_miles() {
        // 1 ft is 0.3048 m, 1 mi 1609.344 m, by definition.
        for (metres, metric, feet) in [
            (1900.0, "1900.0 m", "1.18 mi"),
            (91.44, "91.4 m", "300.0 ft"),
            (16_093.44, "16.09 km", "10.00 mi"),
        ] {
            assert_eq!(distance_words(Units::Metric, metres), metric);
            assert_eq!(distance_words(Units::Feet, metres), feet);
        }
        assert_eq!(height_words(Units::Feet, 1898.904, 0), "6230 ft");
        assert_eq!(height_words(Units::Metric, -0.2, 0), "0 m");
    }

    #[test]
    fn a_magnetic_bearing_is_the_true_one_less_the_declination() {
        let north = North::Magnetic {
            declination_deg: 10.6,
        };
        assert_eq!(bearing_words(north, 158.6, 0), "148°M");
        assert_eq!(bearing_words(north, 10.3, 0), "0°M");
        assert_eq!(bearing_words(north, 5.0, 1), "354.4°M");
        assert_eq!(bearing_words(North::True, 158.6, 1), "158.6°");
    }

    #[test]
    fn no_zero_has_a_minus() {
        let text = position_words(Notation::Decimal, -0.000_01, 0.0, 4);
        assert_eq!(text, "0.0000 0.0000");
    }
}

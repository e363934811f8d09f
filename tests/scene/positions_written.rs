//! Positions in every notation: where other libraries and the standards say
//! that they are (`tests/reference/places_written.csv`), what has no reading or
//! several (`tests/data/positions_refused.txt`), and what the program writes,
//! read back.

use crate::common;

use common::rows;
use proptest::prelude::*;
use rakelight::scene::{Notation, Position};

/// Metres of a degree of latitude, at least.
const DEGREE_M: f64 = 110_574.0;

fn metres_apart(a: &Position, latitude_deg: f64, longitude_deg: f64) -> f64 {
    let turned = (a.longitude_deg - longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
    let east = turned * latitude_deg.to_radians().cos();
    DEGREE_M * (a.latitude_deg - latitude_deg).hypot(east)
}

#[test]
fn every_spelling_is_where_the_others_have_it() {
    let rows = rows("places_written.csv");
    assert!(rows.len() >= 120, "{}", rows.len());
    let mut wrong = Vec::new();
    for row in &rows {
        let text = row.text("text");
        // Half the last digit of the reference: a hundredth of a millimetre for
        // degrees, of the published values a centimetre or a metre.
        let tolerance_m = match row.text("source") {
            source if source.ends_with("to the metre") => 0.8,
            source if source.starts_with("GeographicLib") => 0.01,
            _ => 0.002,
        };
        let read: Position = match text.parse() {
            Ok(read) => read,
            Err(error) => {
                wrong.push(format!("{text}: {error}"));
                continue;
            }
        };
        let off = metres_apart(
            &read,
            row.number("latitude_deg"),
            row.number("longitude_deg"),
        );
        let elevation = row.text("elevation_m").parse::<f64>().ok();
        let higher = match (read.elevation_m, elevation) {
            (Some(a), Some(b)) => (a - b).abs(),
            (None, None) => 0.0,
            _ => f64::INFINITY,
        };
        if off.is_nan() || off > tolerance_m || higher > 0.001 {
            wrong.push(format!(
                "{text}: {read:?} is {off} m off, {higher} m higher"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}\n", wrong.join("\n"));
}

/// What is said of each text that has no reading or several, and each reading
/// offered is read when it is typed.
#[test]
fn what_has_no_reading_or_several_is_asked_back() {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/positions_refused.txt"
    );
    let text = std::fs::read_to_string(file).expect("the file");
    let mut wrong = Vec::new();
    let mut count = 0;
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    while let Some(typed) = lines.next() {
        if typed.is_empty() {
            continue;
        }
        let expected = lines.next().unwrap_or_default();
        count += 1;
        let said = match typed.parse::<Position>() {
            Ok(position) => format!("read as {position:?}"),
            Err(error) => {
                if let Some(remedy) = error.remedy.as_deref() {
                    wrong.extend(unread(typed, &error.found, remedy));
                }
                error.to_string()
            }
        };
        if said != expected {
            wrong.push(format!("{typed}\n{said}\n"));
        }
    }
    assert!(count >= 30, "{count}");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// What a remedy offers in whole and is not read.
fn unread(typed: &str, found: &str, remedy: &str) -> Vec<String> {
    let Some((_, offered)) = remedy
        .rsplit_once("write ")
        .or(remedy.rsplit_once("for example "))
    else {
        return Vec::new();
    };
    let offered = offered.split(" (").next().unwrap_or_default();
    let offered = offered.split(" for ").next().unwrap_or_default();
    let in_place = |part: &str| match remedy.rsplit_once(" for ") {
        Some((_, found)) if typed.contains(found) => typed.replace(found, part),
        _ => typed.replace(found, part),
    };
    offered
        .split(" or ")
        .filter_map(|part| {
            let text = in_place(part);
            let error = text.parse::<Position>().err()?;
            Some(format!("{typed}: offered {text}: {error}"))
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(2000)
    })]

    /// Everything that is written is read, as near as its last digit.
    #[test]
    fn what_is_written_is_read_back(latitude in -90.0..=90.0_f64, longitude in -180.0..=180.0_f64) {
        for (word, notation) in Notation::ALL {
            let text = notation.text(latitude, longitude, 4);
            let read: Position = text.parse().map_err(|error| {
                TestCaseError::fail(format!("{word}: {text}: {error}"))
            })?;
            // Half a digit, as metres of latitude, and as much of longitude.
            let within_m = match (notation, (-80.0..=84.0).contains(&latitude)) {
                (Notation::Utm | Notation::Mgrs, true) => 0.75,
                (Notation::Decimal, _) | (Notation::Utm | Notation::Mgrs, false) => 8.0,
                (Notation::Minutes, _) => 1.4,
                (Notation::Seconds | Notation::Iso6709, _) => 2.3,
                (Notation::Geo, _) => 0.8,
            };
            let off = metres_apart(&read, latitude, longitude);
            prop_assert!(off <= within_m, "{}: {} is {} m off {} {}", word, text, off, latitude, longitude);
        }
    }

    #[test]
    fn no_text_is_a_surprise(text in "[-+0-9 .,;:°'\"NSEWOnsewodm@/?#=µé]{0,40}") {
        if let Ok(read) = text.parse::<Position>() {
            prop_assert!(read.latitude_deg.abs() <= 90.0 && read.longitude_deg.abs() <= 180.0);
        }
    }
}

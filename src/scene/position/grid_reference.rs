//! MGRS: a zone, a band, a square of 100 km and digits within it.
//!
//! Letters and rows are those of NGA.STND.0037 (2014) for WGS84.

use super::utm::{Grid, band_deg, band_of, is_in_band};
use super::{Position, Read};
use crate::scene::ValueError;
use crate::scene::number::tidy;

/// Columns of 100 km from an easting of 100 km, for each three zones in turn.
const COLUMNS: [&str; 3] = ["ABCDEFGH", "JKLMNPQR", "STUVWXYZ"];
/// Rows of 100 km from the equator; in zones of an even number from F.
const ROWS: &str = "ABCDEFGHJKLMNPQRSTUV";
const SQUARE_M: f64 = 100_000.0;
/// The rows begin anew after so many.
const ROW_COUNT: usize = 20;

/// A reference to a square of a kilometre or less; the middle of the square is
/// the position.
pub(super) fn read(text: &str) -> Read {
    let bare = text.to_ascii_uppercase();
    let bare = bare.trim_start_matches("MGRS").replace([' ', ':', ','], "");
    let Some((zone, letters, digits)) = parts(&bare) else {
        return Read::NotMine;
    };
    let refuse = |expected: &str| {
        Read::Wrong(ValueError::new(text, expected).with_remedy("for example 54JUL2886924665"))
    };
    if digits.len() % 2 == 1 || !(4..=10).contains(&digits.len()) {
        return refuse("as many digits for the easting as for the northing, two to five each");
    }
    match position(zone, letters, digits) {
        Some(position) => Read::Readings(vec![position]),
        None => refuse("a zone, a band and a square that belong together"),
    }
}

/// `12`, `SUG`, `8523317350`.
fn parts(text: &str) -> Option<(u8, [char; 3], &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit())?;
    let zone = text
        .get(..end)
        .filter(|zone| (1..=2).contains(&zone.len()))?;
    let digits = text.get(end + 3..)?;
    let mut letters = text.get(end..end + 3)?.chars();
    let letters = [letters.next()?, letters.next()?, letters.next()?];
    let all_letters = letters.iter().all(char::is_ascii_uppercase);
    let all_digits = digits.chars().all(|c| c.is_ascii_digit());
    (all_letters && all_digits).then_some((zone.parse().ok()?, letters, digits))
}

fn position(zone: u8, [band, column, row]: [char; 3], digits: &str) -> Option<Position> {
    if !(1..=60).contains(&zone) {
        return None;
    }
    let band = band_deg(band)?;
    let columns = COLUMNS.get(usize::from(zone - 1) % 3)?;
    let column = columns.find(column)?;
    let row = ROWS.find(row)?;
    let row = (row + ROW_COUNT - first_row(zone)) % ROW_COUNT;
    let (easting, northing) = digits.split_at_checked(digits.len() / 2)?;
    let size_m = 10_f64.powi(5 - i32::try_from(easting.len()).ok()?);
    let middle = |digits: &str| Some((digits.parse::<f64>().ok()? + 0.5) * size_m);
    let easting_m = (column + 1) as f64 * SQUARE_M + middle(easting)?;
    let in_rows_m = row as f64 * SQUARE_M + middle(northing)?;
    // The band tells which of the rows with this letter it is.
    let is_north = band.0 >= 0.0;
    let grids = (0..5).map(|turn| Grid {
        zone,
        is_north,
        easting_m,
        northing_m: in_rows_m + (turn * ROW_COUNT) as f64 * SQUARE_M,
    });
    let mut places = grids.filter_map(|grid| grid.degrees());
    let (latitude, longitude) = places.find(|(latitude, _)| is_in_band(*latitude, band))?;
    Some(Position::at(tidy(latitude), tidy(longitude), None))
}

fn first_row(zone: u8) -> usize {
    if zone.is_multiple_of(2) { 5 } else { 0 }
}

/// The reference of the square metre that holds a position: `12S UG 85233
/// 17350`; `None` beyond the grid.
pub(super) fn text(latitude_deg: f64, longitude_deg: f64) -> Option<String> {
    let grid = Grid::of(latitude_deg, longitude_deg)?;
    let (easting, northing) = (grid.easting_m.floor(), grid.northing_m.floor());
    let square = |metres: f64| (metres / SQUARE_M).floor() as usize;
    let columns = COLUMNS.get(usize::from(grid.zone.checked_sub(1)?) % 3)?;
    let column = columns.chars().nth(square(easting).checked_sub(1)?)?;
    let row = (square(northing) + first_row(grid.zone)) % ROW_COUNT;
    let row = ROWS.chars().nth(row)?;
    Some(format!(
        "{}{} {column}{row} {:05.0} {:05.0}",
        grid.zone,
        band_of(latitude_deg)?,
        easting % SQUARE_M,
        northing % SQUARE_M
    ))
}

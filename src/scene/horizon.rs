//! The terrain that stands around a place.

use super::csv_rows::{Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::number::{number, number_within, tidy};
use super::read_csv::fields_text;
use super::value_error::ValueError;
use std::collections::HashMap;
use std::io::Read;

/// The altitude of the terrain over every azimuth: straight lines between the
/// points given, closed around north.
#[derive(Debug, Clone, PartialEq)]
pub struct Horizon {
    /// Azimuth from 0 below 360 and altitude, degrees, azimuths increasing.
    points: Vec<(f64, f64)>,
}

impl Horizon {
    /// The horizon through `points`: true azimuth (0 to 360) and altitude (-90
    /// to 90), degrees, in any order.
    ///
    /// # Errors
    ///
    /// No point at all, numbers out of range, and two altitudes for one azimuth
    /// (0 and 360 are one).
    ///
    /// # Example
    ///
    /// ```
    /// use rakelight::scene::Horizon;
    /// let horizon = Horizon::new([(90.0, 4.0), (350.0, 2.0)])?;
    /// assert_eq!(horizon.altitude_deg_at(40.0), 3.0);
    /// # Ok::<(), rakelight::scene::ValueError>(())
    /// ```
    pub fn new(points: impl IntoIterator<Item = (f64, f64)>) -> Result<Self, ValueError> {
        let mut sorted = Vec::new();
        for (azimuth_deg, altitude_deg) in points {
            let inside =
                (0.0..=360.0).contains(&azimuth_deg) && (-90.0..=90.0).contains(&altitude_deg);
            if !inside {
                let found = format!("{azimuth_deg}, {altitude_deg}");
                return Err(ValueError::new(
                    &found,
                    "an azimuth from 0 to 360 and an altitude from -90 to 90",
                ));
            }
            sorted.push((azimuth_deg.rem_euclid(360.0), altitude_deg));
        }
        sorted.sort_by(|a: &(f64, f64), b| a.0.total_cmp(&b.0));
        sorted.dedup();
        for pair in sorted.windows(2) {
            if let [(first, _), (second, _)] = pair
                && first == second
            {
                let found = format!("azimuth {first} twice");
                return Err(ValueError::new(&found, "one altitude for each azimuth")
                    .with_remedy("0 and 360 are one azimuth"));
            }
        }
        if sorted.is_empty() {
            return Err(ValueError::new("", "at least one point")
                .with_remedy("add a row, such as 0,5 for 5 degrees all around"));
        }
        Ok(Self { points: sorted })
    }

    /// Its points: azimuth and altitude, degrees, by increasing azimuth.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// Altitude of the terrain at a true azimuth (any turn), degrees.
    pub fn altitude_deg_at(&self, azimuth_deg: f64) -> f64 {
        let azimuth = azimuth_deg.rem_euclid(360.0);
        let after = self.points.partition_point(|point| point.0 <= azimuth);
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return 0.0;
        };
        let before = after
            .checked_sub(1)
            .and_then(|index| self.points.get(index));
        let next = self.points.get(after).unwrap_or(first);
        let before = before.unwrap_or(last);
        let width = (next.0 - before.0).rem_euclid(360.0);
        if width == 0.0 {
            return before.1;
        }
        let part = (azimuth - before.0).rem_euclid(360.0) / width;
        before.1 + part * (next.1 - before.1)
    }

    /// The steepest stretch: degrees of altitude for a degree of azimuth,
    /// without sign.
    pub fn steepest_slope(&self) -> f64 {
        let next = self.points.iter().cycle().skip(1);
        self.points
            .iter()
            .zip(next)
            .map(|(a, b)| (b.1 - a.1, (b.0 - a.0).rem_euclid(360.0)))
            .filter(|(_, width)| *width > 0.0)
            .map(|(rise, width)| (rise / width).abs())
            .fold(0.0, f64::max)
    }

    /// The highest altitude, degrees.
    pub fn highest_deg(&self) -> f64 {
        let altitudes = self.points.iter().map(|point| point.1);
        altitudes.fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether a table begins as one that [`Horizon::read`] takes.
    pub(super) fn has_header(table: impl Read) -> bool {
        match Rows::new("", table, true).next_row() {
            Some(Ok(row)) => row.fields.iter().take(COLUMNS.len()).eq(COLUMNS),
            _ => false,
        }
    }

    /// Reads the table `azimuth_deg,altitude_deg` (a header with these names,
    /// then one point a row; lines that begin with `#` are comments).
    ///
    /// # Errors
    ///
    /// Everything wrong in the table, with line and field.
    pub fn read(file: &str, table: impl Read) -> Result<Self, Faults> {
        let mut rows = Rows::new(file, table, true);
        let mut faults = Faults::default();
        let header = match rows.next_row() {
            Some(Ok(row)) => row,
            Some(Err(fault)) => return Err(fault.into()),
            None => {
                let error = ValueError::new("", HEADER_EXPECTED).with_remedy(HEADER_REMEDY);
                return Err(Fault::at(file, Place::START, None, error).into());
            }
        };
        // Further columns are for people, such as the ridge's distance.
        if !header.fields.iter().take(COLUMNS.len()).eq(COLUMNS) {
            let found: Vec<&str> = header.fields.iter().collect();
            let error =
                ValueError::new(&found.join(","), HEADER_EXPECTED).with_remedy(HEADER_REMEDY);
            return Err(Fault::at(file, Place::new(header.line, 1), None, error).into());
        }
        let mut columns: HashMap<&str, usize> = HashMap::new();
        for (index, name) in header.fields.iter().enumerate() {
            let first = *columns.entry(name).or_insert(index);
            if first != index && !name.is_empty() {
                let place = Place::new(header.line, index + 1);
                let error = repeated_column(name, first);
                faults.extend([Fault::at(file, place, None, error)]);
            }
        }
        let mut points: Vec<(f64, f64)> = Vec::new();
        // Where each azimuth stood first, and its altitude.
        let mut lines: HashMap<u64, (usize, f64)> = HashMap::new();
        while let Some(row) = rows.next_row() {
            let row = match row {
                Ok(row) => row,
                Err(fault) => {
                    faults.0.push(fault);
                    continue;
                }
            };
            let (Some(azimuth), Some(altitude), true) = (
                row.fields.get(0),
                row.fields.get(1),
                row.fields.len() == header.fields.len(),
            ) else {
                let found = fields_text(row.fields.len());
                let expected = format!("{}, as in the header", fields_text(header.fields.len()));
                let error = ValueError::new(&found, expected)
                    .with_remedy("write numbers with a decimal point, one point a row");
                faults
                    .0
                    .push(Fault::at(file, Place::line(row.line), None, error));
                continue;
            };
            let mut read = |column: usize, text: &str, low: f64, high: f64| {
                number_within(text, low, high)
                    .map_err(|error| {
                        let west = number(text).filter(|number| (-180.0..0.0).contains(number));
                        let turned = west.filter(|_| column == 1).map(|west| tidy(west + 360.0));
                        let error = error.with_hint(turned.map(|turn| format!("write {turn}")));
                        let place = Place::new(row.line, column);
                        let key = COLUMNS.get(column - 1).copied();
                        faults.0.push(Fault::at(file, place, key, error));
                    })
                    .ok()
            };
            let azimuth = read(1, azimuth, 0.0, 360.0);
            let altitude = read(2, altitude, -90.0, 90.0);
            let Some((azimuth, altitude)) = azimuth.zip(altitude) else {
                continue;
            };
            let turn = azimuth.rem_euclid(360.0);
            match lines.get(&turn.to_bits()) {
                Some((first, before)) if *before != altitude => {
                    let error = ValueError::new(
                        &format!("azimuth {azimuth} again"),
                        "one altitude for each azimuth",
                    )
                    .with_remedy(format!(
                        "line {first} has {before} there: keep one of the two"
                    ));
                    let place = Place::new(row.line, 1);
                    faults.0.push(Fault::at(file, place, None, error));
                }
                Some(_) => {}
                None => {
                    lines.insert(turn.to_bits(), (row.line, altitude));
                    points.push((azimuth, altitude));
                }
            }
        }
        if !faults.0.is_empty() {
            return Err(faults);
        }
        Self::new(points)
            .map_err(|error| Fault::at(file, Place::line(header.line), None, error).into())
    }
}

const COLUMNS: [&str; 2] = ["azimuth_deg", "altitude_deg"];
const HEADER_EXPECTED: &str = "the header azimuth_deg,altitude_deg";
const HEADER_REMEDY: &str = "make that the first line, its columns parted by commas";

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lines_run_between_the_points_and_around_north() {
        let horizon = Horizon::new([(90.0, 4.0), (350.0, 2.0), (180.0, 10.0)]).expect("points");
        assert_eq!(horizon.altitude_deg_at(90.0), 4.0);
        assert_eq!(horizon.altitude_deg_at(135.0), 7.0);
        assert_eq!(horizon.altitude_deg_at(40.0), 3.0);
        assert_eq!(horizon.altitude_deg_at(-320.0), 3.0);
        assert_eq!(horizon.altitude_deg_at(360.0), 2.2);
        assert!((horizon.steepest_slope() - 6.0 / 90.0).abs() < 1e-12);
        let level = Horizon::new([(10.0, 3.0)]).expect("a point");
        assert_eq!(
            (level.altitude_deg_at(200.0), level.steepest_slope()),
            (3.0, 0.0)
        );
        assert!(Horizon::new([(0.0, 1.0), (360.0, 1.0)]).is_ok());
        assert!(Horizon::new([(0.0, 1.0), (360.0, 2.0)]).is_err());
        assert!(Horizon::new([(0.0, f64::NAN)]).is_err());
    }

    #[test]
    fn faults_tell_line_and_field() {
        let read = |text: &str| match Horizon::read("h.csv", text.as_bytes()) {
            Ok(horizon) => format!("{:?}", horizon.points()),
            Err(faults) => faults.to_string(),
        };
        let header = "expected the header azimuth_deg,altitude_deg";
        let remedy = "make that the first line, its columns parted by commas";
        for (text, result) in [
            (
                "# ours\nazimuth_deg,altitude_deg\n90,1\n0,2\n",
                "[(0.0, 2.0), (90.0, 1.0)]".to_owned(),
            ),
            ("", format!("h.csv:1:1: found nothing, {header}; {remedy}")),
            ("0,2\n", format!("h.csv:1:1: found 0,2, {header}; {remedy}")),
            (
                "azimuth_deg,altitude_deg\n",
                "h.csv:1: found nothing, expected at least one point; \
                 add a row, such as 0,5 for 5 degrees all around"
                    .to_owned(),
            ),
            (
                "azimuth_deg,altitude_deg\n10,2\n10,3\n",
                "h.csv:3:1: found azimuth 10 again, expected one altitude for each azimuth; \
                 line 2 has 2 there: keep one of the two"
                    .to_owned(),
            ),
            (
                "azimuth_deg,altitude_deg\n400,2\n10,nan\n5\n",
                "h.csv:2:1: azimuth_deg: found 400, expected a number from 0 to 360\n\
                 h.csv:3:2: altitude_deg: found nan, expected a number from -90 to 90; \
                 nan and inf are refused everywhere\n\
                 h.csv:4: found 1 field, expected 2 fields, as in the header; \
                 write numbers with a decimal point, one point a row"
                    .to_owned(),
            ),
        ] {
            assert_eq!(read(text), result, "{text:?}");
        }
    }

    proptest! {
        #[test]
        fn no_step_is_steeper_than_the_steepest_slope(
            points in proptest::collection::vec((0.0_f64..360.0, -10.0_f64..60.0), 1..20),
            azimuth in 0.0_f64..360.0,
        ) {
            let Ok(horizon) = Horizon::new(points) else { return Ok(()) };
            let step = 0.01;
            let rise = horizon.altitude_deg_at(azimuth + step) - horizon.altitude_deg_at(azimuth);
            prop_assert!(rise.abs() <= horizon.steepest_slope() * step + 1e-9);
        }
    }
}

//! Skylines from CSV tables.

use super::csv_rows::{Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::plain_skyline::plain_skyline;
use super::read_csv::fields_text;
use crate::scene::number::{number, tidy};
use crate::scene::{Skyline, ValueError};
use csv::StringRecord;
use std::collections::HashMap;
use std::io::Read;

pub(super) const COLUMNS: [&str; 2] = ["azimuth_deg", "altitude_deg"];
const HEADER_EXPECTED: &str = "the header azimuth_deg,altitude_deg";
const HEADER_REMEDY: &str = "make that the first line, with a comma between its columns";

fn is_column(name: &str) -> bool {
    COLUMNS.contains(&name)
}

impl Skyline {
    /// Whether a table has the header that [`Skyline::read`] accepts.
    pub(crate) fn has_header(header: &StringRecord) -> bool {
        header.iter().take(COLUMNS.len()).eq(COLUMNS)
    }

    /// [`Skyline::read`] of a whole file, quicker if it is plain.
    pub(crate) fn read_whole(file: &str, table: &[u8]) -> Result<Self, Faults> {
        plain_skyline(table).map_or_else(|| Self::read(file, table), Ok)
    }

    /// Reads the table `azimuth_deg,altitude_deg` (a header with these names,
    /// then one point per row; lines that begin with `#` are comments).
    ///
    /// # Errors
    ///
    /// Everything wrong in the table, with line and field.
    pub fn read(file: &str, table: impl Read) -> Result<Self, Faults> {
        let mut rows = Rows::new(file, table, true, is_column);
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
        // The line on which each azimuth came first, and its altitude.
        let mut lines: HashMap<u64, (usize, f64)> = HashMap::new();
        while let Some(row) = rows.next_good_row(&mut faults) {
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
                rows.value(text)
                    .number_within((low, high))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_tell_line_and_field() {
        let read = |text: &str| match Skyline::read("h.csv", text.as_bytes()) {
            Ok(skyline) => format!("{:?}", skyline.points()),
            Err(faults) => faults.to_string(),
        };
        let header = "expected the header azimuth_deg,altitude_deg";
        let remedy = "make that the first line, with a comma between its columns";
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
                 nan and inf are not accepted\n\
                 h.csv:4: found 1 field, expected 2 fields, as in the header; \
                 write numbers with a decimal point, one point a row"
                    .to_owned(),
            ),
        ] {
            assert_eq!(read(text), result, "{text:?}");
        }
    }

    #[test]
    fn our_own_skylines_are_read_in_every_style() {
        use crate::csv_style::CsvStyle;
        use crate::terrain::{Ridge, SkylinePoint, SkylineProfile};
        // Three decimals are no thousands here: no altitude is so great.
        let altitudes = [0.0, 0.125, 1.234, 12.345, -0.5];
        let point = |(index, altitude_deg): (usize, &f64)| SkylinePoint {
            azimuth_deg: 0.25 + index as f64,
            ridge: Some(Ridge {
                altitude_deg: *altitude_deg,
                distance_m: 1234.0,
                elevation_m: 1234.5,
            }),
            missing_m: 0.0,
        };
        let profile = SkylineProfile {
            eye_m: 2.0,
            points: altitudes.iter().enumerate().map(point).collect(),
        };
        for style in CsvStyle::ALL {
            let mut text = Vec::new();
            profile.write_csv_as(&mut text, style).expect("a vector");
            let read = Skyline::read("s.csv", text.as_slice()).expect("a skyline");
            let azimuths: Vec<f64> = (0..5).map(|index| 0.25 + f64::from(index)).collect();
            let expected: Vec<(f64, f64)> = azimuths.into_iter().zip(altitudes).collect();
            assert_eq!(read.points(), expected, "{style:?}");
        }
    }
}

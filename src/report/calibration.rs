//! The reflectance of the land from a frame of the user's own.

use super::{json::object, rows::calibration::FIELDS, words::land_words, wrap::write_wrapped};
use chrono::NaiveDate;
use serde_json::Value;
use std::io::{self, Write};

/// What a frame says of the land.
#[derive(Debug, Clone, Copy)]
pub struct Calibration {
    /// Stops from the sky behind the target up to the land in the frame.
    pub measured_stops: f64,
    /// The same as computed with what the site says of the land.
    pub computed_stops: f64,
    /// The reflectance that gives the frame.
    pub reflectance: f64,
    /// The local date of the frame.
    pub date: NaiveDate,
}

impl Calibration {
    /// Writes the answer, with the lines for the site file.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let measured = format!(
            "Your frame: the land is {} the sky",
            land_words(self.measured_stops)
        );
        let computed = format!("computed: {:+.1} stops", self.computed_stops);
        write_wrapped(out, "", &format!("{measured} ({computed})."), width)?;
        let what = "Its reflectance fits into the site file as";
        write_wrapped(out, "", what, width)?;
        writeln!(out, "  [subject]")?;
        writeln!(out, "  reflectance = {:.3}", self.reflectance)?;
        writeln!(out, "  reflectance_measured = {}", self.date)
    }

    /// The answer as a JSON object.
    pub fn to_json(&self) -> Value {
        Value::Object(object(FIELDS, &self))
    }
}

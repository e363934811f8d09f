//! The text below a picture, and texts that several pictures share.

use super::{
    sheet::{Sheet, Type},
    text_width::wrapped_as,
};
use crate::{Figure, ephemeris::Moment, scene::Site};

/// Distance between lines of running text.
pub const LEADING: f64 = 18.0;

/// The lines of a caption at a width, pixels.
pub fn caption_lines(paragraphs: &[String], width: f64) -> Vec<String> {
    paragraphs
        .iter()
        .flat_map(|paragraph| wrapped_as(paragraph, Type::SMALL, width))
        .collect()
}

/// Writes lines downward from a baseline.
pub fn write_lines(sheet: &mut Sheet, lines: &[String], left: f64, baseline: f64) {
    for (index, line) in lines.iter().enumerate() {
        let y = baseline + LEADING * index as f64;
        sheet.write(line, Type::SMALL, [Type::SMALL.room(line, left, y)]);
    }
}

/// Local wall-clock time, rounded to the minute.
pub fn clock(site: &Site, moment: Moment) -> String {
    crate::report::words::clock(site, moment)
}

/// Degrees in whole numbers.
pub fn whole(degrees: f64) -> String {
    format!("{}°", Figure(degrees.round()))
}

/// A bearing in whole degrees, 0 to 359.
pub fn bearing(degrees: f64) -> String {
    whole(degrees.round().rem_euclid(360.0))
}

//! What each fuzz target does with its bytes: reads them, and where they can be
//! read holds what was read to what must be true of it. Used by the targets and
//! by tests/scene/fuzz_seeds.rs.

// A target uses one of them.
#![allow(dead_code)]

pub mod brief;
pub mod climate;
pub mod dates;
pub mod evening;
pub mod forecast;
pub mod geojson;
pub mod geotiff;
pub mod gpx;
pub mod ical;
pub mod kml;
pub mod moves;
pub mod night;
pub mod old_calendar;
pub mod option;
pub mod photo;
pub mod pieces;
pub mod place;
pub mod points;
pub mod reasons;
pub mod rule;
pub mod said;
pub mod site;
pub mod skyline;
pub mod table;
pub mod tile;
pub mod tile_name;
pub mod time;
pub mod times;

/// A directory that does not exist: no file that a text names is ever read.
pub const NOWHERE: &str = "no-such-directory";

/// The bytes as text, as far as they are any.
pub fn text(data: &[u8]) -> &str {
    match std::str::from_utf8(data) {
        Ok(text) => text,
        Err(error) => std::str::from_utf8(&data[..error.valid_up_to()]).unwrap_or_default(),
    }
}

//! One writer per format, all over the same records. No writer computes, and
//! the English they write comes from [`words`].

pub mod advice;
mod best_night;
pub mod by_bearing;
pub mod by_year;
pub mod calendar_csv;
mod cell;
mod columns;
pub mod compare;
pub mod csv;
mod emphasis;
pub mod exposure;
mod geo_shapes;
pub mod grid;
pub mod handout;
pub mod ical;
mod ical_lines;
pub mod json;
pub mod map;
pub mod markdown;
pub mod near_misses;
pub mod night;
pub mod night_csv;
pub mod night_json;
pub mod phases;
pub mod reasons;
mod record_grid;
mod record_id;
pub mod row;
mod row_kind;
pub mod rows;
pub mod season;
mod shown;
pub mod sky;
pub mod spare;
pub mod summary;
pub mod table;
pub mod tripod;
pub mod vary;
pub mod words;
mod wrap;

pub use cell::Cell;
pub use emphasis::Emphasis;
pub use record_id::{SiteId, SiteIds};
pub use rows::window::{FIELDS as WINDOW_FIELDS, Record};

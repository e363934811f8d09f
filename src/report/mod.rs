//! One writer a format, each over the same records; none computes.

mod cell;
mod columns;
pub mod csv;
pub mod expose;
pub mod grid;
pub mod json;
pub mod phases;
pub mod sky;
pub mod table;

pub use cell::Cell;
pub use columns::{COLUMNS, Column, Record, eclipse_word, lit_side_word};

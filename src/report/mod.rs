//! One writer a format, each over the same records; none computes.

pub mod advice;
mod cell;
mod columns;
pub mod compare;
pub mod csv;
pub mod expose;
pub mod grid;
pub mod json;
pub mod near_misses;
pub mod phases;
pub mod reasons;
pub mod rule_words;
pub mod sky;
pub mod spare;
pub mod table;
pub mod turn;
pub mod vary;

pub use cell::Cell;
pub use columns::{COLUMNS, Column, Record, eclipse_word, lit_side_word};

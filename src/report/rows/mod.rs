//! The records of the reports: one file a record, each with the list of its
//! fields.

pub mod instant;
pub mod night;
pub mod phases;
pub mod site;
pub mod sky;
pub mod window;
mod window_texts;

pub(super) use window_texts::SCORE;

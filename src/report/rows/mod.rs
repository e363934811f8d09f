//! The records of the reports: one file a record, each with the list of its
//! fields.

pub mod advice;
pub mod calendar;
pub mod exposure;
pub mod instant;
pub mod loosening;
mod moonlit;
pub mod night;
pub mod night_facts;
mod night_record;
pub mod phases;
pub mod reasons;
pub mod series;
pub mod site;
pub mod sky;
pub(super) mod step_texts;
pub mod tripod;
pub mod what_if;
pub mod window;
mod window_record;
mod window_texts;

pub(super) use window_texts::SCORE;

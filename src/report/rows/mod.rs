//! The records of the reports: one file per record, with the list of fields.

pub mod advice;
pub mod calendar;
pub mod calibration;
pub mod exposure;
pub mod framing;
pub mod instant;
pub mod left_out;
pub mod lens;
pub mod loosening;
mod moonlit;
pub mod night;
pub mod night_facts;
mod night_record;
pub mod phases;
pub mod photo;
pub mod reasons;
pub mod season;
pub mod series;
pub mod site;
pub mod site_nights;
pub mod sky;
pub mod spare_place;
pub(super) mod step_texts;
pub mod trip;
pub mod tripod;
pub(super) mod weather;
pub mod what_if;
pub mod window;
mod window_asked;
mod window_record;
mod window_score;
mod window_texts;

pub(super) use window_texts::{SCORE, percent};

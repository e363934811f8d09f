//! What the documents say is so.

mod examples;
mod formats;
mod guide;
mod packaging;
#[path = "../common/program.rs"]
mod program;
#[path = "../common/told.rs"]
mod told;
mod words;

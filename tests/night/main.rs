//! One night, line by line.

mod anywhere;
mod clear_nights;
mod command;
#[path = "../common/mod.rs"]
mod common;
#[path = "../common/program.rs"]
mod program;
mod repeated_hour;
mod ridge;

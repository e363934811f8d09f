//! Pictures against the numbers that they show.

mod cluster;
#[path = "../common/mod.rs"]
mod common;
mod frame;
mod geometry;
mod labels;
mod night;
mod png;
#[path = "../common/program.rs"]
mod program;
mod season;
mod sizes;
mod skyline;
mod year;

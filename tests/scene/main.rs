//! Sites as people have them: files, tables, points of maps, photographs, and
//! the clocks of a place.

mod anything;
mod bad_sites;
#[path = "../fuzz/bodies/mod.rs"]
mod bodies;
#[path = "../common/mod.rs"]
mod common;
#[path = "../common/endless.rs"]
mod endless;
mod fuzz_finds;
mod fuzz_seeds;
mod good_sites;
mod photo;
mod points_read;
mod points_written;
mod positions_written;
#[path = "../common/program.rs"]
mod program;
mod spreadsheets;
mod tables;
mod zone_at_place;
mod zones_data;

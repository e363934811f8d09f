//! What is written: rows, columns, maps, and a run that is cut short, piped or
//! out of room.

mod batch;
mod columns;
#[path = "../common/mod.rs"]
mod common;
mod going_on;
mod json_schema;
mod kept_files;
mod links;
mod map_read_back;
mod no_room;
mod printed_numbers;
#[path = "../common/program.rs"]
mod program;
mod quiet;
mod season_data;
mod season_limit;
mod streaming;
mod tables_typed;
mod threads_refused;
#[path = "../common/told.rs"]
mod told;

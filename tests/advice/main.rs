//! Why a night is missing, what if, and what else.

mod against_scan;
#[path = "../common/mod.rs"]
mod common;
#[path = "../common/program.rs"]
mod program;
mod typed;

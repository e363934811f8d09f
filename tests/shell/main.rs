//! The program among shells and terminals.

mod completions;
mod help;
#[path = "../common/program.rs"]
mod program;
mod sites;
mod tab;
mod terminal;

//! Trips, their booklet and the handout of a session.

mod booklet;
mod forecast;
mod handout;
#[path = "../common/page.rs"]
mod page;
#[path = "../common/program.rs"]
mod program;
mod search;

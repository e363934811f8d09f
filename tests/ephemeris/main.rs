//! The sky against other ephemerides, almanacs, published examples and theories.

mod arch;
#[path = "../common/mod.rs"]
mod common;
mod events;
mod moon_standstill;
mod phases;
mod positions;
mod published;
mod published_core;
mod theories;
mod time_extremes;

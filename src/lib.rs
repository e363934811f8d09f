//! Finds nights for landscape photographs of the Milky Way, above all nights
//! when a low Moon lights the foreground from the side.
//!
//! The layers, each knowing only those before it: [`plain_words`] (words from
//! outside, fit for a message),
//! [`ephemeris`] (where Sun, Moon and galaxy stand), [`terrain`] (the shape of
//! the land), [`scene`] (the place and the photographer's wishes), [`light`]
//! (what that does to land, sky and exposure), [`rule`] (what is asked of a night),
//! [`input`] (how both are read), [`search`] (which nights keep every
//! rule), [`why`] (what stands in the way), [`plan`] (one night worked out for the field), [`report`] (one writer
//! a format) and [`chart`] (the same as pictures).
//!
//! # In ten lines
//!
//! ```
#![doc = include_str!("../examples/ten_lines.rs")]
//! ```

pub use rule::Brief;
pub use scene::{Dates, Site};
pub use search::Planner;

pub mod chart;
pub mod ephemeris;
mod figure;
pub mod input;
pub mod light;
pub mod plain_words;
pub mod plan;
pub mod report;
pub mod rule;
pub mod scene;
pub mod search;
pub mod terrain;
pub mod why;

pub use figure::Figure;

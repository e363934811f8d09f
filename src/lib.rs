//! Finds nights for landscape photographs of the Milky Way, above all nights
//! when a low Moon lights the foreground from the side.
//!
//! The layers, each knowing only those before it: [`plain_words`] (words from
//! outside, fit for a message),
//! [`ephemeris`] (where Sun, Moon and galaxy stand), [`terrain`] (the shape of
//! the land), [`scene`] (the place and the photographer's wishes), [`light`]
//! (what that does to land, sky and exposure), [`rule`] (what is asked of a night),
//! [`scan`] (which nights keep every rule), [`plan`] (one night worked out for the field), [`report`] (one writer
//! a format) and [`chart`] (the same as pictures).
//!
//! # In ten lines
//!
//! ```
#![doc = include_str!("../examples/ten_lines.rs")]
//! ```

pub use rule::Brief;
pub use scan::Planner;
pub use scene::{Dates, Site};

pub mod chart;
pub mod ephemeris;
mod figure;
pub mod light;
pub mod plain_words;
pub mod plan;
pub mod report;
pub mod rule;
pub mod scan;
pub mod scene;
pub mod terrain;

pub use figure::Figure;

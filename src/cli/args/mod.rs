//! Arguments that several commands take, and what stands around them in the
//! help. The modules of the commands make them mean something.
//!
//! The first line of an option's comment is the whole of it in `-h`, which fits
//! one screen of 80 columns; `--help` has all the comment.

pub mod brief;
pub mod examples;
pub mod headings;
pub mod output;
pub mod range;
pub mod site;
pub mod steps;
mod wish;

//! Arguments that several commands take, and what stands around them in the
//! help. The modules of the commands make them mean something.
//!
//! The first line of an option's comment is the whole of it in `-h`, which fits
//! one screen of 80 columns; `--help` has all the comment.

pub mod brief;
pub mod examples;
mod eye;
pub mod format;
mod headings;
mod output;
mod range;
mod site;
mod steps;
mod wish;

pub use brief::{BriefArgs, ViewArgs};
pub use eye::EyeArgs;
pub use format::{Format, Formats};
pub use headings::{PRINT, STAND, WHERE};
pub use output::OutputArgs;
pub use range::RangeArgs;
pub use site::SiteArgs;
pub use steps::StepArgs;

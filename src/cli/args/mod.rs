//! Arguments that several commands take, and the text around them in the help.
//! The modules of the commands decide what they mean.
//!
//! `-h` shows only the first line of an option's comment, so that it fits one
//! screen of 80 columns; `--help` shows the whole comment.

pub mod brief;
mod calendar;
mod conventions;
mod csv;
pub mod day;
mod deferred;
mod empty;
pub mod examples;
mod eye;
pub mod format;
mod headings;
mod instant;
mod output;
mod part;
mod range;
mod site;
mod steps;
pub mod table;
mod typed_rule;
mod weather;

pub use brief::{BriefArgs, BriefFile, ViewArgs};
pub use calendar::CalendarArgs;
pub use conventions::PlaceWords;
pub use csv::CsvArgs;
pub use day::Here;
pub use deferred::Deferred;
pub use empty::EmptyArgs;
pub use eye::EyeArgs;
pub use format::{Format, Formats};
pub use headings::{PRINT, STAND, TRIP, WHERE};
pub use instant::InstantArgs;
pub use output::{OutputArgs, SiteOutputArgs};
pub use part::{Part, PartArgs};
pub use range::{EndsArgs, RangeArgs};
pub use site::SiteArgs;
pub use steps::StepArgs;
pub use table::TableArgs;
pub use weather::WeatherArgs;

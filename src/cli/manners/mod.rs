//! What every command does in the same way: its messages, output, failures and
//! interruptions, and what it asks the system.

mod column_completions;
pub mod completions;
mod failure;
mod going_on;
pub mod interruption;
mod lines;
pub mod output;
pub mod overwrite_guard;
mod plain;
pub mod progress;
pub mod record_of_progress;
mod talk;
pub mod threads;
pub mod today;
pub mod typed;
mod unstyled;
pub mod usage_error;
pub mod version;
mod way;
mod wrapped;
pub mod write_error;

pub use failure::{Failure, Outcome, Share};
pub use going_on::Sites;
pub use output::Output;
pub use talk::say;
pub use wrapped::wrapped;

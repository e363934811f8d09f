//! Which nights keep every rule.

mod interval;
mod margin;
mod night;
mod rules;
mod sweep;

pub use interval::{Interval, Intervals};
pub use margin::RuleName;
pub use night::{Night, nights};
pub use rules::{NoSubject, Rules};
pub use sweep::Sweep;

//! Which nights keep every rule, and how good they are.
//!
//! [`Rules`] are a brief with its blanks filled; a [`Season`] is a range of
//! evenings; its [`Window`]s at a site are the answer. An [`Outlook`] answers
//! for single nights and instants.

mod choice;
mod interval;
mod margin;
mod night;
mod outlook;
mod ridge;
mod rules;
mod score;
mod season;
mod shot;
mod sweep;
mod window;

pub use choice::{Choice, Order};
pub use interval::{Interval, Intervals};
pub use margin::RuleName;
pub use night::{Night, nights};
pub use outlook::Outlook;
pub use rules::{NoSubject, Rules};
pub use score::{Factors, balance_quality, raking_quality};
pub use season::Season;
pub use shot::Shot;
pub use sweep::Sweep;
pub use window::{Instant, LandSpell, Window};

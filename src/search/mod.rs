//! Which nights keep every rule, and how good they are.
//!
//! A [`Season`] is a range of nights with its sky; a [`Planner`] is a site under
//! its rules through a season, and answers for its [`Window`]s, nights and
//! instants.

mod choice;
mod constraint;
mod course;
mod doubts;
mod interval;
mod lunations;
mod months;
mod night;
mod planner;
mod ranking;
mod score;
mod season;
mod shot;
mod spare;
mod sweep;
mod vista;
mod window;

pub use choice::{Order, Selection};
pub use course::NightSeries;
pub use doubts::{CaveatWatch, Caveats, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG};
pub use interval::{Interval, Intervals};
pub use lunations::{LUNATION_DAYS, Lunation, NightMark, lunations};
pub use months::{Month, months};
pub use night::{Night, nights};
pub use planner::{PlanError, Planner};
pub use ranking::rank_together;
pub use score::{Factors, balance_quality, raking_quality};
pub use season::Season;
pub use shot::Shot;
pub use spare::{SpareNights, spare_nights};
pub use sweep::Sweep;
pub use vista::Vista;
pub use window::{MoonlitPeriod, Window};

pub(crate) use constraint::{Constraint, whole};

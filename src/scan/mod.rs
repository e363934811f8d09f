//! Which nights keep every rule, and how good they are.
//!
//! A [`Season`] is a range of nights with its sky; a [`Planner`] is a site under
//! its rules through a season, and answers for its [`Window`]s, nights and
//! instants.

mod advice;
mod choice;
mod constraint;
mod course;
mod doubts;
mod interval;
mod ladder;
mod loosening;
mod lunations;
mod months;
mod near_miss;
mod night;
mod planner;
mod ranking;
mod reasons;
mod score;
mod season;
mod shot;
mod spare;
mod study;
mod sweep;
mod turn;
mod vista;
mod what_if;
mod window;

pub use advice::{Admission, Advice, Hindrance, RuleAdvice};
pub use choice::{Choice, Order};
pub use course::NightCourse;
pub use doubts::{DoubtWatch, Doubts, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG};
pub use interval::{Interval, Intervals};
pub use loosening::Loosening;
pub use lunations::{LUNATION_DAYS, Lunation, NightMark, lunations};
pub use months::{Month, months};
pub use near_miss::{NearMiss, sort_near_misses};
pub use night::{Night, nights};
pub use planner::{PlanError, Planner};
pub use ranking::rank_together;
pub use reasons::{NightReasons, RuleThrough, WindowEnds};
pub use score::{Factors, balance_quality, raking_quality};
pub use season::Season;
pub use shot::Shot;
pub use spare::{SpareNights, spare_nights};
pub use study::{Miss, Study};
pub use sweep::Sweep;
pub use turn::{Turn, TurnSector};
pub use vista::Vista;
pub use what_if::{Compared, Variant, VaryError};
pub use window::{LandSpell, Window};

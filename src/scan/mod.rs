//! Which nights keep every rule, and how good they are.
//!
//! A [`Season`] is a range of
//! evenings; its [`Window`]s at a site are the answer. An [`Outlook`] answers
//! for single nights and instants.

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
mod outlook;
mod reasons;
mod score;
mod season;
mod shot;
mod spare;
mod study;
mod sweep;
mod turn;
mod vista;
mod window;

pub use advice::{Admission, Advice, Hindrance, RuleAdvice};
pub use choice::{Choice, Order};
pub use course::NightCourse;
pub use doubts::{DoubtWatch, Doubts, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG};
pub use interval::{Interval, Intervals};
pub use loosening::Loosening;
pub use lunations::{Lunation, NightMark, lunations, season_around};
pub use months::{Month, months};
pub use near_miss::{NearMiss, sort_near_misses};
pub use night::{Night, nights};
pub use outlook::Outlook;
pub use reasons::{NightReasons, RuleThrough, WindowEnds};
pub use score::{Factors, balance_quality, raking_quality};
pub use season::Season;
pub use shot::Shot;
pub use spare::{SpareNights, spare_nights};
pub use study::{Miss, Study};
pub use sweep::Sweep;
pub use turn::{Turn, TurnSector, turns};
pub use vista::Vista;
pub use window::{LandSpell, Window};

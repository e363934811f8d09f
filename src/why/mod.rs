//! Why a night has no window, and what would give it one.
//!
//! Near misses and advice read the same margins as the search; what they say
//! to type finds that night. What-if and comparison ask the same rules with
//! other values, and nights side by side.

mod advice;
mod ladder;
mod loosening;
mod near_miss;
mod reasons;
mod study;
mod turn;
mod what_if;

pub use advice::{Admission, Advice, Hindrance, RuleAdvice};
pub use loosening::Loosening;
pub use near_miss::NearMiss;
pub use reasons::{NightReasons, RuleThrough, WindowEnds};
pub use study::{Miss, Rejections};
pub use turn::{BearingResult, BearingSector};
pub use what_if::{Compared, Variant, VaryError, combinations};

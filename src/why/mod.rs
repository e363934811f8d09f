//! Why a night has no window, and what would give it one.
//!
//! Near misses and advice use the same margins as the search; the options they
//! give find that night. What-if tries other values of the same rules;
//! comparison puts nights side by side.

mod advice;
mod by_bearing;
mod late_rules;
mod loosened;
mod loosening;
mod loosening_steps;
mod near_miss;
mod pairs;
mod period_reasons;
#[cfg(test)]
mod plain_pairs;
mod reasons;
mod rejections;
mod rule_group;
mod what_if;
mod would_add;

pub use advice::{Admission, Advice, Hindrance, RuleAdvice};
pub use by_bearing::{BearingResult, BearingSector};
pub use loosening::Loosening;
pub use near_miss::NearMiss;
pub use period_reasons::{PeriodKind, PeriodReasons};
pub use reasons::{NightReasons, RuleThrough, WindowEnds};
pub use rejections::{Miss, Rejections};
pub use rule_group::{GroupThrough, RuleGroup};
pub use what_if::{Compared, FOCAL_LENGTH, Variant, VaryError, combinations, focal_length_mm};
pub use would_add::WouldAdd;

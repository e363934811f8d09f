//! The nights that a change of one rule would add, with the windows they then
//! have.

use super::{Admission, Advice, Loosening};
use crate::search::{Planner, Window};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// A rule loosened, and what it gives.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct WouldAdd {
    /// The loosening.
    pub loosening: Loosening,
    /// How many nights it adds.
    pub nights: usize,
    /// The windows of those nights, in order of time, but for the nights of a
    /// change before it; their ranks are 0.
    pub windows: Vec<Window>,
}

impl Planner {
    /// What each change of one rule that an advice names would add: the smallest
    /// ones for five nights and for one, and that of the rule which alone rejects
    /// most nights. A night stands with the first of them.
    pub fn would_add(&self, advice: &Advice) -> Vec<WouldAdd> {
        let leading = advice.rules.first().and_then(|rule| rule.one.as_ref());
        let named = [advice.five.as_ref(), advice.one.as_ref(), leading];
        let mut taken: BTreeSet<NaiveDate> = BTreeSet::new();
        let mut all = Vec::new();
        for admission in named.into_iter().flatten() {
            let windows = self.windows_with(admission, &mut taken);
            if !windows.is_empty() {
                all.push(WouldAdd {
                    loosening: admission.loosening.clone(),
                    nights: admission.nights.len(),
                    windows,
                });
            }
        }
        all
    }

    fn windows_with(&self, admission: &Admission, taken: &mut BTreeSet<NaiveDate>) -> Vec<Window> {
        let loose = self.with_rules(&admission.loosening.apply(self.rules()));
        let nights = admission
            .nights
            .iter()
            .filter(|night| taken.insert(**night));
        nights
            .filter_map(|night| loose.windows_of(*night).ok())
            .flatten()
            .collect()
    }
}

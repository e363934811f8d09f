//! The best night of a calendar month or year, as tables for people show it.

use super::words::{cloud_note, haze_note, is_marked};
use crate::search::{Caveats, Window};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// The best night of a month or year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BestNight {
    pub night: NaiveDate,
    pub score: f64,
    doubts: Caveats,
    target: &'static str,
}

impl BestNight {
    /// The night of a window.
    pub fn of(window: &Window) -> Self {
        Self {
            night: window.night,
            score: window.score,
            doubts: window.doubts,
            target: window.best.target_name(),
        }
    }

    /// `77`, or `77~` if haze may hide Moon or target or cloud is foretold.
    pub fn score_words(&self) -> String {
        let mark = if is_marked(self.doubts) { "~" } else { "" };
        format!("{:.0}{mark}", self.score)
    }
}

/// What makes some nights doubtful.
#[derive(Debug, Clone, Default)]
pub(super) struct Doubted {
    doubts: Caveats,
    targets: BTreeSet<&'static str>,
}

impl Doubted {
    /// Adds a night.
    pub fn add(&mut self, best: &BestNight) {
        self.doubts = self.doubts.or(best.doubts);
        self.targets.insert(best.target);
    }

    /// What the mark on doubtful nights means, if there are any.
    pub fn note(&self) -> Option<String> {
        let target = self.targets.first().filter(|_| self.targets.len() == 1);
        let haze = haze_note(self.doubts, target.copied().unwrap_or("target"));
        let notes: Vec<String> = haze.into_iter().chain(cloud_note(self.doubts)).collect();
        (!notes.is_empty()).then(|| notes.join(" "))
    }
}

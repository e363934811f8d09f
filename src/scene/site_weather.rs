//! What is known of the weather at a site.

use super::{forecast::CloudOver, site::Site};
use crate::ephemeris::Moment;
use chrono::NaiveDate;

impl Site {
    /// The chance that the night of this evening is clear, 0 to 1; `None` for a
    /// site without a climate.
    pub fn clear_chance(&self, evening: NaiveDate) -> Option<f64> {
        self.climate.map(|climate| climate.clear_chance(evening))
    }

    /// The cloud foretold for a moment, percent of the sky; `None` where there
    /// is no forecast.
    pub fn cloud_percent_at(&self, moment: Moment) -> Option<f64> {
        self.forecast.as_deref()?.cloud_percent_at(moment)
    }

    /// The cloud foretold over a period; `None` if a part of it has no
    /// forecast.
    pub fn cloud_over(&self, from: Moment, to: Moment) -> Option<CloudOver> {
        self.forecast.as_deref()?.cloud_over(from, to)
    }
}

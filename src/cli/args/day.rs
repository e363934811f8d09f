//! Evenings by date or by name.

use crate::cli::manners::today;
use chrono::NaiveDate;
use rakelight::{
    scene::{Day, Zone},
    search::Night,
};

/// Where and when "tonight" is asked.
#[derive(Debug, Clone, Copy)]
pub struct Here {
    pub zone: Zone,
    pub longitude_deg: f64,
}

impl Here {
    /// The date of an evening that was named.
    pub fn date(self, day: Day) -> NaiveDate {
        let now = today::now();
        let tonight = Night::at(self.longitude_deg, self.zone, now);
        day.date(self.zone.local_date(now), tonight.date)
    }
}

/// An evening as it is typed.
pub fn day(text: &str) -> Result<Day, String> {
    text.parse::<Day>().map_err(|error| error.to_string())
}

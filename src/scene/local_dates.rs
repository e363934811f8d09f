//! Local dates of moments in order of time.

use super::Zone;
use crate::ephemeris::Moment;
use chrono::NaiveDate;

const DAY_SECONDS: i64 = 86_400;

/// Tells the local dates of one moment after the other, for less than each alone
/// costs: the clocks seldom change, and most dates follow the one before.
#[derive(Debug, Clone)]
pub(crate) struct LocalDates {
    zone: Zone,
    /// Seconds by which local time is ahead of UTC in some Unix times, the last
    /// of them left out.
    offset_seconds: i64,
    holds: [i64; 2],
    /// The last date told, and its number of days.
    last: Option<(i64, NaiveDate)>,
}

impl LocalDates {
    /// Those of a zone.
    pub fn of(zone: Zone) -> Self {
        Self {
            zone,
            offset_seconds: 0,
            holds: [0, 0],
            last: None,
        }
    }

    /// The next; see [`Zone::local_date`].
    pub fn date(&mut self, moment: Moment) -> NaiveDate {
        let unix = moment.unix_seconds();
        let [since, until] = self.holds;
        if unix < since || until <= unix {
            self.offset_seconds = i64::from(self.zone.offset_seconds_at(moment));
            self.holds = [unix, self.zone.next_change(unix)];
        }
        let day = (unix + self.offset_seconds).div_euclid(DAY_SECONDS);
        let following = self.last.filter(|(last, _)| last + 1 == day);
        let following = following.and_then(|(_, date)| date.succ_opt());
        let date = following.unwrap_or_else(|| self.zone.local_date(moment));
        self.last = Some((day, date));
        date
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_are_those_of_each_moment_alone() {
        // A date that was skipped, summer time, an offset, odd offsets.
        for name in [
            "Pacific/Apia",
            "Europe/London",
            "+05:45",
            "Africa/Monrovia",
            "UTC",
        ] {
            let zone = Zone::named(name).expect("a zone");
            let mut dates = LocalDates::of(zone);
            for step in 0..110_000 {
                // Seventeen hours on, with a jump back each thousand.
                let back = f64::from(step / 1000) * 20.0 * 86_400.0;
                let moment = Moment::from_seconds(-3.1e9 + f64::from(step) * 61_001.5 - back);
                assert_eq!(dates.date(moment), zone.local_date(moment), "{name} {step}");
            }
        }
    }
}

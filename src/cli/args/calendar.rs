//! How a calendar is written, and which one it brings up to date.

use super::headings::PRINT;
use crate::cli::{manners::Failure, values};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    input::{OldCalendar, read_old_calendar_file},
    report::ical::{Alarm, CalendarStyle},
    scene::ValueError,
};
use std::path::PathBuf;

/// The most alarms of an entry.
const MOST_ALARMS: usize = 8;

#[derive(Debug, Args)]
pub struct CalendarArgs {
    /// Bring the calendar in FILE, written before, up to date
    ///
    /// What is the same keeps its state, what changed gets the next SEQUENCE,
    /// and what fell away is cancelled: of the sites, nights and kind of night
    /// of this run. All other entries stay as they are, so the new file
    /// replaces the old; -o may name the same file.
    #[arg(long, value_name = "FILE", hide_short_help = true, help_heading = PRINT)]
    pub since: Option<PathBuf>,

    /// Alarms of a calendar's entries, before the start: 3h,1d
    ///
    /// Numbers with d, h or min, at most eight of them.
    #[arg(long, value_name = "TIME", value_delimiter = ',', value_parser = values::alarm, hide_short_help = true, help_heading = PRINT)]
    pub alarm: Vec<Alarm>,

    /// Local times and their time zone in a calendar, not UTC
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub local_times: bool,
}

impl CalendarArgs {
    /// Refuses what no calendar is written for, and alarms that cannot be.
    pub fn check(&self, is_calendar: bool) -> Result<(), Failure> {
        let asked = [
            ("since", self.since.is_some()),
            ("alarm", !self.alarm.is_empty()),
            ("local-times", self.local_times),
        ];
        for (option, is_asked) in asked {
            if is_asked && !is_calendar {
                return Err(Failure::Reported(anyhow!(
                    "--{option} is about a calendar of windows; choose --format ical, or leave it out"
                )));
            }
        }
        let refused = |found: &str, expected: String, remedy: &str| {
            let error = ValueError::new(found, expected).with_remedy(remedy);
            Err(Failure::option("alarm", &error))
        };
        if self.alarm.len() > MOST_ALARMS {
            let found = format!("{} alarms", self.alarm.len());
            return refused(&found, format!("at most {MOST_ALARMS}"), "leave out some");
        }
        for (index, alarm) in self.alarm.iter().enumerate() {
            if self.alarm.iter().take(index).any(|before| before == alarm) {
                let found = format!("{} minutes again", alarm.minutes);
                return refused(&found, "each time once".to_owned(), "leave out one");
            }
        }
        Ok(())
    }

    /// How entries are written.
    pub fn style(&self) -> CalendarStyle {
        // The order in which they are typed does not change an entry.
        let mut alarms = self.alarm.clone();
        alarms.sort_by(|a, b| b.cmp(a));
        CalendarStyle {
            local_times: self.local_times,
            alarms,
        }
    }

    /// The calendar to bring up to date; an empty one if none is given.
    ///
    /// It is no input that an output must not replace: the new file is its
    /// successor, and gets its name only when it is complete.
    pub fn before(&self) -> Result<OldCalendar, Failure> {
        match &self.since {
            Some(path) => Ok(read_old_calendar_file(path)?),
            None => Ok(OldCalendar::default()),
        }
    }
}

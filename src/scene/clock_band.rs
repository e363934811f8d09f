//! Hours of the night that suit.

use super::value_error::ValueError;
use chrono::{NaiveTime, Timelike};
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// A range of local wall-clock times; it may run through midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockBand {
    /// The first time that suits.
    pub from: NaiveTime,
    /// The last time that suits.
    pub to: NaiveTime,
}

const EXPECTED: &str = "two local times HH:MM..HH:MM";

impl ClockBand {
    /// Whether `time` lies in the band, ends included.
    pub fn contains(&self, time: NaiveTime) -> bool {
        if self.from <= self.to {
            self.from <= time && time <= self.to
        } else {
            self.from <= time || time <= self.to
        }
    }
}

impl FromStr for ClockBand {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        let refuse = || ValueError::new(text, EXPECTED);
        let (from, to) = text
            .split_once("..")
            .ok_or_else(|| refuse().with_hint(example(text)))?;
        let from = clock_time(from).ok_or_else(|| refuse().with_hint(example(from)))?;
        let to = clock_time(to).ok_or_else(|| refuse().with_hint(example(to)))?;
        if from == to {
            return Err(refuse().with_remedy("for the whole night leave the rule out"));
        }
        Ok(Self { from, to })
    }
}

/// `HH:MM` or `HH:MM:SS`; `24:00` is midnight.
pub(crate) fn clock_time(text: &str) -> Option<NaiveTime> {
    let text = text.trim();
    let mut parts = text.split(':');
    let mut part = |optional: bool| match parts.next() {
        Some(digits) if digits.len() == 2 && digits.bytes().all(|b| b.is_ascii_digit()) => {
            digits.parse::<u32>().ok()
        }
        None if optional => Some(0),
        _ => None,
    };
    let (hour, minute, second) = (part(false)?, part(false)?, part(true)?);
    if parts.next().is_some() {
        return None;
    }
    if (hour, minute, second) == (24, 0, 0) {
        return Some(NaiveTime::MIN);
    }
    NaiveTime::from_hms_opt(hour, minute, second)
}

fn example(text: &str) -> Option<String> {
    let text = text.trim().to_ascii_lowercase();
    let remedy = if ["any", "all"].contains(&text.as_str()) {
        // Also to undo a site's own hours.
        "for the whole night write 12:00..11:59"
    } else if text.ends_with("am") || text.ends_with("pm") {
        "use the 24-hour clock, for example 21:00..02:30"
    } else {
        "for example 21:00..02:30"
    };
    Some(remedy.to_owned())
}

impl Display for ClockBand {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write_time(f, self.from)?;
        f.write_str("..")?;
        write_time(f, self.to)
    }
}

fn write_time(f: &mut Formatter<'_>, time: NaiveTime) -> fmt::Result {
    write!(f, "{:02}:{:02}", time.hour(), time.minute())?;
    match time.second() {
        0 => Ok(()),
        second => write!(f, ":{second:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_whole_night_can_be_typed_as_told() {
        let error = "any".parse::<ClockBand>().expect_err("no band").to_string();
        let (_, told) = error.split_once("write ").expect("what to write");
        let band: ClockBand = told.parse().expect("a band");
        for hour in 0..24 {
            let time = NaiveTime::from_hms_opt(hour, 30, 0).expect("a time");
            assert!(band.contains(time), "{hour}");
        }
    }

    #[test]
    fn a_band_may_run_through_midnight() {
        let band: ClockBand = "21:00..02:30".parse().expect("a band");
        let at = |h, m| NaiveTime::from_hms_opt(h, m, 0).expect("a time");
        assert!(band.contains(at(21, 0)) && band.contains(at(0, 0)) && band.contains(at(2, 30)));
        assert!(!band.contains(at(2, 31)) && !band.contains(at(12, 0)));
        let late: ClockBand = "20:00..24:00".parse().expect("a band");
        assert!(late.contains(at(23, 59)) && late.contains(at(0, 0)) && !late.contains(at(0, 1)));
    }

    #[test]
    fn what_is_no_band_is_refused_with_the_remedy() {
        for (text, rest) in [
            ("21:00", "; for example 21:00..02:30"),
            ("21:00..", "; for example 21:00..02:30"),
            ("21:00..25:00", "; for example 21:00..02:30"),
            ("21..2", "; for example 21:00..02:30"),
            (
                "9pm..2am",
                "; use the 24-hour clock, for example 21:00..02:30",
            ),
            ("21:00..21:00", "; for the whole night leave the rule out"),
            ("+1:00..02:00", "; for example 21:00..02:30"),
        ] {
            let error = text.parse::<ClockBand>().expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_can_be_typed(from in 0_u32..86_400, to in 0_u32..86_400) {
            prop_assume!(from != to);
            let time = |s| NaiveTime::from_num_seconds_from_midnight_opt(s, 0).unwrap_or_default();
            let band = ClockBand { from: time(from), to: time(to) };
            prop_assert_eq!(band.to_string().parse::<ClockBand>(), Ok(band));
        }

        #[test]
        fn no_text_is_a_surprise(text in "[0-9:. a-z]{0,20}") {
            let _ = text.parse::<ClockBand>().map(|band| band.to_string());
        }
    }
}

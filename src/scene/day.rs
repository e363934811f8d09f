//! Days that are named by what they are to today.

use super::{date::parse_date, nearest::nearest, value_error::ValueError};
use chrono::{Datelike, NaiveDate, Weekday};
use std::str::FromStr;

/// An evening as people type it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Day {
    /// A date.
    Date(NaiveDate),
    /// The evening of the night that goes on, or of the one that comes.
    Tonight,
    /// Today's date.
    Today,
    /// Tomorrow's date.
    Tomorrow,
    /// The next such day; today counts.
    Next(Weekday),
}

/// The words, the short ones of the days behind them.
const WORDS: [&str; 10] = [
    "tonight",
    "today",
    "tomorrow",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

impl Day {
    /// Its date, where the civil date and the evening of the present night are
    /// known.
    pub fn date(self, today: NaiveDate, tonight: NaiveDate) -> NaiveDate {
        match self {
            Self::Date(date) => date,
            Self::Tonight => tonight,
            Self::Today => today,
            Self::Tomorrow => today.succ_opt().unwrap_or(today),
            Self::Next(day) => {
                let days = day.days_since(today.weekday());
                let days = chrono::Days::new(u64::from(days));
                today.checked_add_days(days).unwrap_or(today)
            }
        }
    }
}

impl FromStr for Day {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let word = text.trim().to_ascii_lowercase();
        match word.as_str() {
            "tonight" => return Ok(Self::Tonight),
            "today" => return Ok(Self::Today),
            "tomorrow" => return Ok(Self::Tomorrow),
            _ => {}
        }
        let letters = word.chars().all(|c| c.is_ascii_alphabetic());
        if letters && let Ok(day) = word.parse() {
            return Ok(Self::Next(day));
        }
        parse_date(text).map(Self::Date).map_err(|error| {
            let near = nearest(&word, WORDS).filter(|_| letters && !word.is_empty());
            match near {
                Some(near) => ValueError {
                    remedy: None,
                    ..error
                }
                .with_remedy(format!("did you mean {near}?")),
                None => error,
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_mean_days_from_today_on() {
        // A Friday, at two in the morning: the night of Thursday goes on.
        let today: NaiveDate = "2027-05-28".parse().expect("a date");
        let tonight = today.pred_opt().expect("a date");
        for (text, date) in [
            ("tonight", "2027-05-27"),
            ("Today", "2027-05-28"),
            ("tomorrow", "2027-05-29"),
            ("fri", "2027-05-28"),
            ("Thursday", "2027-06-03"),
            ("sat", "2027-05-29"),
            ("2027-01-02", "2027-01-02"),
        ] {
            let day: Day = text.parse().expect(text);
            assert_eq!(day.date(today, tonight).to_string(), date, "{text}");
        }
    }

    #[test]
    fn a_slip_is_asked_about() {
        let told = |text: &str| text.parse::<Day>().expect_err(text).to_string();
        assert!(told("tomorow").ends_with("; did you mean tomorrow?"));
        assert!(told("tonigt").ends_with("; did you mean tonight?"));
        assert!(told("13-05-2027").ends_with("; write 2027-05-13"));
        assert!(told("soon").ends_with("; for example 2027-05-13"));
    }
}

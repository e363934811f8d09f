//! Evenings of the week.

use super::nearest::nearest;
use super::value_error::ValueError;
use chrono::{Weekday, WeekdaySet};

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
const EXPECTED: &str = "days like fri,sat or mon-thu";

/// The days in `text`: `fri,sat` or `mon-thu`, separated by commas or spaces.
pub(crate) fn parse_weekdays(text: &str) -> Result<WeekdaySet, ValueError> {
    let refuse = || ValueError::new(text.trim(), EXPECTED);
    let day = |name: &str| {
        let name = name.trim();
        name.parse::<Weekday>().map_err(|_| {
            let remedy = match nearest(name, DAYS) {
                _ if name.eq_ignore_ascii_case("weekend") => "write sat,sun".to_owned(),
                _ if ["any", "all"]
                    .iter()
                    .any(|word| name.eq_ignore_ascii_case(word)) =>
                {
                    "for any day write mon-sun".to_owned()
                }
                Some(day) => format!("did you mean {}?", text.trim().replace(name, day)),
                None => format!("the days are {}", DAYS.join(", ")),
            };
            refuse().with_remedy(remedy)
        })
    };
    let mut days = WeekdaySet::EMPTY;
    let words = text.split([',', ' ']).filter(|word| !word.is_empty());
    for word in words {
        match word.split_once('-') {
            None => {
                days.insert(day(word)?);
            }
            Some((first, last)) => {
                let (mut next, last) = (day(first)?, day(last)?);
                days.insert(next);
                // Seven steps reach every day from any other.
                for _ in 0..7 {
                    if next == last {
                        break;
                    }
                    next = next.succ();
                    days.insert(next);
                }
            }
        }
    }
    if days.is_empty() {
        return Err(refuse().with_remedy("for any day leave the rule out"));
    }
    Ok(days)
}

/// The days as they can be typed, Monday first.
pub(crate) fn weekdays_text(days: WeekdaySet) -> String {
    let names: Vec<String> = days
        .iter(Weekday::Mon)
        .map(|day| day.to_string().to_lowercase())
        .collect();
    names.join(",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_and_runs_are_read() {
        let shown = |text| {
            parse_weekdays(text)
                .map(weekdays_text)
                .map_err(|e| e.to_string())
        };
        assert_eq!(shown("fri,sat"), Ok("fri,sat".to_owned()));
        assert_eq!(shown("Sat, Friday"), Ok("fri,sat".to_owned()));
        assert_eq!(shown("mon-thu"), Ok("mon,tue,wed,thu".to_owned()));
        assert_eq!(shown("fri-mon"), Ok("mon,fri,sat,sun".to_owned()));
        assert_eq!(
            shown("weekend"),
            Err(format!("found weekend, expected {EXPECTED}; write sat,sun"))
        );
        assert_eq!(
            shown("any"),
            Err(format!(
                "found any, expected {EXPECTED}; for any day write mon-sun"
            ))
        );
        assert_eq!(
            shown(""),
            Err(format!(
                "found nothing, expected {EXPECTED}; for any day leave the rule out"
            ))
        );
    }

    #[test]
    fn every_set_of_days_can_be_typed_again() {
        let all = [
            Weekday::Mon,
            Weekday::Tue,
            Weekday::Wed,
            Weekday::Thu,
            Weekday::Fri,
            Weekday::Sat,
            Weekday::Sun,
        ];
        for bits in 1_u8..128 {
            let mut days = WeekdaySet::EMPTY;
            for (index, day) in all.iter().enumerate() {
                if bits & (1 << index) != 0 {
                    days.insert(*day);
                }
            }
            assert_eq!(parse_weekdays(&weekdays_text(days)), Ok(days));
        }
    }
}

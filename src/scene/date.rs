//! Civil dates that the tool knows rules for.

use super::value_error::ValueError;
use chrono::{Datelike, NaiveDate};

/// The years whose dates are accepted. The zone rules in use end with the last
/// of them: from 2100 on every zone would stay at its January offset.
pub(super) const YEARS: std::ops::RangeInclusive<i32> = 1900..=2099;

const EXPECTED: &str = "a date YYYY-MM-DD from 1900-01-01 to 2099-12-31";

/// The date in `text`, 1900-01-01 to 2099-12-31.
///
/// # Errors
///
/// Text that is no date of the calendar written `YYYY-MM-DD`, or one outside
/// those years.
///
/// # Example
///
/// ```
/// assert!(rakelight::scene::parse_date("2027-05-13").is_ok());
/// assert_eq!(
///     rakelight::scene::parse_date("2027-02-29").unwrap_err().to_string(),
///     "found 2027-02-29, expected a date YYYY-MM-DD from 1900-01-01 to 2099-12-31; \
///      that day is not in the calendar"
/// );
/// ```
pub fn parse_date(text: &str) -> Result<NaiveDate, ValueError> {
    let text = text.trim();
    let refuse = || ValueError::new(text, EXPECTED);
    let (year, month, day) = fields(text).ok_or_else(refuse)?;
    if !YEARS.contains(&year) {
        return Err(refuse());
    }
    NaiveDate::from_ymd_opt(year, month, day)
        .ok_or_else(|| refuse().with_remedy("that day is not in the calendar"))
}

/// Whether `date` lies in the years whose dates are accepted.
pub(super) fn is_known_year(date: NaiveDate) -> bool {
    YEARS.contains(&date.year())
}

fn fields(text: &str) -> Option<(i32, u32, u32)> {
    let shape = text.len() == 10
        && text.bytes().enumerate().all(|(index, byte)| match index {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    if !shape {
        return None;
    }
    let year = text.get(..4)?.parse().ok()?;
    let month = text.get(5..7)?.parse().ok()?;
    let day = text.get(8..)?.parse().ok()?;
    Some((year, month, day))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_range_are_in_and_their_neighbours_out() {
        for text in ["1900-01-01", "2099-12-31", "2000-02-29"] {
            assert_eq!(
                parse_date(text).map(|date| date.to_string()),
                Ok(text.to_owned())
            );
        }
        for (text, rest) in [
            ("1899-12-31", ""),
            ("2100-01-01", ""),
            ("1900-02-29", "; that day is not in the calendar"),
            ("2027-13-01", "; that day is not in the calendar"),
            ("13-05-2027", ""),
            ("2027-5-13", ""),
            ("2027/05/13", ""),
            ("+027-05-13", ""),
            ("tomorrow", ""),
        ] {
            let error = parse_date(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
    }
}

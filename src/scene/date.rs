//! Civil dates within the years that the tool covers.

use super::value_error::ValueError;
use chrono::{Datelike, NaiveDate};

/// The first and last years whose dates are accepted. The zone rules in use end with the last
/// of them: from 2100 on every zone would stay at its January offset.
pub const YEARS: std::ops::RangeInclusive<i32> = 1900..=2099;

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
    let (year, month, day) = fields(text).ok_or_else(|| refuse().with_hint(Some(meant(text))))?;
    if !YEARS.contains(&year) {
        return Err(refuse().with_remedy("the rules of the time zones are known for these years"));
    }
    NaiveDate::from_ymd_opt(year, month, day)
        .ok_or_else(|| refuse().with_remedy("that day is not in the calendar"))
}

/// What to write instead of `text`, which is no date in our form.
fn meant(text: &str) -> String {
    let parts: Vec<u32> = text
        .split(|character: char| !character.is_ascii_digit())
        .map_while(|part| part.parse().ok())
        .collect();
    let date = |year: u32, month: u32, day: u32| {
        let year = i32::try_from(year)
            .ok()
            .filter(|year| YEARS.contains(year))?;
        NaiveDate::from_ymd_opt(year, month, day)
    };
    let readings = match *parts.as_slice() {
        [a, b, c] if text.len() <= 10 => [date(a, b, c).or(date(c, b, a)), date(c, a, b)],
        _ => [None, None],
    };
    match readings {
        [Some(one), Some(other)] if one != other => {
            format!("the year comes first: write {one} or {other}")
        }
        [Some(one), _] | [None, Some(one)] => format!("write {one}"),
        [None, None] => "for example 2027-05-13".to_owned(),
    }
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
            (
                "1899-12-31",
                "; the rules of the time zones are known for these years",
            ),
            (
                "2100-01-01",
                "; the rules of the time zones are known for these years",
            ),
            ("1900-02-29", "; that day is not in the calendar"),
            ("2027-13-01", "; that day is not in the calendar"),
            ("13-05-2027", "; write 2027-05-13"),
            ("05/13/2027", "; write 2027-05-13"),
            (
                "3.5.2027",
                "; the year comes first: write 2027-05-03 or 2027-03-05",
            ),
            ("2027-5-13", "; write 2027-05-13"),
            ("2027/05/13", "; write 2027-05-13"),
            ("20270513", "; for example 2027-05-13"),
            ("+027-05-13", "; for example 2027-05-13"),
            ("tomorrow", "; for example 2027-05-13"),
        ] {
            let error = parse_date(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
    }
}

//! From UTC to the uniform time that the theories of motion use.

use super::Moment;
use chrono::{DateTime, Datelike, NaiveDate, NaiveTime};
use std::sync::OnceLock;

/// Terrestrial Time minus International Atomic Time, seconds (IAU 1991,
/// recommendation IV).
const TT_MINUS_TAI: f64 = 32.184;

/// The last year searched for leap seconds; the table of the IAU SOFA
/// collection ends earlier, and its last value holds from then on.
const LAST_TABLE_YEAR: i32 = 2030;

/// Terrestrial Time minus UTC in seconds.
///
/// From 1972 on by leap seconds (IAU SOFA's table, whose last value holds for
/// the future). Before 1972, where civil time followed the Earth's rotation,
/// by the polynomials for TT - UT of Espenak & Meeus, *Five Millennium Canon
/// of Solar Eclipses*, NASA/TP-2006-214141 (2006), section 2.7; they are good
/// to about a second between 1900 and 1972.
pub fn tt_minus_utc_seconds(utc: Moment) -> f64 {
    let steps = leap_seconds();
    match steps.iter().rposition(|(from, _)| *from <= utc.seconds()) {
        Some(index) => steps[index].1 + TT_MINUS_TAI,
        None => tt_minus_ut_before_1972(utc),
    }
}

/// The last change of TAI - UTC that is known: the moment from which it applies,
/// and the value, seconds. It holds for the future.
///
/// # Source
///
/// The IAU SOFA collection's table, after IERS Bulletin C.
pub fn last_leap_second() -> Option<(Moment, f64)> {
    let (from, offset) = leap_seconds().last()?;
    Some((Moment::from_seconds(*from), *offset))
}

/// Whether the second just before `moment` is a leap second: `23:59:60` of a
/// day of UTC. The first change in the table, of 1972, was the start of leap
/// seconds and not one itself.
///
/// # Source
///
/// As [`last_leap_second`].
pub fn is_end_of_leap_second(moment: Moment) -> bool {
    let steps = leap_seconds().iter().skip(1);
    steps.into_iter().any(|(from, _)| *from == moment.seconds())
}

/// The moments since 1972 at which TAI - UTC changes, with its new value.
pub(super) fn leap_seconds() -> &'static [(f64, f64)] {
    static STEPS: OnceLock<Vec<(f64, f64)>> = OnceLock::new();
    STEPS.get_or_init(|| {
        let mut steps: Vec<(f64, f64)> = Vec::new();
        for (year, month) in (1972..=LAST_TABLE_YEAR).flat_map(|year| [(year, 1), (year, 7)]) {
            let (Ok(offset), Some(date)) = (
                sofars::ts::dat(year, month as i32, 1, 0.0),
                NaiveDate::from_ymd_opt(year, month, 1),
            ) else {
                continue;
            };
            if steps.last().is_none_or(|(_, last)| *last != offset) {
                let from = Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc());
                steps.push((from.seconds(), offset));
            }
        }
        steps
    })
}

fn tt_minus_ut_before_1972(utc: Moment) -> f64 {
    let date: DateTime<_> = utc.to_utc();
    let year = f64::from(date.year()) + (f64::from(date.month()) - 0.5) / 12.0;
    let polynomial =
        |coefficients: &[f64], t: f64| coefficients.iter().rev().fold(0.0, |sum, c| sum * t + c);
    if year < 1920.0 {
        polynomial(
            &[-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197],
            year - 1900.0,
        )
    } else if year < 1941.0 {
        polynomial(&[21.20, 0.84493, -0.076100, 0.0020936], year - 1920.0)
    } else if year < 1961.0 {
        polynomial(&[29.07, 0.407, -1.0 / 233.0, 1.0 / 2547.0], year - 1950.0)
    } else {
        polynomial(&[45.45, 1.067, -1.0 / 260.0, -1.0 / 718.0], year - 1975.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn at(text: &str) -> Moment {
        Moment::from_utc(text.parse().expect("a valid time in the test"))
    }

    #[test]
    fn leap_seconds_begin_on_their_day() {
        // IERS Bulletin C 52 (2016): UTC-TAI = -36 s to 2017 January 1, then -37 s.
        assert_eq!(tt_minus_utc_seconds(at("2016-12-31T23:59:59Z")), 68.184);
        assert_eq!(tt_minus_utc_seconds(at("2017-01-01T00:00:00Z")), 69.184);
        assert_eq!(tt_minus_utc_seconds(at("1972-01-01T00:00:00Z")), 42.184);
        assert_eq!(tt_minus_utc_seconds(at("2099-12-31T00:00:00Z")), 69.184);
        assert_eq!(last_leap_second(), Some((at("2017-01-01T00:00:00Z"), 37.0)));
    }

    #[test]
    fn leap_seconds_end_where_they_were_put_in() {
        // IERS Bulletin C 1 (1972 June 30) to 52 (2016 December 31): 27 of them.
        let days = (1972..=2099).flat_map(|year| [(year, 1), (year, 4), (year, 7), (year, 10)]);
        let ends: Vec<String> = days
            .map(|(year, month)| format!("{year}-{month:02}-01T00:00:00Z"))
            .filter(|text| is_end_of_leap_second(at(text)))
            .collect();
        assert_eq!(ends.len(), 27);
        assert_eq!(
            ends.first().map(String::as_str),
            Some("1972-07-01T00:00:00Z")
        );
        assert_eq!(
            ends.last().map(String::as_str),
            Some("2017-01-01T00:00:00Z")
        );
        assert!(!is_end_of_leap_second(at("2017-01-01T00:00:01Z")));
    }

    #[test]
    fn before_1972_it_follows_the_observed_values() {
        // Astronomical Almanac, "Reduction of time scales" (values from memory).
        for (when, observed) in [
            ("1900-01-01T00:00:00Z", -2.72),
            ("1920-01-01T00:00:00Z", 21.16),
            ("1940-01-01T00:00:00Z", 24.33),
            ("1960-01-01T00:00:00Z", 33.15),
            ("1970-01-01T00:00:00Z", 40.18),
        ] {
            assert_abs_diff_eq!(tt_minus_utc_seconds(at(when)), observed, epsilon = 1.0);
        }
    }
}

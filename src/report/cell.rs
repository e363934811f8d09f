//! One value of a record, before any format touches it.

use crate::ephemeris::Moment;
use chrono::{Datelike, NaiveDate, NaiveDateTime, Timelike};

/// One value of a record.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Cell<'a> {
    /// Not applicable: an empty field, `null` in JSON.
    Empty,
    /// Words.
    Text(&'a str),
    /// A whole number.
    Whole(i64),
    /// A number and how many decimals it is written with.
    Number(f64, usize),
    /// A number as it was given.
    Exact(f64),
    /// Yes or no.
    Flag(bool),
    /// A civil date, `YYYY-MM-DD`.
    Date(NaiveDate),
    /// A calendar month, `YYYY-MM`, by a date in it.
    Month(NaiveDate),
    /// Local time, `YYYY-MM-DD HH:MM:SS`.
    Local(NaiveDateTime),
    /// UTC, RFC 3339 to the second.
    Utc(Moment),
    /// Offset from UTC, seconds, `+HH:MM`.
    Offset(i32),
}

impl Cell<'_> {
    /// Appends the value as plain text; nothing for [`Cell::Empty`].
    pub fn write_text(&self, out: &mut Vec<u8>) {
        match *self {
            Self::Empty => {}
            Self::Text(text) => out.extend_from_slice(text.as_bytes()),
            Self::Whole(number) => push_whole(out, number),
            Self::Number(number, decimals) => push_fixed(out, number, decimals),
            Self::Exact(number) => out.extend_from_slice(number.to_string().as_bytes()),
            Self::Flag(flag) => out.extend_from_slice(if flag { b"true" } else { b"false" }),
            Self::Date(date) => push_date(out, date),
            Self::Month(date) => push_month(out, date),
            Self::Local(time) => push_time(out, time, b' '),
            Self::Utc(moment) => {
                push_time(out, moment.to_utc().naive_utc(), b'T');
                out.push(b'Z');
            }
            Self::Offset(seconds) => push_offset(out, seconds),
        }
    }

    /// The value as plain text.
    pub fn to_text(&self) -> String {
        let mut out = Vec::new();
        self.write_text(&mut out);
        String::from_utf8(out).unwrap_or_default()
    }
}

fn push_two(out: &mut Vec<u8>, number: u32) {
    out.push(b'0' + (number / 10 % 10) as u8);
    out.push(b'0' + (number % 10) as u8);
}

fn push_month(out: &mut Vec<u8>, date: NaiveDate) {
    let year = date.year().clamp(0, 9999) as u32;
    push_two(out, year / 100);
    push_two(out, year % 100);
    out.push(b'-');
    push_two(out, date.month());
}

fn push_date(out: &mut Vec<u8>, date: NaiveDate) {
    push_month(out, date);
    out.push(b'-');
    push_two(out, date.day());
}

fn push_time(out: &mut Vec<u8>, time: NaiveDateTime, between: u8) {
    push_date(out, time.date());
    out.push(between);
    push_two(out, time.hour());
    out.push(b':');
    push_two(out, time.minute());
    out.push(b':');
    push_two(out, time.second());
}

fn push_offset(out: &mut Vec<u8>, seconds: i32) {
    out.push(if seconds < 0 { b'-' } else { b'+' });
    let seconds = seconds.unsigned_abs();
    push_two(out, seconds / 3600);
    out.push(b':');
    push_two(out, seconds / 60 % 60);
    // Before standard time, offsets of some zones had odd seconds.
    if !seconds.is_multiple_of(60) {
        out.push(b':');
        push_two(out, seconds % 60);
    }
}

fn push_whole(out: &mut Vec<u8>, number: i64) {
    let mut digits = [0_u8; 20];
    let mut left = number.unsigned_abs();
    let mut at = digits.len();
    loop {
        at -= 1;
        digits[at] = b'0' + (left % 10) as u8;
        left /= 10;
        if left == 0 {
            break;
        }
    }
    if number < 0 {
        out.push(b'-');
    }
    out.extend_from_slice(&digits[at..]);
}

/// A number with fixed decimals, rounded half away from zero, without a
/// negative zero. This is ten times as fast as the formatting machinery, which
/// matters in a batch of millions of cells.
fn push_fixed(out: &mut Vec<u8>, number: f64, decimals: usize) {
    const POWERS: [f64; 10] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];
    let scaled = POWERS.get(decimals).map(|power| (number * power).round());
    match scaled {
        Some(scaled) if scaled.abs() < 1e15 => {
            let scaled = scaled as i64;
            if scaled < 0 {
                out.push(b'-');
            }
            let power = POWERS[decimals] as u64;
            let size = scaled.unsigned_abs();
            push_whole(out, (size / power) as i64);
            if decimals > 0 {
                out.push(b'.');
                let mut rest = size % power;
                let start = out.len();
                out.resize(start + decimals, b'0');
                for at in (start..start + decimals).rev() {
                    out[at] = b'0' + (rest % 10) as u8;
                    rest /= 10;
                }
            }
        }
        _ => out.extend_from_slice(format!("{number:.decimals$}").as_bytes()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn offsets_and_zeros() {
        assert_eq!(Cell::Offset(34_200).to_text(), "+09:30");
        assert_eq!(Cell::Offset(-1_172).to_text(), "-00:19:32");
        assert_eq!(Cell::Number(-0.0004, 3).to_text(), "0.000");
        assert_eq!(Cell::Number(-12.3456, 2).to_text(), "-12.35");
        assert_eq!(Cell::Number(0.5, 0).to_text(), "1");
        assert_eq!(Cell::Whole(i64::MIN).to_text(), i64::MIN.to_string());
        assert_eq!(Cell::Empty.to_text(), "");
    }

    proptest! {
        #[test]
        fn fixed_numbers_read_back(number in -1e6..1e6_f64, decimals in 0_usize..7) {
            let text = Cell::Number(number, decimals).to_text();
            let back: f64 = text.parse().expect("a number");
            prop_assert!((back - number).abs() <= 0.500_001 * 10_f64.powi(-(decimals as i32)));
            let after_point = text.split_once('.').map_or(0, |(_, d)| d.len());
            prop_assert_eq!(after_point, decimals);
        }
    }
}

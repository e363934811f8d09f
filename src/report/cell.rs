//! One value of a record, before any format touches it.

use super::decimal_text;
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
            Self::Whole(number) => decimal_text::push_whole(out, number),
            Self::Number(number, decimals) => decimal_text::push_fixed(out, number, decimals),
            Self::Exact(number) => decimal_text::push_exact(out, number),
            Self::Flag(flag) => out.extend_from_slice(if flag { b"true" } else { b"false" }),
            Self::Date(date) => out.extend_from_slice(&date_text(date)),
            Self::Month(date) => out.extend_from_slice(&month_text(date)),
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

/// Two digits of a number.
const fn two(number: u32) -> [u8; 2] {
    [b'0' + (number / 10 % 10) as u8, b'0' + (number % 10) as u8]
}

fn month_text(date: NaiveDate) -> [u8; 7] {
    let year = date.year().clamp(0, 9999) as u32;
    let ([a, b], [c, d]) = (two(year / 100), two(year % 100));
    let [m, n] = two(date.month());
    [a, b, c, d, b'-', m, n]
}

fn date_text(date: NaiveDate) -> [u8; 10] {
    let [a, b, c, d, e, m, n] = month_text(date);
    let [t, u] = two(date.day());
    [a, b, c, d, e, m, n, b'-', t, u]
}

fn push_time(out: &mut Vec<u8>, time: NaiveDateTime, between: u8) {
    let [a, b, c, d, e, f, g, h, i, j] = date_text(time.date());
    let second = time.num_seconds_from_midnight();
    let [k, l] = two(second / 3600);
    let [m, n] = two(second / 60 % 60);
    let [o, p] = two(second % 60);
    out.extend_from_slice(&[
        a, b, c, d, e, f, g, h, i, j, between, k, l, b':', m, n, b':', o, p,
    ]);
}

fn push_offset(out: &mut Vec<u8>, seconds: i32) {
    let sign = if seconds < 0 { b'-' } else { b'+' };
    let seconds = seconds.unsigned_abs();
    let ([a, b], [c, d]) = (two(seconds / 3600), two(seconds / 60 % 60));
    out.extend_from_slice(&[sign, a, b, b':', c, d]);
    // Before standard time, offsets of some zones had odd seconds.
    if !seconds.is_multiple_of(60) {
        let [a, b] = two(seconds % 60);
        out.extend_from_slice(&[b':', a, b]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
}

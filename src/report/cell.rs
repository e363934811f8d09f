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

/// Writes two digits of a number into a text, from a place on.
fn put_two(text: &mut [u8], at: usize, number: u32) {
    text[at] = b'0' + (number / 10 % 10) as u8;
    text[at + 1] = b'0' + (number % 10) as u8;
}

fn date_text(date: NaiveDate) -> [u8; 10] {
    let mut text = *b"0000-00-00";
    let year = date.year().clamp(0, 9999) as u32;
    put_two(&mut text, 0, year / 100);
    put_two(&mut text, 2, year % 100);
    put_two(&mut text, 5, date.month());
    put_two(&mut text, 8, date.day());
    text
}

fn push_month(out: &mut Vec<u8>, date: NaiveDate) {
    let [month @ .., _, _, _] = date_text(date);
    out.extend_from_slice(&month);
}

fn push_time(out: &mut Vec<u8>, time: NaiveDateTime, between: u8) {
    out.extend_from_slice(&date_text(time.date()));
    let mut text = *b" 00:00:00";
    text[0] = between;
    let second = time.num_seconds_from_midnight();
    put_two(&mut text, 1, second / 3600);
    put_two(&mut text, 4, second / 60 % 60);
    put_two(&mut text, 7, second % 60);
    out.extend_from_slice(&text);
}

fn push_offset(out: &mut Vec<u8>, seconds: i32) {
    let mut text = *b"+00:00:00";
    if seconds < 0 {
        text[0] = b'-';
    }
    let seconds = seconds.unsigned_abs();
    put_two(&mut text, 1, seconds / 3600);
    put_two(&mut text, 4, seconds / 60 % 60);
    put_two(&mut text, 7, seconds % 60);
    // Before standard time, offsets of some zones had odd seconds.
    let [minutes @ .., _, _, _] = text;
    match seconds.is_multiple_of(60) {
        true => out.extend_from_slice(&minutes),
        false => out.extend_from_slice(&text),
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

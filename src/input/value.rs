//! One value of a site file or of a table's field, before its key has checked
//! it.

use super::decimal::{field_number, with_points};
use crate::scene::bearing::Bearing;
use crate::scene::length::has_unit;
use crate::scene::number::{number, number_hint};
use crate::scene::position::{Axis, single_coordinate};
use crate::scene::{LengthUnit, ValueError, length_within};
use std::borrow::Cow;

/// A value as written, with its kind.
pub(crate) struct Value<'a> {
    /// The value as it is in the file, for messages.
    pub written: &'a str,
    /// What it is.
    pub kind: Kind<'a>,
}

pub(crate) enum Kind<'a> {
    /// The field of a table; only the key decides its type.
    Field,
    /// The field of a table without commas between its fields, where numbers
    /// may have a decimal comma.
    CommaField,
    /// A string.
    Text(&'a str),
    /// A number; NaN or infinite if it was written so.
    Number(f64),
    /// A list.
    List(Vec<Value<'a>>),
    /// A table where a value should be.
    Table,
    /// Something that no key accepts: a date or a truth value.
    Other,
}

/// Whether a text is a number in some country's signs, and nothing else.
fn is_plain(text: &str) -> bool {
    text.chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'))
}

/// Whether three digits alone stand behind a comma.
fn parts_thousands(text: &str) -> bool {
    text.split_once(',').is_some_and(|(_, rest)| {
        let digits = rest.find(|c: char| !c.is_ascii_digit());
        digits.unwrap_or(rest.len()) == 3
    })
}

impl Value<'_> {
    fn refuse(&self, expected: impl Into<String>) -> ValueError {
        ValueError::new(self.written, expected)
    }

    /// The text of a string or a field.
    pub fn text(&self, expected: &str) -> Result<&str, ValueError> {
        match self.kind {
            Kind::Field | Kind::CommaField => Ok(self.written),
            Kind::Text(text) => Ok(text),
            Kind::Number(_) => Err(self.refuse(expected).with_remedy("put it in quotes")),
            Kind::List(_) | Kind::Table | Kind::Other => Err(self.refuse(expected)),
        }
    }

    /// The text of a value of the user's own: a field, a string or a number, as
    /// it was written.
    pub fn own_text(&self) -> Result<&str, ValueError> {
        let expected = "text in quotes or a number";
        match self.kind {
            Kind::Field | Kind::CommaField => Ok(self.written),
            Kind::Text(text) => Ok(text),
            Kind::Number(number) if number.is_finite() => Ok(self.written),
            Kind::Number(_) | Kind::Other => {
                Err(self.refuse(expected).with_remedy("put it in quotes"))
            }
            Kind::List(_) | Kind::Table => Err(self
                .refuse(expected)
                .with_remedy("give each value a key of its own")),
        }
    }

    /// The text that a key of a brief reads: a string or a field as it is, a
    /// number as written, a list of strings joined by commas.
    pub fn brief_text(&self) -> Result<String, ValueError> {
        match &self.kind {
            Kind::Field | Kind::Number(_) => Ok(self.written.to_owned()),
            Kind::CommaField => Ok(with_points(self.written)),
            Kind::Text(text) => Ok((*text).to_owned()),
            Kind::List(items) => {
                let words: Result<Vec<&str>, ValueError> = items
                    .iter()
                    .map(|item| item.text("a list of texts in quotes"))
                    .collect();
                Ok(words?.join(","))
            }
            Kind::Table | Kind::Other => Err(self
                .refuse("text in quotes")
                .with_remedy("write it in quotes, as after the option")),
        }
    }

    /// A finite number, which the caller checks; `accepts` says which number
    /// may be offered instead of a text that is none.
    pub fn number(&self, expected: &str, accepts: impl Fn(f64) -> bool) -> Result<f64, ValueError> {
        let refuse = || self.refuse(expected);
        let hint = |text: &str| number_hint(text, &accepts);
        match self.kind {
            Kind::Number(value) if value.is_finite() => Ok(value + 0.0),
            Kind::Number(_) => Err(refuse().with_hint(hint(self.written))),
            Kind::Field => match number(self.written) {
                Some(value) => Ok(value),
                None => Err(refuse().with_hint(hint(self.written))),
            },
            Kind::CommaField => field_number(self.written, expected, accepts),
            Kind::Text(text) => match number(text) {
                Some(value) if accepts(value) => {
                    Err(refuse().with_remedy(format!("leave the quotes off: write {text}")))
                }
                Some(_) => Err(refuse()),
                None => Err(refuse().with_hint(hint(text))),
            },
            Kind::List(_) => Err(refuse().with_remedy("take the brackets off")),
            Kind::Table | Kind::Other => Err(refuse()),
        }
    }

    fn number_that(
        &self,
        expected: &str,
        accepts: impl Fn(f64) -> bool,
    ) -> Result<f64, ValueError> {
        let value = self.number(expected, &accepts)?;
        accepts(value)
            .then_some(value)
            .ok_or_else(|| self.refuse(expected))
    }

    /// A number from `low` to `high`.
    pub fn number_within(&self, (low, high): (f64, f64)) -> Result<f64, ValueError> {
        let expected = format!("a number from {low} to {high}");
        self.number_that(&expected, |value| (low..=high).contains(&value))
    }

    /// A length in metres from `low` to `high`: a number, or text with a unit.
    pub fn metres_within(&self, (low, high): (f64, f64)) -> Result<f64, ValueError> {
        let text = match self.kind {
            Kind::Text(text) => Cow::Borrowed(text),
            Kind::Field => Cow::Borrowed(self.written),
            // A comma before three digits may part thousands: that is asked back.
            Kind::CommaField if parts_thousands(self.written) => Cow::Borrowed(self.written),
            Kind::CommaField => Cow::Owned(self.written.replacen(',', ".", 1)),
            _ => return self.number_within((low, high)),
        };
        match has_unit(&text) {
            true => length_within(&text, LengthUnit::Metre, low, high),
            false => self.number_within((low, high)),
        }
    }

    /// A latitude or a longitude, degrees: a number, or text in any notation;
    /// its range is checked where both are known.
    pub fn coordinate(&self, axis: Axis) -> Result<f64, ValueError> {
        let expected = match axis {
            Axis::Latitude => "a number from -90 to 90",
            Axis::Longitude => "a number from -180 to 180",
        };
        let most = match axis {
            Axis::Latitude => 90.0,
            Axis::Longitude => 180.0,
        };
        match self.kind {
            Kind::Text(text) => single_coordinate(text, axis),
            Kind::Field => match number(self.written) {
                Some(degrees) => Ok(degrees),
                None => single_coordinate(self.written, axis),
            },
            Kind::CommaField if !is_plain(self.written) => single_coordinate(self.written, axis),
            _ => self.number(expected, |degrees| degrees.abs() <= most),
        }
    }

    /// A whole number from `low` to `high`.
    pub fn whole_within(&self, low: u32, high: u32) -> Result<u32, ValueError> {
        let expected = format!("a whole number from {low} to {high}");
        let value = self.number_that(&expected, |value| {
            value.fract() == 0.0 && (f64::from(low)..=f64::from(high)).contains(&value)
        })?;
        Ok(value as u32)
    }

    /// Yes or no: `true` or `false`, in a field too.
    pub fn flag(&self) -> Result<bool, ValueError> {
        let refuse = || self.refuse("true or false");
        let text = match self.kind {
            Kind::Text(text) => text,
            _ => self.written,
        };
        match (&self.kind, text) {
            (Kind::Field | Kind::CommaField | Kind::Other, "true") => return Ok(true),
            (Kind::Field | Kind::CommaField | Kind::Other, "false") => return Ok(false),
            (Kind::Text(_), "true" | "false") => {
                return Err(refuse().with_remedy(format!("leave the quotes off: write {text}")));
            }
            _ => {}
        }
        Err(match text.to_ascii_lowercase().as_str() {
            "true" | "yes" | "on" | "1" => refuse().with_remedy("write true"),
            "false" | "no" | "off" | "0" => refuse().with_remedy("write false"),
            _ => refuse(),
        })
    }

    /// A bearing from 0 to 360, true unless it says magnetic; 360 is 0.
    pub fn bearing(&self) -> Result<Bearing, ValueError> {
        let text = match self.kind {
            Kind::Text(text) => Cow::Borrowed(text),
            Kind::Field => Cow::Borrowed(self.written),
            Kind::CommaField => Cow::Owned(self.written.replacen(',', ".", 1)),
            _ => Cow::Borrowed(""),
        };
        match Bearing::with_north(&text) {
            Some(bearing) => Ok(bearing),
            None => self.true_bearing().map(Bearing::True),
        }
    }

    fn true_bearing(&self) -> Result<f64, ValueError> {
        let expected = "a true bearing from 0 to 360";
        let value = self.number(expected, |value| (0.0..=360.0).contains(&value))?;
        if (0.0..=360.0).contains(&value) {
            Ok(value.rem_euclid(360.0))
        } else if (-180.0..0.0).contains(&value) {
            let turned = crate::scene::number::tidy(value + 360.0);
            Err(self.refuse(expected).with_remedy(format!("write {turned}")))
        } else {
            Err(self.refuse(expected))
        }
    }

    /// Two values, as a list, or in a field as `36x24` or `36 24`, each read by
    /// `read`.
    pub fn pair<T>(
        &self,
        expected: &str,
        read: impl Fn(&Value<'_>) -> Result<T, ValueError>,
    ) -> Result<[T; 2], ValueError> {
        match &self.kind {
            Kind::List(items) => match items.as_slice() {
                [first, second] => Ok([read(first)?, read(second)?]),
                _ => Err(self.refuse(expected).with_remedy("for example [36, 24]")),
            },
            Kind::Field | Kind::CommaField => {
                // A comma that may be a decimal sign parts nothing.
                let is_comma_field = matches!(self.kind, Kind::CommaField);
                let parts: Vec<&str> = self
                    .written
                    .split(|c| matches!(c, 'x' | ' ' | '\u{d7}') || (c == ',' && !is_comma_field))
                    .filter(|part| !part.is_empty())
                    .collect();
                let field = |written| Value {
                    written,
                    kind: match is_comma_field {
                        true => Kind::CommaField,
                        false => Kind::Field,
                    },
                };
                match parts.as_slice() {
                    [first, second] => Ok([read(&field(first))?, read(&field(second))?]),
                    _ => Err(self.refuse(expected).with_remedy("for example 36x24")),
                }
            }
            Kind::Text(text) => {
                // As a field of a table has it.
                let numbers: Option<Vec<f64>> =
                    text.split('x').map(|n| n.trim().parse().ok()).collect();
                Err(self.refuse(expected).with_remedy(match numbers.as_deref() {
                    Some([first, second]) if first.is_finite() && second.is_finite() => {
                        format!("write [{first}, {second}]")
                    }
                    _ => "for example [36, 24]".to_owned(),
                }))
            }
            Kind::Number(_) | Kind::Table | Kind::Other => {
                Err(self.refuse(expected).with_remedy("for example [36, 24]"))
            }
        }
    }
}

//! Shares of a whole, as numbers from 0 to 1 or in percent.

use super::decimal::with_point;
use super::value::{Kind, Value};
use crate::scene::number::{number, number_hint, tidy};
use crate::scene::{MONTHS, ValueError};

const EXPECTED: &str = "from 0 to 1, or in percent, as 60%";

/// The share that a value spells: a number from 0 to 1, or text or a field that
/// may end in `%`; `what` it is, for messages.
///
/// # Errors
///
/// No number, or one that is no share.
pub(super) fn share(value: &Value<'_>, what: &str) -> Result<f64, ValueError> {
    let refuse = || ValueError::new(value.written, format!("{what} {EXPECTED}"));
    let is_share = |share: f64| (0.0..=1.0).contains(&share);
    let (text, number): (&str, fn(&str) -> Option<f64>) = match value.kind {
        Kind::Number(share) if is_share(share) => return Ok(share + 0.0),
        Kind::Number(share) => {
            let meant = Some(tidy(share / 100.0)).filter(|share| is_share(*share));
            return Err(refuse().with_hint(meant.map(of_one)));
        }
        Kind::Field => (value.written, number),
        Kind::CommaField => (value.written, |text| number(&with_point(text))),
        Kind::Text(text) => (text, number),
        Kind::List(_) | Kind::Table | Kind::Other => return Err(refuse()),
    };
    let percent = text.trim().strip_suffix('%').map(str::trim_end);
    let whole = if percent.is_some() { 100.0 } else { 1.0 };
    match number(percent.unwrap_or(text)) {
        Some(found) if (0.0..=whole).contains(&found) => Ok(found / whole),
        Some(found) => {
            let meant =
                Some(found).filter(|found| percent.is_none() && (0.0..=100.0).contains(found));
            Err(refuse().with_hint(meant.map(|_| of_one(format!("{text}%")))))
        }
        None => Err(refuse().with_hint(number_hint(text, is_share))),
    }
}

fn of_one(meant: impl std::fmt::Display) -> String {
    format!("the whole is 1, or 100%: write {meant}")
}

/// A share of clear nights for each month: a list of twelve, or a field with
/// blanks between them.
///
/// # Errors
///
/// Fewer or more than twelve, and one that is no share.
pub(super) fn clear_nights(value: &Value<'_>) -> Result<[f64; 12], ValueError> {
    let fields: Vec<Value<'_>>;
    let items = match &value.kind {
        Kind::List(items) => items,
        Kind::Field | Kind::CommaField => {
            let kind = || match value.kind {
                Kind::CommaField => Kind::CommaField,
                _ => Kind::Field,
            };
            let words = value.written.split_whitespace();
            // One more than enough shows that there are too many.
            let words = words.take(MONTHS.len() + 1);
            fields = words
                .map(|written| Value {
                    written,
                    kind: kind(),
                })
                .collect();
            &fields
        }
        _ => return Err(not_twelve(value.written)),
    };
    if items.len() != MONTHS.len() {
        return Err(not_twelve(value.written));
    }
    let mut shares = [0.0; 12];
    for ((item, month), place) in items.iter().zip(MONTHS).zip(&mut shares) {
        *place = clear_share(item, month)?;
    }
    Ok(shares)
}

/// A share of clear nights in `month`.
///
/// # Errors
///
/// What is no share.
pub(super) fn clear_share(value: &Value<'_>, month: &str) -> Result<f64, ValueError> {
    share(value, &format!("a share of clear nights in {month}"))
}

fn not_twelve(found: &str) -> ValueError {
    ValueError::new(found, "twelve shares of clear nights, January to December")
}

//! How values are serialised where deriving is not enough: dates as
//! `YYYY-MM-DD`.

use chrono::NaiveDate;
use serde::{Serialize, Serializer};
use std::{fmt::Display, sync::Arc};

/// A date.
pub(crate) fn date<S: Serializer>(date: &NaiveDate, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(date)
}

/// A date, if there is one.
pub(crate) fn maybe_date<S: Serializer>(
    date: &Option<NaiveDate>,
    to: S,
) -> Result<S::Ok, S::Error> {
    date.map(|date| date.to_string()).serialize(to)
}

/// Dates.
pub(crate) fn dates<S: Serializer>(dates: &[NaiveDate], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(dates.iter().map(NaiveDate::to_string))
}

/// A score and its date, if there is one.
pub(crate) fn scored_date<S: Serializer>(
    best: &Option<(f64, NaiveDate)>,
    to: S,
) -> Result<S::Ok, S::Error> {
    best.map(|(score, date)| (score, date.to_string()))
        .serialize(to)
}

/// A value by the word that asks for it.
pub(crate) fn word<S: Serializer>(word: &impl Display, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(word)
}

/// A shared text, if there is one.
pub(crate) fn maybe_text<S: Serializer>(text: &Option<Arc<str>>, to: S) -> Result<S::Ok, S::Error> {
    text.as_deref().serialize(to)
}

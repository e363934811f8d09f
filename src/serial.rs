//! How what the library gives out is serialised, where deriving does not do:
//! dates as `YYYY-MM-DD`, moments in UTC (RFC 3339, to the second), rules by
//! their keys.

use crate::{
    ephemeris::{Direction, Moment},
    rule::Rule,
    search::Interval,
};
use chrono::{NaiveDate, SecondsFormat};
use serde::{Serialize, Serializer, ser::SerializeStruct};

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.to_utc().to_rfc3339_opts(SecondsFormat::Secs, true))
    }
}

impl Serialize for Direction {
    /// As it is typed.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl Serialize for Interval {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut fields = to.serialize_struct("Interval", 2)?;
        fields.serialize_field("start", &self.first())?;
        fields.serialize_field("end", &self.last())?;
        fields.end()
    }
}

impl Serialize for Rule {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.key)
    }
}

/// A date.
pub(crate) fn date<S: Serializer>(date: &NaiveDate, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(date)
}

/// A date, where there is one.
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

/// A score and its date, where there is one.
pub(crate) fn scored_date<S: Serializer>(
    best: &Option<(f64, NaiveDate)>,
    to: S,
) -> Result<S::Ok, S::Error> {
    best.map(|(score, date)| (score, date.to_string()))
        .serialize(to)
}

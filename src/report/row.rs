//! What a field of a record is: its name, type and text, and its description.
//! Every format works from lists of fields.

use super::cell::Cell;
pub use super::{
    row_kind::RowKind,
    shown::{Apart, Common, Importance, InBlend, Needed, Room, Shown},
};
use crate::{ephemeris::Moment, rule::Conditions};
use chrono::{NaiveDate, NaiveDateTime};

/// Instants of a site.
#[derive(Debug, Clone, Copy)]
pub struct Instants;

impl RowKind for Instants {
    type Of<'a> = &'a Conditions;
}

/// How a record fills a field; `None` leaves it empty.
pub enum Value<K: RowKind> {
    /// Any words.
    Text(for<'r> fn(&'r K::Of<'_>) -> Option<&'r str>),
    /// One of these words.
    Word(
        &'static [&'static str],
        fn(&K::Of<'_>) -> Option<&'static str>,
    ),
    /// A whole number.
    Whole(fn(&K::Of<'_>) -> Option<i64>),
    /// A number with this many decimals.
    Number(usize, fn(&K::Of<'_>) -> Option<f64>),
    /// A number as it was given.
    Exact(fn(&K::Of<'_>) -> Option<f64>),
    /// Yes or no.
    Flag(fn(&K::Of<'_>) -> Option<bool>),
    /// A civil date.
    Date(fn(&K::Of<'_>) -> Option<NaiveDate>),
    /// A calendar month, by a date in it.
    Month(fn(&K::Of<'_>) -> Option<NaiveDate>),
    /// A time on the site's wall clock.
    Local(fn(&K::Of<'_>) -> Option<NaiveDateTime>),
    /// A time in UTC.
    Utc(fn(&K::Of<'_>) -> Option<Moment>),
    /// Seconds that the wall clock is ahead of UTC.
    Offset(fn(&K::Of<'_>) -> Option<i32>),
    /// A field of an instant of the record.
    Instant(
        &'static Field<Instants>,
        for<'r> fn(&'r K::Of<'_>) -> Option<&'r Conditions>,
    ),
}

/// The numbers that a field can hold.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Range {
    /// Any number.
    Any,
    /// No less than this.
    AtLeast(f64),
    /// More than this.
    Above(f64),
    /// Between these, ends included.
    Within(f64, f64),
}

/// A field of a record.
#[non_exhaustive]
pub struct Field<K: RowKind> {
    /// Its name in machine formats, with the unit.
    pub name: &'static str,
    /// Type and value.
    pub value: Value<K>,
    /// The numbers it can hold.
    pub range: Range,
    /// When it is empty; `None` if never.
    pub empty: Option<&'static str>,
    /// What it is, with unit and frame.
    pub doc: &'static str,
    /// How people see it; `None` if only machine formats have it.
    pub shown: Option<Shown<K>>,
}

impl<K: RowKind> Field<K> {
    /// A field without a description yet.
    const fn new(name: &'static str, value: Value<K>) -> Self {
        Self {
            name,
            value,
            range: Range::Any,
            empty: None,
            doc: "",
            shown: None,
        }
    }

    /// A field of any words.
    pub const fn text(
        name: &'static str,
        value: for<'r> fn(&'r K::Of<'_>) -> Option<&'r str>,
    ) -> Self {
        Self::new(name, Value::Text(value))
    }

    /// A field of one of these words.
    pub const fn word(
        name: &'static str,
        words: &'static [&'static str],
        value: fn(&K::Of<'_>) -> Option<&'static str>,
    ) -> Self {
        Self::new(name, Value::Word(words, value))
    }

    /// A field of a whole number.
    pub const fn whole(name: &'static str, value: fn(&K::Of<'_>) -> Option<i64>) -> Self {
        Self::new(name, Value::Whole(value))
    }

    /// A field of a number with this many decimals.
    pub const fn number(
        name: &'static str,
        decimals: usize,
        value: fn(&K::Of<'_>) -> Option<f64>,
    ) -> Self {
        Self::new(name, Value::Number(decimals, value))
    }

    /// A field of a number as it was given.
    pub const fn exact(name: &'static str, value: fn(&K::Of<'_>) -> Option<f64>) -> Self {
        Self::new(name, Value::Exact(value))
    }

    /// A field of yes or no.
    pub const fn flag(name: &'static str, value: fn(&K::Of<'_>) -> Option<bool>) -> Self {
        Self::new(name, Value::Flag(value))
    }

    /// A field of a civil date.
    pub const fn date(name: &'static str, value: fn(&K::Of<'_>) -> Option<NaiveDate>) -> Self {
        Self::new(name, Value::Date(value))
    }

    /// A field of a calendar month, by a date in it.
    pub const fn month(name: &'static str, value: fn(&K::Of<'_>) -> Option<NaiveDate>) -> Self {
        Self::new(name, Value::Month(value))
    }

    /// A field of a time on the site's wall clock.
    pub const fn local(name: &'static str, value: fn(&K::Of<'_>) -> Option<NaiveDateTime>) -> Self {
        Self::new(name, Value::Local(value))
    }

    /// A field of a time in UTC.
    pub const fn utc(name: &'static str, value: fn(&K::Of<'_>) -> Option<Moment>) -> Self {
        Self::new(name, Value::Utc(value))
    }

    /// A field of an offset from UTC, seconds.
    pub const fn offset(name: &'static str, value: fn(&K::Of<'_>) -> Option<i32>) -> Self {
        Self::new(name, Value::Offset(value))
    }

    /// A field of an instant of the record, with the same description.
    pub const fn of_instant(
        field: &'static Field<Instants>,
        instant: for<'r> fn(&'r K::Of<'_>) -> Option<&'r Conditions>,
    ) -> Self {
        let mut own = Self::new(field.name, Value::Instant(field, instant));
        own.range = field.range;
        own.empty = field.empty;
        own.doc = field.doc;
        own
    }

    /// The same number with other decimals.
    #[must_use]
    pub const fn decimals(mut self, decimals: usize) -> Self {
        if let Value::Number(_, of) = self.value {
            self.value = Value::Number(decimals, of);
        }
        self
    }

    /// Says which numbers it can hold.
    #[must_use]
    pub const fn range(mut self, range: Range) -> Self {
        self.range = range;
        self
    }

    /// Says when it is empty.
    #[must_use]
    pub const fn empty(mut self, when: &'static str) -> Self {
        self.empty = Some(when);
        self
    }

    /// Says what it is, with unit and frame.
    #[must_use]
    pub const fn doc(mut self, doc: &'static str) -> Self {
        self.doc = doc;
        self
    }

    /// Says how people see it.
    #[must_use]
    pub const fn shown(mut self, shown: Shown<K>) -> Self {
        self.shown = Some(shown);
        self
    }

    /// The value of a record.
    pub fn cell<'r>(&self, record: &'r K::Of<'_>) -> Cell<'r> {
        match self.value {
            Value::Text(of) => or_empty(of(record), Cell::Text),
            Value::Instant(field, of) => or_empty(of(record), |instant| field.own_cell(&instant)),
            _ => self.own_cell(record),
        }
    }

    /// The value, if it borrows nothing from the record.
    fn own_cell(&self, record: &K::Of<'_>) -> Cell<'static> {
        match self.value {
            // An instant has no text of its own and no instants.
            Value::Text(_) | Value::Instant(..) => Cell::Empty,
            Value::Word(_, of) => or_empty(of(record), Cell::Text),
            Value::Whole(of) => or_empty(of(record), Cell::Whole),
            Value::Number(decimals, of) => or_empty(of(record), |n| Cell::Number(n, decimals)),
            Value::Exact(of) => or_empty(of(record), Cell::Exact),
            Value::Flag(of) => or_empty(of(record), Cell::Flag),
            Value::Date(of) => or_empty(of(record), Cell::Date),
            Value::Month(of) => or_empty(of(record), Cell::Month),
            Value::Local(of) => or_empty(of(record), Cell::Local),
            Value::Utc(of) => or_empty(of(record), Cell::Utc),
            Value::Offset(of) => or_empty(of(record), Cell::Offset),
        }
    }
}

fn or_empty<'a, T>(value: Option<T>, cell: impl FnOnce(T) -> Cell<'a>) -> Cell<'a> {
    value.map_or(Cell::Empty, cell)
}

/// The fields of a list that people see, in the order of their columns.
pub(super) fn shown<K: RowKind>(
    fields: impl IntoIterator<Item = &'static Field<K>>,
) -> Vec<(&'static Field<K>, &'static Shown<K>)> {
    let with_shown = |field: &'static Field<K>| Some((field, field.shown.as_ref()?));
    let mut shown: Vec<_> = fields.into_iter().filter_map(with_shown).collect();
    shown.sort_by_key(|(_, shown)| shown.place);
    shown
}

//! A calendar month or year of a site: its fields in CSV.

use super::{
    site::{NO_VIEW, VIEW_DOC},
    weather::{EXPECTED_CLEAR_DOC, NO_CLIMATE},
};
use crate::{
    report::row::{Field, Range, RowKind},
    scene::Site,
    search::CalendarPeriod,
};
use chrono::Datelike;

/// A calendar month or year of a site.
#[derive(Debug, Clone, Copy)]
pub struct SitePeriod<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its month or year.
    pub period: &'a CalendarPeriod<'a>,
}

/// Calendar months or years of sites.
#[derive(Debug, Clone, Copy)]
pub struct SitePeriods;

impl RowKind for SitePeriods {
    type Of<'a> = SitePeriod<'a>;
}

type F = Field<SitePeriods>;

const SITE: F = F::text("site", |p| Some(&p.site.name)).doc("name of the site");

const VIEW: F = F::text("view", |p| p.site.view.as_deref())
    .empty(NO_VIEW)
    .doc(VIEW_DOC);

const NIGHTS: F = F::whole("nights", |p| i64::try_from(p.period.nights).ok())
    .range(Range::AtLeast(0.0))
    .doc("nights that have a window; a night belongs to the date of its evening");

const YEAR_NUMBER: F = F::whole("year", |p| Some(p.period.first_day.year().into()))
    .range(Range::Within(1900.0, 2099.0))
    .doc("the calendar year");

const HOURS: F = F::number("hours", 1, |p| Some(p.period.minutes / 60.0))
    .range(Range::AtLeast(0.0))
    .doc("length of all its windows together, hours; for `blend` of the dark periods");

const EXPECTED_CLEAR: F = F::number("expected_clear_nights", 2, |p| {
    Some(p.site.climate?.expected_clear(&p.period.evenings))
})
.range(Range::AtLeast(0.0))
.empty(NO_CLIMATE)
.doc(EXPECTED_CLEAR_DOC);

/// The fields of a month that precede those of its best window.
pub static MONTH: &[F] = &[
    SITE,
    VIEW,
    F::month("month", |p| Some(p.period.first_day)).doc("the calendar month, YYYY-MM"),
    NIGHTS,
    EXPECTED_CLEAR,
];

/// The fields of a year that precede those of its best window.
pub static YEAR: &[F] = &[SITE, VIEW, YEAR_NUMBER, NIGHTS, HOURS, EXPECTED_CLEAR];

/// The fields of a month of several years or at several sites side by side.
pub static MONTH_OF_YEAR: &[F] = &[
    SITE,
    VIEW,
    YEAR_NUMBER,
    F::whole("month_of_year", |p| Some(p.period.first_day.month().into()))
        .range(Range::Within(1.0, 12.0))
        .doc("the calendar month, 1 to 12"),
    F::whole("evenings", |p| {
        Some((p.period.last - p.period.first).num_days() + 1)
    })
    .range(Range::Within(1.0, 31.0))
    .doc("evenings of the month that are asked for; fewer than it has where the range begins or ends in it"),
    NIGHTS,
    HOURS,
    EXPECTED_CLEAR,
];

//! The chance of clear sky and the cloud foretold: the fields that windows and
//! nights share.

use super::{
    night_record::{NightRow, NightRows},
    window_record::{Record, Windows},
    window_texts::{optional, percent},
};
use crate::{
    report::row::{Field, Importance, Range, Shown},
    scene::CloudOver,
};

type F = Field<Windows>;
type S = Shown<Windows>;

/// What the clear nights among several are.
pub(super) const EXPECTED_CLEAR_DOC: &str =
    "how many of them are clear in an average year: the sum of their chances";
/// When no chance of clear sky is known.
pub(super) const NO_CLIMATE: &str = "site without `[climate]`";
/// What that chance is.
pub(super) const CLEAR_DOC: &str =
    "chance that the night is clear: the share of clear nights in the evening's month, 0 to 1";
/// When no cloud is foretold.
const NO_FORECAST: &str = "no forecast for it, or only for a part of it";
const CLOUDS: Range = Range::Within(0.0, 100.0);

/// The cloud over a window.
fn cloud(record: &Record<'_>) -> Option<CloudOver> {
    record.window.cloud_foretold(record.site)
}

/// A percentage for people.
fn percent_text(number: f64) -> String {
    percent(number / 100.0)
}

/// The chance of a clear night.
pub(super) const CLEAR_CHANCE: F =
    F::number("clear_chance", 4, |r| r.site.clear_chance(r.window.night))
        .range(Range::Within(0.0, 1.0))
        .empty(NO_CLIMATE)
        .doc(CLEAR_DOC)
        .shown(
            S::new(
                5,
                ["clear", "nights", "clear nights"],
                Importance::Further,
                |r, _| optional(r.site.clear_chance(r.window.night), percent),
            )
            .good(|r| r.site.clear_chance(r.window.night)),
        );

/// The mean cloud foretold.
pub(super) const CLOUD: F = F::number("cloud_forecast_percent", 1, |r| {
    cloud(r).map(|over| over.mean_percent)
})
.range(CLOUDS)
.empty(NO_FORECAST)
.doc("cloud foretold by --forecast, percent of the sky: the mean over the window")
.shown(
    S::new(
        5,
        ["cloud", "mean", "cloud forecast"],
        Importance::Key,
        |r, _| optional(cloud(r).map(|over| over.mean_percent), percent_text),
    )
    .good(|r| cloud(r).map(|over| -over.mean_percent)),
);

/// The most cloud foretold.
pub(super) const MOST_CLOUD: F = F::number("cloud_forecast_most_percent", 1, |r| {
    cloud(r).map(|over| over.most_percent)
})
.range(CLOUDS)
.empty(NO_FORECAST)
.doc("the most of it at any time of the window, percent")
.shown(
    S::new(5, ["", "most", "  at most"], Importance::Further, |r, _| {
        optional(cloud(r).map(|over| over.most_percent), percent_text)
    })
    .good(|r| cloud(r).map(|over| -over.most_percent)),
);

/// Whether any of these records fills a field of weather; any other field
/// counts as filled.
pub(super) fn is_known(field: &F, records: &[Record<'_>]) -> bool {
    let weather = [CLEAR_CHANCE.name, CLOUD.name, MOST_CLOUD.name];
    !weather.contains(&field.name)
        || records
            .iter()
            .any(|record| match field.name == CLEAR_CHANCE.name {
                true => record.site.climate.is_some(),
                false => cloud(record).is_some(),
            })
}

/// The cloud at a line or a step of a night.
pub(super) const CLOUD_AT: Field<NightRows> =
    Field::number("cloud_forecast_percent", 1, |r: &NightRow<'_>| {
        r.cloud_percent()
    })
    .range(CLOUDS)
    .empty("no forecast for that moment")
    .doc("cloud foretold by --forecast, percent of the sky")
    .shown(Shown::new(
        9,
        ["", "cloud", "cloud forecast"],
        Importance::Key,
        |r: &NightRow<'_>, _| optional(r.cloud_percent(), percent_text),
    ));

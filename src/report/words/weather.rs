//! The chance of clear sky, and the cloud foretold.

use crate::{
    plan::NightPlan,
    scene::{MONTHS, Site},
    search::Window,
};
use chrono::{Datelike, NaiveDate};

/// How often nights like that of this evening are clear, in a line: `Clear
/// nights: 44% of those in May`; `None` where nobody knows.
pub fn clear_nights_line(site: &Site, evening: NaiveDate) -> Option<String> {
    let chance = site.clear_chance(evening)?;
    let month = MONTHS.get(usize::try_from(evening.month0()).ok()?)?;
    Some(format!(
        "Clear nights: {:.0}% of those in {month}",
        100.0 * chance
    ))
}

/// The cloud foretold over the windows of a night, in a line; `None` without a
/// forecast or a window.
pub(in crate::report) fn cloud_line(plan: &NightPlan<'_>) -> Option<String> {
    Some(format!("Cloud forecast: {}", cloud_over_windows(plan)?))
}

/// The same without its name.
pub(in crate::report) fn cloud_over_windows(plan: &NightPlan<'_>) -> Option<String> {
    let whose = |number: usize| match plan.windows.len() {
        1 => "the window".to_owned(),
        _ => format!("window {number}"),
    };
    let windows = plan.windows.iter().enumerate();
    let words: Option<Vec<String>> = windows
        .map(|(index, window)| cloud_words(plan.site, window, &whose(index + 1)))
        .collect();
    let words = words.filter(|words| !words.is_empty())?;
    Some(words.join("; "))
}

/// The cloud foretold over a window; `None` without a forecast.
fn cloud_words(site: &Site, window: &Window, whose: &str) -> Option<String> {
    let interval = window.interval;
    let forecast = site.forecast.as_deref()?;
    Some(
        match forecast.cloud_over(interval.first(), interval.last()) {
            Some(over) => format!(
                "{:.0}% over {whose}, {:.0}% at most",
                over.mean_percent, over.most_percent
            ),
            None => format!("does not cover all of {whose}"),
        },
    )
}

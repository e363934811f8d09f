//! What is said where there is no trip, and where a forecast does nothing.

use crate::cli::manners::say as tell;
use rakelight::{
    plain_words::printable_path,
    plan::{GivenMove, TripAsked, TripSearch},
    report::words::{nights_words, plural},
    scene::Dates,
};
use std::path::Path;

/// Says that a forecast is not used, because not every night has a chance.
pub fn say_forecast_unused(path: &Path, search: &TripSearch) {
    let without = search.nights_without_a_chance();
    if without == 0 {
        return;
    }
    tell(&format!(
        "{}: not used, as {without} of the nights with a window, counted at each site, have neither \
         forecast nor clear nights of the month; give --climate, or shorten the range.",
        printable_path(path)
    ));
}

/// Says why there is no trip, and what to type for one.
pub fn say(search: &TripSearch, asked: &TripAsked, dates: Dates, given: &[GivenMove]) {
    let places = plural(search.places().len() as i64, "place", "places");
    let nights = search.nights_with_a_window();
    if nights == 0 {
        tell(&format!(
            "No trip: no window at {places} in these evenings; `rakelight scan` with the same \
             sites and rules says why."
        ));
        return;
    }
    let evenings = plural(dates.count(), "evening", "evenings");
    let mut words = format!(
        "No trip of {}: there are windows at {places} on {nights} of {evenings}.",
        nights_words(asked.nights)
    );
    let free = search.free_needed(asked, given);
    let stay = search.stay_needed(asked, given);
    let fewer = search.nights_possible(asked, given);
    let farther = search.moves_needed(asked, given);
    let mut remedies: Vec<String> = Vec::new();
    remedies.extend(free.map(|free| format!("--free {free}")));
    remedies.extend(stay.map(|stay| format!("--stay {stay}")));
    remedies.extend(fewer.map(|nights| {
        let free = asked.free.min(nights.saturating_sub(2));
        match free == asked.free {
            true => format!("--nights {nights}"),
            false => format!("--nights {nights} --free {free}"),
        }
    }));
    remedies.extend(farther.map(|[km, hours]| {
        let mut longer = Vec::new();
        if km > asked.moves.most_km {
            longer.push(format!("--max-km {km}"));
        }
        if hours > asked.moves.most_hours {
            longer.push(format!("--max-hours {hours}"));
        }
        longer.join(" ")
    }));
    if !remedies.is_empty() {
        words.push_str(&format!(
            " There is one with {}.",
            remedies.join(", or with ")
        ));
    }
    tell(&words);
}

//! A window in one line, and who computed it.

use super::{
    clock::{clock, hours_text, night_words},
    count::plural,
    doubt::doubt_phrases,
    light::window_light_words,
};
use crate::{
    scene::{Site, zone_data_version},
    search::Window,
};

/// The light of a window and its score: `moonlight 79° left, score 87`.
pub(in crate::report) fn window_words(window: &Window) -> String {
    let light = window_light_words(window);
    format!("{light}, score {:.0}", window.score)
}

/// A window with its night and its local times: `Thu 2027-05-13: 21:30-23:10
/// +09:30, best 22:05, moonlight 79° left, score 87`.
pub(in crate::report) fn window_line(site: &Site, window: &Window) -> String {
    let line = format!(
        "{}: {}, best {}, {}",
        night_words(window.night),
        hours_text(site.zone, window.interval, true),
        clock(site, window.best.moment()),
        window_words(window),
    );
    let doubts = window.doubts.of_the_night();
    match doubts.any() {
        true => format!("{line}; doubtful: {}", doubt_phrases(doubts)),
        false => line,
    }
}

/// What computed an output, with the data that decide its local times.
pub(in crate::report) fn computed_by() -> String {
    format!(
        "Computed by rakelight {}, time zone data {}",
        env!("CARGO_PKG_VERSION"),
        zone_data_version()
    )
}

/// What comes after a range of evenings without a window: the next one, or that
/// so many nights have none.
pub fn next_window_words(site: &Site, next: Option<&Window>, nights: i64) -> String {
    match next {
        Some(window) => format!("The next window is on {}.", window_line(site, window)),
        None => format!(
            "No window in the {} after these evenings either.",
            plural(nights, "night", "nights")
        ),
    }
}

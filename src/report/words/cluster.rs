//! Neighbouring evenings in words.

use super::{
    clock::{clock_text, hours_text},
    doubt::{doubt_phrases, is_marked},
    light::{eclipse_phrase, eclipse_word, land_words, light_words},
    target::capitalised,
    trip::short_night_words,
    year::evening_window_words,
};
use crate::{
    Figure,
    ephemeris::{Eclipse, EclipseKind},
    scene::{Dates, LightKind, Site, Zone},
    search::{BestAndSpare, Window},
};
use chrono::{Datelike, NaiveDate, Weekday};

/// Whether no work follows in the morning: Friday and Saturday, as the examples
/// of `scan` have a weekend.
fn is_weekend(evening: NaiveDate) -> bool {
    matches!(evening.weekday(), Weekday::Fri | Weekday::Sat)
}

/// An evening beside its neighbours: `Sat 29 May, weekend`.
pub fn evening_name(evening: NaiveDate) -> String {
    let weekend = if is_weekend(evening) { ", weekend" } else { "" };
    format!("{}{weekend}", short_night_words(evening))
}

/// Which evening, and which in case of cloud: `Best Sat 29 May 03:27-04:27 (87);
/// spare Sun 30 May 03:47-04:26 (83)`.
pub fn best_and_spare_words(dates: Dates, zone: Zone, found: &BestAndSpare<'_>) -> String {
    let short = |window| evening_window_words(dates, zone, window);
    let best = format!("Best {}", short(found.best));
    match (found.spare, found.earlier) {
        (Some(spare), _) => format!("{best}; spare {}", short(spare)),
        (None, Some(earlier)) => format!("{best}; no spare after it, before it {}", short(earlier)),
        (None, None) => format!("{best}; no spare among these evenings"),
    }
}

/// A window of one of the evenings: `03:27-04:27, best 03:45, score 87: Moon 32%
/// lit, 11° up, 79° left; land 1.6 stops darker than the sky`.
pub fn cluster_window_words(site: &Site, window: &Window) -> String {
    let lit = window.lit();
    let moon = format!(
        "Moon {:.0}% lit, {:.0}° up, {}",
        100.0 * lit.sky.phase.illuminated_fraction,
        Figure(lit.sky.moon.apparent_altitude_deg),
        light_words(lit.light.signed_light_angle_deg)
    );
    let is_up = lit.sky.moon.apparent_altitude_deg > 0.0;
    let mut said = vec![match (&window.land, is_up) {
        (Some(land), _) => format!(
            "moonlit {}, {moon}",
            hours_text(site.zone, land.interval, false)
        ),
        (None, true) => moon,
        // It may rise or set later in the window.
        (None, false) => "no Moon then".to_owned(),
    }];
    // A blend has an exposure for each.
    if window.light != LightKind::Blend {
        let land = land_words(window.best.light.land_vs_sky_stops);
        said.push(format!("land {land} the sky"));
    }
    let eclipse = window
        .eclipse
        .filter(|kind| *kind != EclipseKind::Penumbral);
    said.extend(eclipse.map(eclipse_phrase));
    let doubts = window.doubts.of_the_night();
    if doubts.any() {
        said.push(format!("doubtful: {}", doubt_phrases(doubts)));
    }
    if let Some(cloud) = window.cloud_foretold(site) {
        said.push(format!("cloud forecast {:.0}%", cloud.mean_percent));
    }
    format!(
        "{}, best {}, score {:.0}{}: {}",
        hours_text(site.zone, window.interval, false),
        clock_text(site.zone, window.best.moment(), false),
        window.score,
        if is_marked(window.doubts) { "~" } else { "" },
        said.join("; ")
    )
}

/// When an eclipse reaches the umbra: `Total lunar eclipse, deepest at 21:22`.
pub fn umbral_eclipse_words(zone: Zone, eclipse: &Eclipse) -> String {
    let kind = capitalised(eclipse_word(eclipse.kind));
    let at = clock_text(zone, eclipse.greatest, false);
    format!("{kind} lunar eclipse, deepest at {at}")
}

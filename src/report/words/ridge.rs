//! When Moon and target clear the land round a place.

use super::{
    clock::{clock, hours_text},
    eclipse::eclipse_times_words,
    light::window_light_words,
    measure::bearing_words,
    rule::no_window_words,
    target::capitalised,
};
use crate::{
    Figure,
    plan::{BodyPath, PathCrossing, RidgeNight, RidgeNights},
    rule::Rules,
    scene::Site,
};
use chrono::NaiveDate;

/// The Moon's name in a sentence.
const MOON: &str = "Moon";
/// So many crossings of one night are told in a sentence.
const TOLD: usize = 3;
/// Nights whose crossings are farther apart than this are of different ridges,
/// and their distance says nothing: minutes. The project's choice.
const MOST_SPREAD_MINUTES: f64 = 60.0;

/// A night by its evening, as a label has it: `Sat 29 May`.
pub fn evening_words(night: NaiveDate) -> String {
    night.format("%a %-d %b").to_string()
}

/// What the land does to Moon and target in the night asked for: a sentence
/// about each, and how the time shifts from night to night.
pub fn ridge_sentences(site: &Site, rules: &Rules, nights: &RidgeNights) -> Vec<String> {
    let Some(asked) = nights.asked() else {
        return Vec::new();
    };
    if asked.sunless.is_none() {
        return vec!["The Sun does not set: no dark hours".to_owned()];
    }
    let sentence = |name: &str, body: fn(&RidgeNight) -> &BodyPath, land: bool| {
        let path = body(asked);
        let mut words = format!("{} {}", capitalised(name), path_words(site, path, land));
        let kind = path.crossings.first().map(|crossing| crossing.clears);
        let later = kind.and_then(|clears| nights.later_minutes(body, clears));
        if let Some(later) = later.and_then(later_words) {
            words.push_str("; ");
            words.push_str(&later);
        }
        words
    };
    let of_moon = rules.target.is_moon();
    let moon_land = site.skyline.is_some() || (!of_moon && site.subject_skyline.is_some());
    let mut said = vec![sentence(MOON, |night| &night.moon, moon_land)];
    if !of_moon {
        let target = rules.target_name();
        said.push(sentence(
            target,
            |night| &night.target,
            site.skyline.is_some(),
        ));
    }
    said
}

/// What stands behind those sentences: the Moon, the window, eclipses, and which
/// land counts.
pub fn ridge_facts(site: &Site, rules: &Rules, nights: &RidgeNights) -> Vec<String> {
    let mut facts = Vec::new();
    if let Some(asked) = nights.asked() {
        let moon = format!("Moon {:.0}% lit", 100.0 * asked.moon_fraction);
        facts.push(match asked.best_window() {
            Some(window) => format!(
                "{moon}. Window {}, best {}, {}, score {:.0}.",
                hours_text(site.zone, window.interval, false),
                clock(site, window.best.moment()),
                window_light_words(window),
                window.score
            ),
            None => {
                let unmet = nights.unmet;
                format!("{moon}. {}.", no_window_words(rules, unmet))
            }
        });
    }
    let seen = nights.nights.iter().filter_map(|night| {
        let eclipse = night.eclipse.as_ref()?;
        let evening = evening_words(night.night.date);
        let words = eclipse_times_words(site, eclipse, Some(&evening));
        Some(format!("{words}."))
    });
    facts.extend(seen);
    let target = rules.target_name();
    match (&site.skyline, &site.subject_skyline) {
        _ if rules.target.is_moon() && site.skyline.is_some() => {}
        (Some(_), Some(_)) => facts.push(format!(
            "Thick edge: the ridge as the camera sees it, which counts for the {target}. Thin line: \
             as the subject sees it; the Moon lights the land from there on."
        )),
        (None, Some(_)) => facts.push(
            "Thin line: the ridge as the subject sees it; the Moon lights the land from there on. \
             For the camera no skyline is known: the level horizon is drawn."
                .to_owned(),
        ),
        (Some(_), None) => {}
        (None, None) => facts.push(NO_SKYLINE.to_owned()),
    }
    facts
}

/// What is said where nobody gave a skyline.
const NO_SKYLINE: &str = "The site has no skyline: this is the level horizon. `rakelight sites \
                          horizon SITE TILE` makes one from elevation files.";

/// A body through a night: `clears the ridge at 03:27, 7° up toward 92°`.
fn path_words(site: &Site, path: &BodyPath, land: bool) -> String {
    let over = if land { "ridge" } else { "horizon" };
    if path.crossings.is_empty() {
        if path.clear_at_sunset {
            return format!("is above the {over} from sunset to sunrise");
        }
        return match &path.nearest {
            Some(nearest) if nearest.place.apparent_altitude_deg > 0.0 && land => format!(
                "never clears the ridge: at {} it is {:.1}° too low, toward {}",
                clock(site, nearest.moment),
                Figure(-nearest.above_land_deg),
                bearing(site, nearest.place.azimuth_deg)
            ),
            _ => "stays below the horizon from sunset to sunrise".to_owned(),
        };
    }
    let mut parts = Vec::new();
    if path.clear_at_sunset {
        parts.push(format!("is above the {over} at sunset"));
    }
    let told = path.crossings.iter().take(TOLD);
    for crossing in told {
        let ridge = if parts.is_empty() { "the ridge" } else { "it" };
        parts.push(crossing_words(site, crossing, land.then_some(ridge)));
    }
    let more = path.crossings.len().saturating_sub(TOLD);
    if more > 0 {
        parts.push(format!("and crosses it {more} more times"));
    }
    parts.join(", ")
}

/// A body at the edge of the land, which is `ridge` here; without one, at the
/// level horizon.
fn crossing_words(site: &Site, crossing: &PathCrossing, ridge: Option<&str>) -> String {
    let at = clock(site, crossing.moment);
    let toward = bearing(site, crossing.place.azimuth_deg);
    let twilight = if crossing.dark { "" } else { " in twilight" };
    let Some(ridge) = ridge else {
        let verb = if crossing.clears { "rises" } else { "sets" };
        return format!("{verb} at {at}{twilight} toward {toward}");
    };
    let verb = if crossing.clears {
        "clears"
    } else {
        "goes behind"
    };
    let up = Figure(crossing.place.apparent_altitude_deg.round());
    format!("{verb} {ridge} at {at}{twilight}, {up:.0}° up toward {toward}")
}

fn bearing(site: &Site, azimuth_deg: f64) -> String {
    // What rounds to a whole turn is north.
    let rounded = azimuth_deg.round().rem_euclid(360.0);
    bearing_words(site.conventions.north, rounded, 0)
}

/// How a time shifts from night to night, from the least and the most minutes
/// later: `44 min later each night`; nothing where the nights have little to do
/// with each other.
fn later_words([least, most]: [f64; 2]) -> Option<String> {
    if most - least > MOST_SPREAD_MINUTES {
        return None;
    }
    let (least, most) = (least.round(), most.round());
    let side = |minutes: f64| if minutes < 0.0 { "earlier" } else { "later" };
    Some(if least == 0.0 && most == 0.0 {
        "at the same time each night".to_owned()
    } else if least == most {
        format!("{:.0} min {} each night", least.abs(), side(least))
    } else if least >= 0.0 || most <= 0.0 {
        let (low, high) = (least.abs().min(most.abs()), least.abs().max(most.abs()));
        let side = side(if least >= 0.0 { most } else { least });
        format!("{low:.0} to {high:.0} min {side} each night")
    } else {
        format!(
            "from {:.0} min earlier to {most:.0} min later each night",
            -least
        )
    })
}

/// The nights one below the other: the heads of the columns, and a row of cells
/// for each night, without the Moon's light and the window where `narrow`.
pub fn ridge_table(
    site: &Site,
    rules: &Rules,
    nights: &RidgeNights,
    narrow: bool,
) -> (Vec<String>, Vec<Vec<String>>) {
    let of_moon = rules.target.is_moon();
    let target = rules.target_name();
    let verbs = |land: bool| match land {
        true => ["clears", "goes behind"],
        false => ["rises", "sets"],
    };
    let moon_land = site.skyline.is_some() || (!of_moon && site.subject_skyline.is_some());
    let mut heads = vec!["night of".to_owned()];
    heads.extend(verbs(moon_land).map(|verb| format!("{MOON} {verb}")));
    if !of_moon {
        heads.extend(verbs(site.skyline.is_some()).map(|verb| format!("{target} {verb}")));
    }
    if !narrow {
        heads.extend(["Moon lit".to_owned(), "best window".to_owned()]);
    }
    let rows = nights.nights.iter().map(|night| {
        let mut row = vec![evening_words(night.night.date)];
        row.extend(edges(site, night, &night.moon));
        if !of_moon {
            row.extend(edges(site, night, &night.target));
        }
        if !narrow {
            row.push(format!("{:.0}%", 100.0 * night.moon_fraction));
            row.push(night.best_window().map_or_else(
                || "none".to_owned(),
                |window| hours_text(site.zone, window.interval, false),
            ));
        }
        row
    });
    let rows: Vec<Vec<String>> = rows.collect();
    // Where a body is seen to do nothing but clear, or nothing but go behind, the
    // other column says nothing.
    let has_time = |column: usize| {
        let mut cells = rows.iter().filter_map(|row| row.get(column));
        cells.any(|cell| cell.contains(':'))
    };
    let bodies = if of_moon { 1 } else { 2 };
    let empty: Vec<usize> = (0..bodies)
        .map(|body| (1 + 2 * body, 2 + 2 * body))
        .filter_map(
            |(clears, behind)| match (has_time(clears), has_time(behind)) {
                (true, true) => None,
                (false, true) => Some(clears),
                (_, false) => Some(behind),
            },
        )
        .collect();
    let kept = |cells: Vec<String>| -> Vec<String> {
        let cells = cells.into_iter().enumerate();
        let kept = cells.filter(|(column, _)| !empty.contains(column));
        kept.map(|(_, cell)| cell).collect()
    };
    (kept(heads), rows.iter().cloned().map(kept).collect())
}

/// When a body clears the land and when it goes behind, each in a cell.
fn edges(site: &Site, night: &RidgeNight, path: &BodyPath) -> [String; 2] {
    if night.sunless.is_none() {
        return ["Sun up".to_owned(), "-".to_owned()];
    }
    let times = |clears: bool| {
        let of_kind = path.crossings.iter().filter(|one| one.clears == clears);
        let mut times: Vec<String> = of_kind.map(|one| clock(site, one.moment)).collect();
        let more = times.len().saturating_sub(2);
        times.truncate(2);
        let mut text = times.join(", ");
        if more > 0 {
            text.push_str(" ...");
        }
        text
    };
    let or = |text: String, otherwise: &str| match text.is_empty() {
        true => otherwise.to_owned(),
        false => text,
    };
    match (path.crossings.last(), path.clear_at_sunset) {
        (None, true) => ["up all night".to_owned(), "-".to_owned()],
        (None, false) => ["never".to_owned(), "-".to_owned()],
        (Some(last), clear) => [
            or(times(true), if clear { "by day" } else { "-" }),
            or(times(false), if last.clears { "by day" } else { "-" }),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_from_night_to_night_is_told_with_its_sign() {
        let told = |least, most| later_words([least, most]).unwrap_or_default();
        assert_eq!(told(43.6, 44.4), "44 min later each night");
        assert_eq!(told(40.0, 47.2), "40 to 47 min later each night");
        assert_eq!(told(-3.9, -3.9), "4 min earlier each night");
        assert_eq!(told(-9.0, -3.9), "4 to 9 min earlier each night");
        assert_eq!(
            told(-3.0, 8.0),
            "from 3 min earlier to 8 min later each night"
        );
        assert_eq!(told(-0.2, 0.3), "at the same time each night");
        assert_eq!(later_words([2.0, 300.0]), None);
    }
}

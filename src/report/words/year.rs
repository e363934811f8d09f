//! A run of nights in words: how many windows, when, the best of them.

use super::{
    clock::hours_text,
    count::{nights_words, plural},
    doubt::is_marked,
    trip::{evenings_words, short_night_words},
};
use crate::{
    rule::{Rules, SUN_ALTITUDE},
    scene::{Band, Dates, LightKind, Zone},
    search::{NightHours, Window},
    why::WouldAdd,
};
use chrono::{Datelike, NaiveDate, Timelike};

/// An evening in a picture of some dates: `Sat 29 May`, with its year where they
/// reach over more than one.
pub fn evening_in(dates: Dates, evening: NaiveDate) -> String {
    match dates.first().year() == dates.last().year() {
        true => short_night_words(evening),
        false => evening.format("%a %-d %b %Y").to_string(),
    }
}

/// Some dates: `2027` for a whole year, `Fri 7 to Tue 11 May 2027`.
pub fn dates_words(dates: Dates) -> String {
    let (first, last) = (dates.first(), dates.last());
    let whole = first.ordinal() == 1 && (last.month(), last.day()) == (12, 31);
    match (whole, first.year() == last.year()) {
        (true, true) => first.year().to_string(),
        (true, false) => format!("{} to {}", first.year(), last.year()),
        (false, _) => evenings_words(first, last),
    }
}

/// `raking window`, `window` of any kind or of several.
fn a_window(kinds: &[LightKind], plural: bool) -> String {
    let noun = if plural { "windows" } else { "window" };
    match kinds {
        [LightKind::Any] | [_, _, ..] | [] => noun.to_owned(),
        [kind] => format!("{kind} {noun}"),
    }
}

/// How many windows some nights have, for how long, before and after midnight by
/// the wall clock: `25 raking windows, 26 hours in all: 12 before midnight, 11
/// after, 2 across it`.
pub fn tally_words(nights: &[NightHours], zone: Zone, kinds: &[LightKind]) -> String {
    let windows: Vec<&Window> = nights.iter().flat_map(|night| &night.windows).collect();
    if windows.is_empty() {
        return format!(
            "No {} in {}",
            a_window(kinds, false),
            nights_words(nights.len())
        );
    }
    let of_kinds = match kinds {
        [_, _, ..] => {
            let of_kind = |kind: &LightKind| {
                let own = windows.iter().filter(|window| window.light == *kind);
                format!("{} {kind}", own.count())
            };
            let all: Vec<String> = kinds.iter().map(of_kind).collect();
            format!(" ({})", all.join(", "))
        }
        _ => String::new(),
    };
    let hours: f64 = windows
        .iter()
        .map(|window| window.interval.minutes())
        .sum::<f64>()
        / 60.0;
    let (mut before, mut after, mut across) = (0, 0, 0);
    for window in &windows {
        let local = |time| zone.local(time);
        let (from, to) = (
            local(window.interval.first()),
            local(window.interval.last()),
        );
        match (from.date() == to.date(), from.hour() >= 12) {
            (false, _) => across += 1,
            (true, true) => before += 1,
            (true, false) => after += 1,
        }
    }
    let count = windows.len();
    let parts = [(before, "before"), (after, "after"), (across, "across")];
    let some = parts.iter().filter(|(number, _)| *number > 0);
    let words: Vec<String> = some
        .enumerate()
        .map(|(index, (number, word))| match (index, *number == count) {
            (0, true) if count == 1 => format!("{word} midnight"),
            (0, true) => format!("all {word} midnight"),
            (0, false) => format!("{number} {word} midnight"),
            _ if *word == "across" => format!("{number} across it"),
            _ => format!("{number} {word}"),
        })
        .collect();
    let when = words.join(", ");
    format!(
        "{count} {}{of_kinds}, {} in all: {when}",
        a_window(kinds, count != 1),
        hours_words(hours)
    )
}

/// `26 hours`, `3.4 hours`, `40 minutes`.
fn hours_words(hours: f64) -> String {
    match hours {
        few if few < 1.0 => plural((60.0 * few).round() as i64, "minute", "minutes"),
        few if few < 9.95 => format!("{few:.1} hours"),
        many => format!("{many:.0} hours"),
    }
}

/// A window with its evening, hours and score: `Sat 29 May 03:27-04:27 (87)`; a
/// `~` where it is doubtful.
pub fn evening_window_words(dates: Dates, zone: Zone, window: &Window) -> String {
    format!(
        "{} {} ({:.0}{})",
        evening_in(dates, window.night),
        hours_text(zone, window.interval, false),
        window.score,
        if is_marked(window.doubts) { "~" } else { "" },
    )
}

/// The nights in which the Sun never keeps its rule: `No darkness (Sun at -18° or
/// lower) from 10 May to 1 Aug`; `None` where each has some.
pub fn no_darkness_words(nights: &[NightHours], dates: Dates, rules: &Rules) -> Option<String> {
    let without = nights.iter().filter(|night| night.dark.is_empty());
    let without: Vec<NaiveDate> = without.map(|night| night.night.date).collect();
    let mut runs: Vec<(NaiveDate, NaiveDate)> = Vec::new();
    for date in &without {
        match runs.last_mut() {
            Some((_, last)) if last.succ_opt() == Some(*date) => *last = *date,
            _ => runs.push((*date, *date)),
        }
    }
    let sun = match rules.get::<Band>(&SUN_ALTITUDE) {
        Some(band) if band.low.is_finite() => format!("Sun at {band}°"),
        Some(band) => format!("Sun at {}° or lower", band.high),
        None => return None,
    };
    let run = |(first, last): &(NaiveDate, NaiveDate)| match first == last {
        true => evening_in(dates, *first),
        false => format!(
            "{} to {}",
            evening_in(dates, *first),
            evening_in(dates, *last)
        ),
    };
    let count = nights_words(without.len());
    match runs.len() {
        0 => None,
        _ if without.len() == nights.len() => Some(format!("No darkness ({sun}) on any evening")),
        1 | 2 => {
            let all: Vec<String> = runs.iter().map(run).collect();
            Some(format!("No darkness ({sun}): {}", all.join(", ")))
        }
        _ => Some(format!("No darkness ({sun}) on {count}")),
    }
}

/// What changes of one rule would add: `Outlines, nights that fail one rule:
/// --moon-fraction 0.03..0.543 would add 5, --light-angle 39.4..150 would add 1`;
/// `None` without any.
pub fn would_add_words(added: &[WouldAdd]) -> Option<String> {
    let one = |added: &WouldAdd| {
        let option = added.loosening.option();
        format!("{option} would add {}", added.nights)
    };
    let all: Vec<String> = added.iter().map(one).collect();
    (!all.is_empty()).then(|| format!("Outlines, nights that fail one rule: {}", all.join(", ")))
}

/// The same of one change, beside its outlines: `5 more: --moon-fraction
/// 0.03..0.543`.
pub fn more_nights_words(added: &WouldAdd) -> String {
    format!("{} more: {}", added.nights, added.loosening.option())
}

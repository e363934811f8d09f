//! Trips in words.

use super::{
    clock::{clocks, night_words},
    count::plural,
    measure::far_words,
};
use crate::{
    plan::{Move, MoveRules, Trip, TripStop},
    scene::{Site, Units},
};
use chrono::{Datelike, NaiveDate};

/// `Fri 7 May`: an evening of a trip whose head has the year.
pub(in crate::report) fn short_night_words(night: NaiveDate) -> String {
    night.format("%a %-d %b").to_string()
}

/// `1:20`: the time of a drive, hours and minutes.
pub(in crate::report) fn drive_time_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round() as i64;
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// `Fri 7 to Tue 11 May 2027`: what both dates share stands once.
pub fn evenings_words(first: NaiveDate, last: NaiveDate) -> String {
    let whole = |date: NaiveDate| date.format("%a %-d %b %Y").to_string();
    if first == last {
        return whole(first);
    }
    let begins = match (first.year() == last.year(), first.month() == last.month()) {
        (true, true) => first.format("%a %-d").to_string(),
        (true, false) => first.format("%a %-d %b").to_string(),
        (false, _) => whole(first),
    };
    format!("{begins} to {}", whole(last))
}

/// `Best trip: Fri 7 to Tue 11 May 2027`; `None` for a trip without evenings.
pub(in crate::report) fn trip_name(trip: &Trip) -> Option<String> {
    let evenings = evenings_words(trip.first()?, trip.last()?);
    Some(match trip.rank {
        1 => format!("Best trip: {evenings}"),
        rank => format!("Trip {rank}: {evenings}"),
    })
}

/// `drive 120 km, 2:00 h`, or `stay` where nobody drives.
pub(in crate::report) fn drive_words(site: &Site, way: Move) -> String {
    match way.is_drive() {
        true => format!("drive {}", far_and_long_words(site, way)),
        false => "stay".to_owned(),
    }
}

/// What a trip is, behind its dates: `, score 412 in 5 nights, 540 km, 9:00 h`.
pub(in crate::report) fn trip_words(trip: &Trip, is_weighted: bool) -> String {
    let sessions = trip.sessions().count();
    let units = trip.sessions().next();
    let units = units.map_or(Units::Metric, |stop| stop.site().conventions.units);
    let mut words = format!(
        ", score {:.0} in {}",
        trip.score,
        plural(sessions as i64, "night", "nights")
    );
    if is_weighted {
        words.push_str(&format!(", {:.0} expected", trip.worth));
    }
    let free = trip.nights.len() - sessions;
    if free > 0 {
        words.push_str(&format!(", {free} free"));
    }
    match trip.moves() {
        0 => words.push_str(", one place"),
        moves => words.push_str(&format!(
            ", {}, {}, {} h",
            plural(moves as i64, "move", "moves"),
            far_words(units, trip.km),
            drive_time_words(trip.hours)
        )),
    }
    words
}

/// How likely a trip is to have clear nights: `At least 1 clear night: 98%, 2:
/// 92%, 3: 75%`; `None` where that is not known.
pub(in crate::report) fn clear_chances_line(trip: &Trip) -> Option<String> {
    let most = trip.sessions().count().min(3);
    let chances: Option<Vec<String>> = (1..=most)
        .map(|count| Some((count, 100.0 * trip.chance_of(count)?)))
        .map(|chance| {
            let (count, percent) = chance?;
            // Nothing about weather is sure.
            let chance = match percent {
                99.5.. => ">99%".to_owned(),
                ..0.5 => "<1%".to_owned(),
                percent => format!("{percent:.0}%"),
            };
            Some(match count {
                1 => format!("1 clear night {chance}"),
                _ => format!("{count} {chance}"),
            })
        })
        .collect();
    Some(format!("Chance of at least {}", chances?.join(", ")))
}

/// What an evening with a session is within its trip, counted from 0, line by
/// line: which trip and evening, the drive, what can stand in for it. None for a
/// free evening.
pub(in crate::report) fn session_lines(trip: &Trip, index: usize) -> Vec<String> {
    let night = trip.nights.get(index);
    let planned = night.and_then(|night| Some((night, night.session.as_ref()?)));
    let (Some((night, stop)), Some(first), Some(last)) = (planned, trip.first(), trip.last())
    else {
        return Vec::new();
    };
    let site = stop.site();
    let mut lines = vec![format!(
        "Trip {}, {}: evening {} of {}",
        trip.rank,
        evenings_words(first, last),
        index + 1,
        trip.nights.len()
    )];
    let earlier = trip.nights.iter().take(index).rev();
    let before = earlier.filter_map(|night| night.session.as_ref()).next();
    if let (Some(way), Some(before)) = (stop.way, before) {
        lines.push(match way.is_drive() {
            true => format!(
                "Drive from {}: {}",
                before.site().title(),
                way_words(site, way)
            ),
            false => "Drive: none, as at the place before".to_owned(),
        });
    }
    if let Some(chance) = stop.chance {
        let foretold = match stop.window.cloud_foretold(site) {
            Some(_) => ", from the forecast",
            None => "",
        };
        lines.push(format!(
            "Chance of a clear night: {:.0}%{foretold}",
            100.0 * chance
        ));
    }
    let spare_place = night.spare_place.as_ref().map(|spare| {
        let way = spare
            .way
            .map(|way| format!(", {} from here", way_words(spare.site(), way)));
        format!(
            "{}{}",
            stand_in(&spare.site().title(), spare, site),
            way.unwrap_or_default()
        )
    });
    lines.push(format!(
        "Spare place: {}",
        spare_place.as_deref().unwrap_or("none within reach")
    ));
    let spare_night = night.spare_night.as_ref();
    let spare_night =
        spare_night.map(|spare| stand_in(&night_words(spare.window.night), spare, site));
    lines.push(format!(
        "Spare night: {}",
        spare_night.as_deref().unwrap_or("none at this place")
    ));
    lines
}

/// `120 km, 2:00 h`, and whether somebody gave it.
fn way_words(site: &Site, way: Move) -> String {
    let estimate = if way.is_given { "" } else { " (estimate)" };
    far_and_long_words(site, way) + estimate
}

fn far_and_long_words(site: &Site, way: Move) -> String {
    let far = far_words(site.conventions.units, way.km);
    format!("{far}, {} h", drive_time_words(way.hours))
}

/// What can stand in for a session at `planned`: `Salt Arm, score 87, 01:12 to
/// 03:05`; the clocks have their zone where that is another.
fn stand_in(named: &str, spare: &TripStop, planned: &Site) -> String {
    let site = spare.site();
    let zone = match site.zone == planned.zone {
        true => String::new(),
        false => format!(" {}", site.zone.name()),
    };
    format!(
        "{named}, score {:.0}, {}{zone}",
        spare.window.score,
        clocks(site, spare.window.whole())
    )
}

/// What those chances assume.
pub(in crate::report) const CHANCES_NOTE: &str = "Clear: the share of clear nights of the month, \
     from the sites' climates. The chances count nights as independent; weather comes in spells, \
     so in truth the chance of at least one clear night is lower, that of all of them higher.";

/// What the chance of a night with a forecast is.
pub(in crate::report) const FORETOLD_NOTE: &str = "Where the forecast reaches all of a window, clear \
     is the sky that it leaves without cloud, in place of the climate's share.";

/// How moves are worked out, and how long they may be.
pub(in crate::report) fn moves_note(
    rules: MoveRules,
    units: Units,
    any_given: bool,
    any_free: bool,
) -> String {
    let given = if any_given {
        ", unless the table of moves has them"
    } else {
        ""
    };
    let free = match any_free {
        true => "; with a free evening between, two days",
        false => "",
    };
    format!(
        "Drive: from the place before, by road. Estimate: the great circle x {}, {} in an hour{given}. \
         At most {} and {} h a day{free}.",
        rules.detour,
        far_words(units, rules.speed_kmh),
        far_words(units, rules.most_km),
        drive_time_words(rules.most_hours),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_both_dates_share_stands_once() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        for (first, last, words) in [
            (
                day(2027, 5, 7),
                day(2027, 5, 11),
                "Fri 7 to Tue 11 May 2027",
            ),
            (
                day(2027, 5, 29),
                day(2027, 6, 1),
                "Sat 29 May to Tue 1 Jun 2027",
            ),
            (
                day(2027, 12, 31),
                day(2028, 1, 2),
                "Fri 31 Dec 2027 to Sun 2 Jan 2028",
            ),
            (day(2027, 5, 7), day(2027, 5, 7), "Fri 7 May 2027"),
        ] {
            assert_eq!(evenings_words(first, last), words);
        }
        assert_eq!(drive_time_words(1.999), "2:00");
        assert_eq!(drive_time_words(0.25), "0:15");
    }
}

//! The question of `trip`, made once from its arguments.

use super::args::TripArgs;
use crate::cli::{
    args::{Format, Formats},
    asked_rules::AskedRules,
    manners::Failure,
};
use rakelight::{
    plan::{MoveRules, TripAsked},
    report::json,
    scene::{Dates, ValueError},
};
use serde_json::Value;

/// The trips that are shown where nothing is said of it.
const USUAL_TRIPS: usize = 3;
/// The most trips in one file of pages.
const MOST_BOOKLETS: usize = 10;

/// How trips are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TripFormat {
    Table,
    Csv,
    Json,
    Ical,
    Html,
}

pub const FORMATS: Formats<TripFormat> = &[
    (Format::Table, TripFormat::Table),
    (Format::Csv, TripFormat::Csv),
    (Format::Json, TripFormat::Json),
    (Format::Ical, TripFormat::Ical),
    (Format::Html, TripFormat::Html),
];

/// What the arguments ask of trips.
pub fn asked(args: &TripArgs, format: TripFormat) -> Result<TripAsked, Failure> {
    let most = args.nights.saturating_sub(2);
    if args.free > most {
        let expected = format!(
            "at most {most}, as the first and the last of {} evenings have a place",
            args.nights
        );
        let error =
            ValueError::new(&args.free.to_string(), expected).with_remedy(format!("write {most}"));
        return Err(Failure::option("free", &error));
    }
    Ok(TripAsked {
        nights: args.nights,
        free: args.free,
        stay: args.stay,
        moves: MoveRules {
            most_km: args.max_km,
            most_hours: args.max_hours,
            detour: args.detour,
            speed_kmh: args.speed_kmh,
        },
        points_per_100_km: args.points_per_100_km,
        spare_days: args.spare_days,
        most: most_trips(args.top, format)?,
    })
}

/// How many trips are found.
fn most_trips(top: Option<usize>, format: TripFormat) -> Result<usize, Failure> {
    match (format, top) {
        // A page for each night takes much more room than a line.
        (TripFormat::Html, Some(top)) if top > MOST_BOOKLETS => {
            let expected = format!("at most {MOST_BOOKLETS} trips in one HTML file");
            let error = ValueError::new(&top.to_string(), expected)
                .with_remedy(format!("write {MOST_BOOKLETS}, or choose another --format"));
            Err(Failure::option("top", &error))
        }
        (TripFormat::Html, top) => Ok(top.unwrap_or(1)),
        (_, top) => Ok(top.unwrap_or(USUAL_TRIPS)),
    }
}

/// Refuses a range that is shorter than the trip.
pub fn check_range(asked: &TripAsked, dates: Dates) -> Result<(), Failure> {
    let evenings = usize::try_from(dates.count()).unwrap_or(usize::MAX);
    if asked.nights <= evenings {
        return Ok(());
    }
    let expected = format!(
        "at most {evenings}, the evenings from {} to {}",
        dates.first(),
        dates.last()
    );
    let error = ValueError::new(&asked.nights.to_string(), expected)
        .with_remedy(format!("write {evenings}, or give a longer range"));
    Err(Failure::option("nights", &error))
}

/// What was asked, and which data the answer uses.
pub fn query(
    asked: &TripAsked,
    rules: &AskedRules,
    dates: Dates,
    is_weighted: bool,
) -> serde_json::Map<String, Value> {
    let rules: serde_json::Map<String, Value> = rules
        .first_common()
        .entries()
        .into_iter()
        .map(|(key, text)| (key.to_string(), Value::from(text)))
        .collect();
    let mut query = json::query("trip");
    let moves = asked.moves;
    let entries: [(&str, Value); 13] = [
        ("from", dates.first().to_string().into()),
        ("to", dates.last().to_string().into()),
        ("nights", asked.nights.into()),
        ("free", asked.free.into()),
        ("stay", asked.stay.into()),
        ("max_km", moves.most_km.into()),
        ("max_hours", moves.most_hours.into()),
        ("detour", moves.detour.into()),
        ("speed_kmh", moves.speed_kmh.into()),
        ("points_per_100_km", asked.points_per_100_km.into()),
        ("spare_days", asked.spare_days.into()),
        ("weighted_by_clear_nights", is_weighted.into()),
        ("rules", Value::Object(rules)),
    ];
    for (key, value) in entries {
        query.insert(key.to_owned(), value);
    }
    query
}

//! An evening of a trip: its fields, in the order of the CSV.

use super::site::{NO_VIEW, VIEW_DOC};
use crate::{
    plan::{Trip, TripNight, TripStop},
    report::{
        grid::{FAINT, STRONG},
        row::{
            Field,
            Importance::{Further, Key, Must, Usual},
            Range, Room, RowKind, Shown,
        },
        words::{clock, clocks, drive_time_words, far_words, short_night_words},
    },
    scene::LightKind,
};

/// An evening of a trip.
#[derive(Debug, Clone, Copy)]
pub struct TripRow<'a> {
    /// The trip.
    pub trip: &'a Trip,
    /// Number of the evening in it, from 1.
    pub number: usize,
    /// The evening.
    pub night: &'a TripNight,
}

/// Evenings of trips.
#[derive(Debug, Clone, Copy)]
pub struct TripRows;

impl RowKind for TripRows {
    type Of<'a> = TripRow<'a>;
}

impl RowKind for Trip {
    type Of<'a> = &'a Self;
}

impl RowKind for TripStop {
    type Of<'a> = &'a Self;
}

impl<'a> TripRow<'a> {
    /// The evenings of a trip.
    pub fn all(trip: &'a Trip) -> impl Iterator<Item = Self> {
        let nights = trip.nights.iter().enumerate();
        nights.map(move |(index, night)| Self {
            trip,
            number: index + 1,
            night,
        })
    }

    pub(in crate::report) fn session(&self) -> Option<&'a TripStop> {
        self.night.session.as_ref()
    }

    pub(in crate::report) fn spare_place(&self) -> Option<&'a TripStop> {
        self.night.spare_place.as_ref()
    }

    fn spare_night(&self) -> Option<&'a TripStop> {
        self.night.spare_night.as_ref()
    }
}

type OfTrip = Field<Trip>;
type OfStop = Field<TripStop>;
type F = Field<TripRows>;
type S = Shown<TripRows>;

const SCORES: Range = Range::Within(0.0, 100.0);
const POSITIVE: Range = Range::AtLeast(0.0);
const SHARE: Range = Range::Within(0.0, 1.0);
const FREE: &str = "a free evening";
const NO_SPARE_PLACE: &str = "no other place within reach has a window that night";
const NO_SPARE_NIGHT: &str = "no later evening without a session has a window there";
const NO_MOVE: &str = "a free evening, or the first place";
const NOT_ALL_CHANCES: &str = "a night of a site has neither climate nor forecast";
const NO_CHANCE: &str = "a free evening, or a night of a site has neither climate nor forecast";

/// The field with the name of the place.
pub const SITE: &str = "site";
/// The field with the name of the spare place.
pub const SPARE_SITE: &str = "spare_site";

/// What a trip is as a whole.
pub static TRIP: &[OfTrip] = &[
    OfTrip::whole("trip", |t| i64::try_from(t.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("rank of the trip, from 1; no two trips share an evening"),
    OfTrip::date("first_evening", |t| t.first()).doc("first evening of the trip, YYYY-MM-DD"),
    OfTrip::date("last_evening", |t| t.last()).doc("last evening of the trip, YYYY-MM-DD"),
    OfTrip::number("trip_score", 1, |t| Some(t.score))
        .range(POSITIVE)
        .doc("sum of the best scores of its evenings"),
    OfTrip::number("trip_worth", 2, |t| Some(t.worth)).doc(
        "what trips are ranked by: the sum of the scores, each times the chance of a clear night \
         where that is known for all sites, less the points for driving",
    ),
    OfTrip::number("trip_km", 1, |t| Some(t.km))
        .range(POSITIVE)
        .doc("driving between its places, kilometres by road"),
    OfTrip::number("trip_hours", 2, |t| Some(t.hours))
        .range(POSITIVE)
        .doc("driving between its places, hours"),
    OfTrip::number("chance_of_one_clear", 3, |t| t.chance_of(1))
        .range(SHARE)
        .empty(NOT_ALL_CHANCES)
        .doc(
            "chance that at least one of its sessions has a clear night, 0 to 1, as if nights were \
             independent; weather comes in spells, so that in truth it is lower",
        ),
    OfTrip::number("chance_of_two_clear", 3, |t| t.chance_of(2))
        .range(SHARE)
        .empty(NOT_ALL_CHANCES)
        .doc("the same for at least two of them; in truth often lower"),
    OfTrip::number("chance_of_three_clear", 3, |t| t.chance_of(3))
        .range(SHARE)
        .empty(NOT_ALL_CHANCES)
        .doc("the same for at least three of them; in truth higher where the trip has three alone"),
];

/// A night at a site: planned, a spare place, a spare night.
pub static STOP: &[OfStop] = &[
    OfStop::text("site", |s| Some(&s.site().name)).doc("name of the site"),
    OfStop::text("view", |s| s.site().view.as_deref())
        .empty(NO_VIEW)
        .doc(VIEW_DOC),
    OfStop::number("chance", 3, |s| s.chance)
        .range(SHARE)
        .empty(NOT_ALL_CHANCES)
        .doc("chance of a clear night, 0 to 1"),
    OfStop::number("move_km", 1, |s| Some(s.way?.km))
        .range(POSITIVE)
        .empty("the first place")
        .doc(
            "the drive to it, kilometres by road: from the place before, to a spare place from the \
             one it stands in for",
        ),
    OfStop::number("move_hours", 2, |s| Some(s.way?.hours))
        .range(POSITIVE)
        .empty("the first place")
        .doc("the same in hours"),
    OfStop::flag("move_given", |s| Some(s.way?.is_given))
        .empty("the first place")
        .doc("whether that move comes from --moves; else it is an estimate"),
];

fn session_text(row: &TripRow<'_>, text: impl Fn(&TripStop) -> String) -> String {
    row.session().map_or_else(String::new, text)
}

/// A number of points.
fn points(score: f64) -> String {
    format!("{score:.0}")
}

/// Kilometres or miles of a move; a dash where the group stays.
fn move_text(row: &TripRow<'_>, _: Room) -> String {
    session_text(row, |stop| match stop.way {
        None => String::new(),
        Some(way) if !way.is_drive() => "stay".to_owned(),
        Some(way) => far_words(stop.site().conventions.units, way.km),
    })
}

fn move_hours_text(row: &TripRow<'_>, _: Room) -> String {
    session_text(row, |stop| match stop.way {
        Some(way) if way.is_drive() => drive_time_words(way.hours),
        _ => String::new(),
    })
}

fn place_text(row: &TripRow<'_>, _: Room) -> String {
    match row.session() {
        Some(stop) => stop.site().title().into_owned(),
        None => "free".to_owned(),
    }
}

fn spare_place_text(row: &TripRow<'_>, _: Room) -> String {
    let Some(stop) = row.spare_place() else {
        return session_text(row, |_| "-".to_owned());
    };
    format!("{} {}", points(stop.window.score), stop.site().title())
}

fn spare_night_text(row: &TripRow<'_>, _: Room) -> String {
    let Some(stop) = row.spare_night() else {
        return session_text(row, |_| "-".to_owned());
    };
    format!(
        "{} {}",
        points(stop.window.score),
        short_night_words(stop.window.night)
    )
}

/// The fields of an evening that precede those of its window.
pub static EVENING: &[F] = &[
    F::whole("evening_number", |r| i64::try_from(r.number).ok())
        .range(Range::AtLeast(1.0))
        .doc("which evening of the trip, from 1"),
    F::date("night", |r| Some(r.night.night))
        .doc("the evening, YYYY-MM-DD, by the clocks of the site")
        .shown(
            S::new(0, ["", "evening", "evening"], Must, |r, _| {
                short_night_words(r.night.night)
            })
            .left(),
        ),
    F::word("role", &["session", "free"], |r| {
        Some(match r.session() {
            Some(_) => "session",
            None => "free",
        })
    })
    .doc("session: the evening has a place; free: it has none, to rest or to drive on"),
    F::text(SITE, |r| Some(&r.night.session.as_ref()?.site().name))
        .empty(FREE)
        .doc("name of the site")
        .shown(
            S::new(1, ["", "place", "place"], Must, place_text)
                .apart()
                .left()
                .style(STRONG),
        ),
    F::text("view", |r| r.night.session.as_ref()?.site().view.as_deref())
        .empty("a free evening, or a site without views")
        .doc(VIEW_DOC),
    F::number("chance", 3, |r| r.session()?.chance)
        .range(SHARE)
        .empty(NO_CHANCE)
        .doc(
            "chance of a clear night, 0 to 1: from --forecast where it reaches all of the window, else \
             from the climate",
        ),
    F::number("move_km", 1, |r| Some(r.session()?.way?.km))
        .range(POSITIVE)
        .empty(NO_MOVE)
        .doc("the drive from the place before, kilometres by road; 0 where the group stays")
        .shown(S::new(5, ["", "drive", "drive"], Usual, move_text).apart()),
    F::number("move_hours", 2, |r| Some(r.session()?.way?.hours))
        .range(POSITIVE)
        .empty(NO_MOVE)
        .doc("the same in hours")
        .shown(S::new(6, ["", "hours", "hours"], Further, move_hours_text)),
    F::flag("move_given", |r| Some(r.session()?.way?.is_given))
        .empty(NO_MOVE)
        .doc("whether that move comes from --moves; else it is an estimate"),
    F::text(SPARE_SITE, |r| {
        Some(&r.night.spare_place.as_ref()?.site().name)
    })
    .empty(NO_SPARE_PLACE)
    .doc(
        "the best other place that night within a day's move of the planned one, from which the \
         trip can go on",
    )
    .shown(
        S::new(
            7,
            ["", "spare place", "spare place"],
            Usual,
            spare_place_text,
        )
        .apart()
        .left(),
    ),
    F::text("spare_view", |r| {
        r.night.spare_place.as_ref()?.site().view.as_deref()
    })
    .empty("no spare place, or a site without views")
    .doc(VIEW_DOC),
    F::number("spare_score", 1, |r| Some(r.spare_place()?.window.score))
        .range(SCORES)
        .empty(NO_SPARE_PLACE)
        .doc("score of its best window that night, 0 to 100"),
    F::word("spare_light", LightKind::WORDS, |r| {
        Some(r.spare_place()?.window.light.word())
    })
    .empty(NO_SPARE_PLACE)
    .doc("kind of light of that window: raking, dark, blend or any"),
    F::number("spare_chance", 3, |r| r.spare_place()?.chance)
        .range(SHARE)
        .empty("no spare place, or a night of a site has neither climate nor forecast")
        .doc("chance of a clear night there, 0 to 1"),
    F::number("spare_move_km", 1, |r| Some(r.spare_place()?.way?.km))
        .range(POSITIVE)
        .empty(NO_SPARE_PLACE)
        .doc("the drive to it from the planned place, kilometres by road"),
    F::number("spare_move_hours", 2, |r| Some(r.spare_place()?.way?.hours))
        .range(POSITIVE)
        .empty(NO_SPARE_PLACE)
        .doc("the same in hours"),
    F::utc("spare_start_utc", |r| {
        Some(r.spare_place()?.window.interval.first())
    })
    .empty(NO_SPARE_PLACE)
    .doc("start of its window; RFC 3339 with Z"),
    F::utc("spare_end_utc", |r| {
        Some(r.spare_place()?.window.interval.last())
    })
    .empty(NO_SPARE_PLACE)
    .doc("end of its window; RFC 3339 with Z"),
    F::date("spare_night", |r| Some(r.spare_night()?.window.night))
        .empty(NO_SPARE_NIGHT)
        .doc("the best later evening at the same place on which nothing is planned, YYYY-MM-DD")
        .shown(
            S::new(
                8,
                ["", "spare night", "spare night"],
                Usual,
                spare_night_text,
            )
            .apart()
            .left(),
        ),
    F::number("spare_night_score", 1, |r| {
        Some(r.spare_night()?.window.score)
    })
    .range(SCORES)
    .empty(NO_SPARE_NIGHT)
    .doc("score of its best window, 0 to 100"),
];

/// Columns of the window that a table shows between the others.
pub static SHOWN_OF_WINDOW: &[F] = &[
    F::number("score", 1, |r| Some(r.session()?.window.score)).shown(
        S::new(2, ["", super::SCORE, super::SCORE], Must, |r, _| {
            session_text(r, |stop| points(stop.window.score))
        })
        .style(STRONG),
    ),
    F::word("light", LightKind::WORDS, |r| {
        Some(r.session()?.window.light.word())
    })
    .shown(
        S::new(3, ["", "kind", "kind"], Usual, |r, _| {
            session_text(r, |stop| stop.window.light.word().to_owned())
        })
        .left(),
    ),
    F::text("window", |_| None).shown(
        S::new(3, ["", "window", "window"], Key, |r, _| {
            session_text(r, |stop| clocks(stop.site(), stop.window.interval))
        })
        .left(),
    ),
    F::text("best", |_| None).shown(
        S::new(4, ["", "best", "best"], Further, |r, _| {
            session_text(r, |stop| clock(stop.site(), stop.window.best.moment()))
        })
        .left(),
    ),
    F::text("moon", |_| None).shown(S::new(4, ["Moon", "lit", "Moon lit"], Further, |r, _| {
        session_text(r, |stop| {
            let phase = stop.window.lit().sky.phase;
            super::window_texts::percent(phase.illuminated_fraction)
        })
    })),
    F::number("chance", 2, |r| r.session()?.chance).shown(
        S::new(4, ["", "clear", "clear"], Further, |r, _| {
            session_text(r, |stop| {
                stop.chance
                    .map_or_else(String::new, super::window_texts::percent)
            })
        })
        .style(FAINT),
    ),
];

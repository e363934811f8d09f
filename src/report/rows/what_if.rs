//! What other values, other bearings and later nights give, in JSON.

use super::framing::NO_PLAN;
use crate::{
    report::{
        grid::STRONG,
        row::{Field, Importance::Key, Range, Room, RowKind, Shown},
        words::night_words,
    },
    search::{SpareNights, Window},
    why::{BearingSector, Variant},
};

type OfVariant = Field<Variant>;
type OfBearingSector = Field<BearingSector>;
type OfSpares = Field<Spares>;
type OfWindow = Field<Window>;

const SCORES: Range = Range::Within(0.0, 100.0);
const AZIMUTH: Range = Range::Within(0.0, 360.0);

impl RowKind for Variant {
    type Of<'a> = &'a Self;
}

/// What a combination of values finds.
pub static VARIANT: &[OfVariant] = &[
    OfVariant::whole("nights", |v| i64::try_from(v.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found"),
    OfVariant::whole("windows", |v| i64::try_from(v.windows).ok())
        .range(Range::AtLeast(0.0))
        .doc("windows found"),
    OfVariant::whole("one_frame_nights", |v| i64::try_from(v.framed_nights?).ok())
        .range(Range::AtLeast(0.0))
        .empty(NO_PLAN)
        .doc("nights in which one frame holds land and target for a part of a window"),
    OfVariant::number("best_score", 1, |v| Some(v.best?.0))
        .range(SCORES)
        .empty("nothing is found")
        .doc("0 to 100"),
    OfVariant::date("best_night", |v| Some(v.best?.1))
        .empty("nothing is found")
        .doc("evening"),
];

impl RowKind for BearingSector {
    type Of<'a> = &'a Self;
}

type SectorColumn = Shown<BearingSector>;

fn sector_text(s: &&BearingSector, _: Room) -> String {
    format!("{:03.0}-{:03.0}", s.from_deg, s.to_deg)
}

/// A text that means nothing if no night is found.
fn of_some(sector: &BearingSector, text: String) -> String {
    if sector.best.nights > 0 {
        text
    } else {
        String::new()
    }
}

fn bearing_text(s: &&BearingSector, _: Room) -> String {
    of_some(s, format!("{:.0}", s.best.bearing_deg))
}

fn nights_text(s: &&BearingSector, _: Room) -> String {
    s.best.nights.to_string()
}

fn left_text(s: &&BearingSector, _: Room) -> String {
    of_some(s, s.best.nights_lit_from_left.to_string())
}

fn right_text(s: &&BearingSector, _: Room) -> String {
    let right = s.best.nights.saturating_sub(s.best.nights_lit_from_left);
    of_some(s, right.to_string())
}

fn score_text(s: &&BearingSector, _: Room) -> String {
    let score = s.best.best_score;
    score.map_or_else(String::new, |score| format!("{score:.0}"))
}

fn night_text(s: &&BearingSector, _: Room) -> String {
    s.best.best_night.map_or_else(String::new, night_words)
}

/// What a sector of bearings finds.
pub static SECTOR: &[OfBearingSector] = &[
    OfBearingSector::exact("from_deg", |s| Some(s.from_deg))
        .range(AZIMUTH)
        .doc("true bearing, degrees")
        .shown(SectorColumn::new(0, ["", "sector", "sector"], Key, sector_text).left()),
    OfBearingSector::exact("to_deg", |s| Some(s.to_deg))
        .range(AZIMUTH)
        .doc("true bearing, degrees"),
    OfBearingSector::exact("bearing_deg", |s| Some(s.best.bearing_deg))
        .range(AZIMUTH)
        .doc("best bearing tried in it, true, degrees")
        .shown(
            SectorColumn::new(1, ["best", "bearing", "best bearing"], Key, bearing_text).apart(),
        ),
    OfBearingSector::whole("nights", |s| i64::try_from(s.best.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found")
        .shown(SectorColumn::new(2, ["", "nights", "nights"], Key, nights_text).apart()),
    OfBearingSector::whole("nights_lit_from_left", |s| {
        i64::try_from(s.best.nights_lit_from_left).ok()
    })
    .range(Range::AtLeast(0.0))
    .doc("of them lit from the left")
    .shown(SectorColumn::new(3, ["light", "left", "light left"], Key, left_text).apart()),
    OfBearingSector::whole("nights_lit_from_right", |s| {
        i64::try_from(s.best.nights.saturating_sub(s.best.nights_lit_from_left)).ok()
    })
    .range(Range::AtLeast(0.0))
    .doc("of them lit from the right")
    .shown(SectorColumn::new(4, ["light", "right", "light right"], Key, right_text).apart()),
    OfBearingSector::number("best_score", 1, |s| s.best.best_score)
        .range(SCORES)
        .empty("nothing is found")
        .doc("0 to 100")
        .shown(SectorColumn::new(5, ["best", "score", "best score"], Key, score_text).apart()),
    OfBearingSector::date("best_night", |s| s.best.best_night)
        .empty("nothing is found")
        .doc("evening")
        .shown(
            SectorColumn::new(6, ["", "on", "on"], Key, night_text)
                .apart()
                .left(),
        ),
];

/// Nights with spare ones.
#[derive(Debug, Clone, Copy)]
pub struct Spares;

impl RowKind for Spares {
    type Of<'a> = &'a SpareNights<'a>;
}

/// The night that spare nights can replace.
pub static NIGHT: &[OfSpares] = &[
    OfSpares::date("night", |s| Some(s.window.night))
        .doc("evening")
        .shown(
            SpareColumn::new(1, ["", "night", "night"], Key, |s, _| {
                night_words(s.window.night)
            })
            .apart()
            .left(),
        ),
    OfSpares::whole("rank", |s| i64::try_from(s.window.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("rank of the window")
        .shown(SpareColumn::new(0, ["", "#", "#"], Key, |s, _| {
            s.window.rank.to_string()
        })),
];

/// What a table adds to it: the score, and the spare nights.
pub static STANDING_IN: &[OfSpares] = &[
    OfSpares::number("score", 1, |s| Some(s.window.score))
        .range(SCORES)
        .doc("0 to 100")
        .shown(
            SpareColumn::new(2, ["", "score", "score"], Key, |s, _| {
                format!("{:.0}", s.window.score)
            })
            .apart()
            .style(STRONG),
        ),
    OfSpares::whole("spares", |s| i64::try_from(s.spares.len()).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights found after it")
        .shown(
            SpareColumn::new(3, ["", "spare", "spare"], Key, spares_text)
                .apart()
                .left(),
        ),
];

type SpareColumn = Shown<Spares>;

/// Most spare nights listed on one line of a table.
const NAMED: usize = 3;

fn spares_text(night: &&SpareNights<'_>, _: Room) -> String {
    let mut spares: Vec<String> = night
        .spares
        .iter()
        .take(NAMED)
        .map(|spare| format!("{} ({:.0})", spare.night.format("%a %m-%d"), spare.score))
        .collect();
    match night.spares.len().saturating_sub(NAMED) {
        0 if spares.is_empty() => return "none".to_owned(),
        0 => {}
        more => spares.push(format!("{more} more")),
    }
    spares.join(", ")
}

impl RowKind for Window {
    type Of<'a> = &'a Self;
}

/// A spare night.
pub static SPARE: &[OfWindow] = &[
    OfWindow::date("night", |w| Some(w.night)).doc("evening"),
    OfWindow::whole("rank", |w| i64::try_from(w.rank).ok())
        .range(Range::AtLeast(1.0))
        .doc("its rank"),
    OfWindow::number("score", 1, |w| Some(w.score))
        .range(SCORES)
        .doc("0 to 100"),
];

//! Lenses side by side: what each holds, and how long it may expose.

use super::framing::level_word;
use crate::{
    light::{
        ExposureSheet, Panorama,
        subject_frames::{MOST_COLUMNS, MOST_ROWS},
    },
    report::{
        row::{Field, Importance, Range, Room, RowKind, Shown},
        words::{framing_cell, orientation_word, pitch_words, shutter_text},
    },
    search::{FramePlan, FramedAs},
};

type F = Field<Lenses>;
type S = Shown<Lenses>;

/// Lenses.
#[derive(Debug, Clone, Copy)]
pub struct Lenses;

/// A lens on the camera.
#[derive(Debug, Clone)]
pub struct LensRow {
    /// Its settings, limits and panoramas.
    pub sheet: ExposureSheet,
    /// How it gets land and target into the picture; `None` without a site.
    pub plan: Option<FramePlan>,
}

impl RowKind for Lenses {
    type Of<'a> = &'a LensRow;
}

impl LensRow {
    /// The panorama of the sheet with the fewest frames.
    fn panorama(&self) -> &Panorama {
        let [first, second] = &self.sheet.panoramas;
        if first.frames() <= second.frames() {
            first
        } else {
            second
        }
    }
}

fn mm_text(row: &&LensRow, _: Room) -> String {
    row.sheet.question.optics.focal_mm().to_string()
}

fn field_text(row: &&LensRow, _: Room) -> String {
    let [width, height] = row.sheet.field_deg;
    let decimals = usize::from(height < 10.0);
    format!("{width:.decimals$}°x{height:.decimals$}°")
}

fn frame_text(row: &&LensRow, _: Room) -> String {
    row.plan.as_ref().map_or_else(String::new, framing_cell)
}

fn pitch_text(row: &&LensRow, _: Room) -> String {
    let one = row.plan.filter(|plan| plan.framed_as == FramedAs::One);
    one.map_or_else(String::new, |plan| pitch_words(plan.pitch_deg))
}

fn level_text(row: &&LensRow, _: Room) -> String {
    let level = row.plan.as_ref().map(level_word);
    level.unwrap_or_default().to_owned()
}

fn shutter_cell(row: &&LensRow, _: Room) -> String {
    format!("{:.1} s", row.sheet.longest_shutter_s)
}

fn settings_cell(row: &&LensRow, _: Room) -> String {
    shutter_text(row.sheet.exposure.shutter_s)
}

fn iso_text(row: &&LensRow, _: Room) -> String {
    row.sheet.exposure.iso.to_string()
}

fn panorama_text(row: &&LensRow, _: Room) -> String {
    let panorama = row.panorama();
    let (columns, rows) = (panorama.frames_per_row, panorama.rows);
    // Beyond that nobody turns one at night.
    if columns > MOST_COLUMNS || rows > MOST_ROWS {
        return "-".to_owned();
    }
    format!("{columns}x{rows}")
}

/// The fields of a lens besides its plan.
pub static FIELDS: &[F] = &[
    F::exact("focal_mm", |r| Some(r.sheet.question.optics.focal_mm()))
        .range(Range::Above(0.0))
        .doc("focal length, mm")
        .shown(S::new(0, ["", "mm", "mm"], Importance::Must, mm_text)),
    F::number("field_width_deg", 1, |r| Some(r.sheet.field_deg[0]))
        .range(Range::Above(0.0))
        .doc("width of the field in landscape, degrees")
        .shown(
            S::new(1, ["", "field", "field"], Importance::Must, field_text).apart(),
        ),
    F::number("field_height_deg", 1, |r| Some(r.sheet.field_deg[1]))
        .range(Range::Above(0.0))
        .doc("its height, degrees"),
    F::number("shutter_limit_s", 3, |r| Some(r.sheet.longest_shutter_s))
        .range(Range::Above(0.0))
        .doc("by the limit asked for, for the fastest star in the frame, seconds")
        .shown(
            S::new(5, ["shutter", "limit", "shutter limit"], Importance::Must, shutter_cell)
                .apart(),
        ),
    F::number("shutter_s", 6, |r| Some(r.sheet.exposure.shutter_s))
        .range(Range::Above(0.0))
        .doc("the shutter offered, seconds")
        .shown(S::new(6, ["", "shutter", "shutter"], Importance::Key, settings_cell)),
    F::whole("iso", |r| Some(r.sheet.exposure.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("ISO for that shutter")
        .shown(S::new(7, ["", "ISO", "ISO"], Importance::Key, iso_text)),
    F::whole("panorama_columns", |r| {
        Some(r.panorama().frames_per_row.into())
    })
    .range(Range::AtLeast(1.0))
    .doc("frames side by side of the panorama asked for, else of the whole arch, in the way that needs fewest")
    .shown(
        S::new(8, ["whole", "arch", "whole arch"], Importance::Usual, panorama_text).apart(),
    ),
    F::whole("panorama_rows", |r| Some(r.panorama().rows.into()))
        .range(Range::AtLeast(1.0))
        .doc("its rows"),
    F::word("panorama_holding", &["landscape", "portrait"], |r| {
        Some(orientation_word(r.panorama().orientation))
    })
    .doc("how the camera is held for it"),
];

/// The columns about land and target, which a table without a site leaves out.
pub static PLANNED: &[F] = &[
    F::word("frame", &[], |_| None).shown(
        S::new(2, ["", "frame", "frame"], Importance::Must, frame_text)
            .apart()
            .left(),
    ),
    F::word("pitch", &[], |_| None)
        .shown(S::new(3, ["", "pitch", "pitch"], Importance::Key, pitch_text).left()),
    F::word("level", &[], |_| None)
        .shown(S::new(4, ["", "level", "level"], Importance::Usual, level_text).left()),
];

//! Names of what stands on the edge of the land, written into the land below,
//! each with a line up to its place.

use super::{
    placer::{Anchor, Room, Spot},
    sheet::{Sheet, Type},
    skyline::SkylineChart,
    skyline_land::subject_anchor,
    skyline_strip::Strip,
    text_width::shortened,
};
use crate::{
    plan::PathCrossing,
    report::words::{clock, evening_words},
};
use std::cmp::Ordering;

/// Distance of the rows of labels, pixels.
const ROW: f64 = 15.0;
/// Rows at most.
const MOST_ROWS: u32 = 12;
/// From the level horizon to the first row's upper edge, pixels.
const FIRST: f64 = 8.0;
/// Least land below the level horizon, pixels.
const LEAST_DEPTH: f64 = 26.0;

/// From a line to its name, pixels.
const SIDE: f64 = 4.0;

/// A name and the point it belongs to.
struct Label {
    text: String,
    style: Type,
    /// Degrees right of the middle of the strip and altitude, degrees.
    offset_deg: f64,
    altitude_deg: f64,
    /// Whether it may stand back for the others.
    yields: bool,
    /// Where it is written: the row, and left edge.
    at: Option<(u32, f64)>,
}

/// The names below the edge of the land in one strip.
pub struct Labels {
    labels: Vec<Label>,
    strip: Strip,
    depth: f64,
}

impl Labels {
    /// Finds a row for each name. The strip's depth need not be set.
    pub fn of(chart: &SkylineChart<'_>, strip: &Strip) -> Self {
        let mut labels = Vec::new();
        let mut put = |text: String, style: Type, place: (f64, f64), yields: bool| {
            labels.push(Label {
                text,
                style,
                yields,
                offset_deg: strip.offset_deg(place.0),
                altitude_deg: place.1,
                at: None,
            });
        };
        let site = chart.site;
        let land = site.skyline.is_some() || site.subject_skyline.is_some();
        let verb = |crossing: &PathCrossing| match (land, crossing.clears) {
            (true, true) => "clears",
            (true, false) => "goes behind",
            (false, true) => "rises",
            (false, false) => "sets",
        };
        let place = |crossing: &PathCrossing| {
            let place = crossing.place;
            (place.azimuth_deg, place.apparent_altitude_deg)
        };
        let here =
            |crossing: &&PathCrossing| crossing.dark && strip.reaches(crossing.place.azimuth_deg);
        for night in &chart.nights.nights {
            for crossing in night.moon.crossings.iter().filter(here) {
                let at = clock(site, crossing.moment);
                let evening = evening_words(night.night.date);
                let (text, style) = match night.night.date == chart.nights.date {
                    true => (
                        format!("{at} Moon {}, {evening}", verb(crossing)),
                        Type::SMALL_STRONG,
                    ),
                    false => (format!("{at} {evening}"), Type::SMALL),
                };
                put(text, style, place(crossing), false);
            }
        }
        if let Some(asked) = chart.nights.asked().filter(|_| chart.has_target()) {
            let name = chart.rules.target_name();
            for crossing in asked.target.crossings.iter().filter(here) {
                let text = format!("{} {name} {}", clock(site, crossing.moment), verb(crossing));
                put(text, Type::SMALL_STRONG, place(crossing), false);
            }
        }
        if let Some((_, name)) = subject_anchor(chart, strip)
            && let Some(shape) = site.subject_shape()
        {
            let width = 0.5 * strip.room().width;
            let name = shortened(&name, Type::SMALL.size, false, width);
            let foot = shape.foot_deg.min(shape.top_deg);
            put(name, Type::SMALL, (shape.bearing_deg, foot), true);
        }
        let mut found = Self {
            labels,
            strip: *strip,
            depth: LEAST_DEPTH,
        };
        // The subject's name has its turn where it stands, and last if another
        // name finds no room then.
        if !found.arrange(false) {
            found.arrange(true);
        }
        found
    }

    /// Land below the level horizon that they need, pixels.
    pub fn depth(&self) -> f64 {
        self.depth
    }

    fn row_top(row: u32) -> f64 {
        FIRST + ROW * f64::from(row)
    }

    /// Gives each label a row and a side so that no line runs through a name:
    /// those too near the right edge stand left of their lines and step down to
    /// the right, the others stand right of them and step down to the left.
    /// What yields comes last if asked. Whether every other name has its place.
    fn arrange(&mut self, yielding_last: bool) -> bool {
        let strip = self.strip;
        let room = strip.room();
        let base = strip.at_offset(0.0, 0.0).1;
        let right = room.left + room.width - 2.0;
        let x_of = |label: &Label| strip.at_offset(label.offset_deg, label.altitude_deg).0;
        let fits = |label: &Label| x_of(label) + SIDE + label.style.width(&label.text) <= right;
        self.labels.sort_by(|a, b| {
            let last = |label: &Label| yielding_last && label.yields;
            let in_turn = match (fits(a), fits(b)) {
                (false, true) => Ordering::Less,
                (true, false) => Ordering::Greater,
                (false, false) => a.offset_deg.total_cmp(&b.offset_deg),
                (true, true) => b.offset_deg.total_cmp(&a.offset_deg),
            };
            last(a).cmp(&last(b)).then(in_turn)
        });
        let mut names: Vec<Room> = Vec::new();
        let mut lines: Vec<Room> = Vec::new();
        let mut needed = LEAST_DEPTH;
        for label in &mut self.labels {
            let (x, y) = strip.at_offset(label.offset_deg, label.altitude_deg);
            needed = needed.max(y - base + 4.0);
            let width = label.style.width(&label.text);
            let boxes = |row: u32, left: f64| {
                let top = base + Self::row_top(row);
                let name = Room {
                    left,
                    top,
                    width,
                    height: ROW - 1.0,
                };
                let line = Room {
                    left: x - 1.5,
                    top: y,
                    width: 3.0,
                    height: top + ROW - 1.0 - y,
                };
                (name, line)
            };
            let mut places = [x + SIDE, x - SIDE - width]
                .into_iter()
                .flat_map(|left| (0..MOST_ROWS).map(move |row| (row, left)));
            let free = places.find(|(row, left)| {
                let (name, line) = boxes(*row, *left);
                *left >= room.left + 2.0
                    && left + width <= right
                    // A name is below what it names.
                    && name.top > y + 2.0
                    && !names.iter().any(|other| other.meets(&name.wider(3.0)))
                    && !lines.iter().any(|other| other.meets(&name))
                    && !names.iter().any(|other| other.meets(&line))
            });
            label.at = free;
            let Some((row, left)) = free else { continue };
            let (name, line) = boxes(row, left);
            names.push(name);
            lines.push(line);
            needed = needed.max(Self::row_top(row) + ROW + 6.0);
        }
        self.depth = needed;
        let mut others = self.labels.iter().filter(|label| !label.yields);
        others.all(|label| label.at.is_some())
    }

    /// Draws the lines and writes the names; the strip has its place now.
    pub fn draw(&self, sheet: &mut Sheet, strip: &Strip) {
        let base = strip.at_offset(0.0, 0.0).1;
        for label in &self.labels {
            let Some((row, left)) = label.at else {
                continue;
            };
            let (x, y) = strip.at_offset(label.offset_deg, label.altitude_deg);
            let top = base + Self::row_top(row);
            sheet.faint_line((x, y), (x, top + ROW - 3.0), 0.8);
            let room = Room {
                left,
                top,
                width: label.style.width(&label.text),
                height: 1.17 * label.style.size,
            };
            let anchor = if left > x { Anchor::Start } else { Anchor::End };
            let land = sheet.palette.land();
            sheet.write_over(
                &label.text,
                label.style,
                Some(land),
                [Spot { room, anchor }],
            );
        }
    }
}

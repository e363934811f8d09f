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

/// How names stand at their lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stairs {
    /// Right of them, stepping down to the left.
    Right,
    /// Left of them, stepping down to the right.
    Left,
    /// Left of them near the right edge, else right.
    Both,
}

/// Which names choose their place first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turns {
    /// None before the others.
    Alike,
    /// All before the subject's.
    SubjectLast,
    /// Those of the night asked for, where a strip is too narrow for all.
    AskedFirst,
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
                    true => {
                        let short = format!("{at} Moon {}", verb(crossing));
                        let whole = format!("{short}, {evening}");
                        let style = Type::SMALL_STRONG;
                        let fits = style.width(&whole) < 0.5 * strip.room().width;
                        (if fits { whole } else { short }, style)
                    }
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
        found.arrange_best();
        found
    }

    /// Land below the level horizon that they need, pixels.
    pub fn depth(&self) -> f64 {
        self.depth
    }

    fn row_top(row: u32) -> f64 {
        FIRST + ROW * f64::from(row)
    }

    /// Where the line of a name ends: at its foot, or where the name is below it
    /// at its upper edge.
    fn line_end(top: f64, x: f64, left: f64, width: f64) -> f64 {
        match left <= x && x <= left + width {
            true => top,
            false => top + ROW - 1.0,
        }
    }

    /// Arranges them in each of several orders and keeps the one that leaves out
    /// the fewest and takes the least land.
    fn arrange_best(&mut self) {
        let orders = [Stairs::Right, Stairs::Both, Stairs::Left];
        let turns = [Turns::Alike, Turns::SubjectLast, Turns::AskedFirst];
        let tries = turns
            .into_iter()
            .flat_map(|turns| orders.map(|stairs| (stairs, turns)));
        let found: Vec<(usize, f64, Stairs, Turns)> = tries
            .map(|(stairs, turns)| {
                self.arrange(stairs, turns);
                (self.left_out(), self.depth, stairs, turns)
            })
            .collect();
        let best = found
            .iter()
            .min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        if let Some((_, _, stairs, turns)) = best {
            self.arrange(*stairs, *turns);
        }
    }

    /// How much is without a place: one of the night asked for counts for three.
    fn left_out(&self) -> usize {
        let left_out = self.labels.iter().filter(|label| label.at.is_none());
        left_out
            .map(|label| if label.style.bold { 3 } else { 1 })
            .sum()
    }

    /// Gives each label a row and a side so that no line runs through a name.
    fn arrange(&mut self, stairs: Stairs, turns: Turns) {
        let strip = self.strip;
        let room = strip.room();
        let base = strip.at_offset(0.0, 0.0).1;
        let right = room.left + room.width - 2.0;
        let x_of = |label: &Label| strip.at_offset(label.offset_deg, label.altitude_deg).0;
        let fits = |label: &Label| x_of(label) + SIDE + label.style.width(&label.text) <= right;
        self.labels.sort_by(|a, b| {
            let last = |label: &Label| match turns {
                Turns::Alike => false,
                Turns::SubjectLast => label.yields,
                Turns::AskedFirst => !label.style.bold,
            };
            let rightward = a.offset_deg.total_cmp(&b.offset_deg);
            let in_turn = match (stairs, fits(a), fits(b)) {
                (Stairs::Left, ..) | (Stairs::Both, false, false) => rightward,
                (Stairs::Both, false, true) => Ordering::Less,
                (Stairs::Both, true, false) => Ordering::Greater,
                _ => rightward.reverse(),
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
                    height: Self::line_end(top, x, left, width) - y,
                };
                (name, line)
            };
            let (after, before) = (x + SIDE, x - SIDE - width);
            // Below its line a name stands where there is no room on either side.
            let below = (x - 0.5 * width).min(right - width).max(room.left + 2.0);
            let sides = match stairs {
                Stairs::Left => [before, after, below],
                _ => [after, before, below],
            };
            let mut places = sides
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
            let width = label.style.width(&label.text);
            let end = Self::line_end(top, x, left, width);
            sheet.faint_line((x, y), (x, end), 0.8);
            let room = Room {
                left,
                top,
                width,
                height: 1.17 * label.style.size,
            };
            let anchor = match (left > x, left + width < x) {
                (true, _) => Anchor::Start,
                (_, true) => Anchor::End,
                _ => Anchor::Middle,
            };
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

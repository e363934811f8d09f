//! Names of what stands on the edge of the land, written into the land below,
//! each with a line up to its place.

use super::{
    Size,
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

/// Distance of the rows of labels, pixels.
const ROW: f64 = 15.0;
/// Rows at most.
const MOST_ROWS: u32 = 12;
/// From the level horizon to the first row's upper edge, pixels.
const FIRST: f64 = 8.0;
/// Least land below the level horizon, pixels.
const LEAST_DEPTH: f64 = 26.0;

/// A name and the point it belongs to.
struct Label {
    text: String,
    style: Type,
    /// Degrees right of the middle of the strip and altitude, degrees.
    offset_deg: f64,
    altitude_deg: f64,
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
    pub fn of(chart: &SkylineChart<'_>, strip: &Strip, size: Size) -> Self {
        let mut labels = Vec::new();
        let mut put = |text: String, style: Type, place: (f64, f64)| {
            labels.push(Label {
                text,
                style,
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
        let here = |crossing: &&PathCrossing| {
            crossing.dark && strip.reaches(crossing.place.azimuth_deg)
        };
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
                put(text, style, place(crossing));
            }
        }
        if let Some(asked) = chart.nights.asked().filter(|_| chart.has_target()) {
            let name = chart.rules.target_name();
            for crossing in asked.target.crossings.iter().filter(here) {
                let text = format!("{} {name} {}", clock(site, crossing.moment), verb(crossing));
                put(text, Type::SMALL_STRONG, place(crossing));
            }
        }
        if let Some((_, name)) = subject_anchor(chart, strip)
            && let Some(shape) = site.subject_shape()
        {
            let width = 0.5 * strip.room().width;
            let name = shortened(&name, Type::SMALL.size, false, width);
            let foot = shape.foot_deg.min(shape.top_deg);
            put(name, Type::SMALL, (shape.bearing_deg, foot));
        }
        let mut found = Self {
            labels,
            strip: *strip,
            depth: LEAST_DEPTH,
        };
        found.arrange(size);
        found
    }

    /// Land below the level horizon that they need, pixels.
    pub fn depth(&self) -> f64 {
        self.depth
    }

    fn row_top(row: u32) -> f64 {
        FIRST + ROW * f64::from(row)
    }

    /// Gives each label a row and a side, from right to left, so that no line
    /// runs through a name.
    fn arrange(&mut self, size: Size) {
        let strip = self.strip;
        let base = strip.at_offset(0.0, 0.0).1;
        let point = |label: &Label| strip.at_offset(label.offset_deg, label.altitude_deg);
        self.labels.sort_by(|a, b| b.offset_deg.total_cmp(&a.offset_deg));
        let mut names: Vec<Room> = Vec::new();
        let mut lines: Vec<Room> = Vec::new();
        // All points are kept clear, also those of labels that come later.
        let points: Vec<(f64, f64)> = self.labels.iter().map(point).collect();
        let right = strip.room().left + strip.room().width;
        let mut lowest = 0.0_f64;
        for (label, (x, y)) in self.labels.iter_mut().zip(&points) {
            let width = label.style.width(&label.text);
            let sides = [x + 4.0, x - 4.0 - width];
            let rows = (0..MOST_ROWS).flat_map(|row| sides.map(|left| (row, left)));
            let free = rows.into_iter().find(|(row, left)| {
                let top = base + Self::row_top(*row);
                let name = Room {
                    left: *left,
                    top,
                    width,
                    height: ROW - 1.0,
                };
                let line = Room {
                    left: x - 1.5,
                    top: *y,
                    width: 3.0,
                    height: top + ROW - 1.0 - y,
                };
                let inside = *left >= size.left() + 2.0 && left + width <= right - 2.0;
                inside
                    && !names.iter().any(|other| other.meets(&name.wider(3.0)))
                    && !lines.iter().any(|other| other.meets(&name))
                    && !names.iter().any(|other| other.meets(&line))
            });
            let Some((row, left)) = free else { continue };
            let top = base + Self::row_top(row);
            names.push(Room {
                left,
                top,
                width,
                height: ROW - 1.0,
            });
            lines.push(Room {
                left: x - 1.5,
                top: *y,
                width: 3.0,
                height: top + ROW - 1.0 - y,
            });
            lowest = lowest.max(Self::row_top(row) + ROW);
            label.at = Some((row, left));
        }
        let needed = points.iter().map(|(_, y)| y - base + 4.0).fold(0.0, f64::max);
        self.depth = LEAST_DEPTH.max(lowest + 6.0).max(needed);
    }

    /// Draws the lines and writes the names; the strip has its place now.
    pub fn draw(&self, sheet: &mut Sheet, strip: &Strip) {
        let base = strip.at_offset(0.0, 0.0).1;
        for label in &self.labels {
            let Some((row, left)) = label.at else { continue };
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
            sheet.write_over(&label.text, label.style, Some(land), [Spot { room, anchor }]);
        }
    }
}

//! Neighbouring evenings on one clock, to choose one of them and its spare.

use super::{
    Look, Picture, Size,
    hours::named_hours,
    placer::{Anchor, Room, Spot},
    sheet::{Sheet, Type, stroke, through},
    year_axes::{all_pieces, wall_hour, wall_pieces},
};
use crate::{
    rule::Rules,
    scene::{LightKind, Site},
    search::{Interval, Intervals, NightHours, Window},
};
use svg::Node;

/// Some evenings of a site, one below the other.
#[derive(Debug, Clone)]
pub struct ClusterChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules of the first kind of light.
    pub rules: &'a Rules,
    /// The kinds asked for.
    pub kinds: Vec<LightKind>,
    /// What each evening offers, in order of time.
    pub nights: &'a [NightHours],
}

/// Room for the names of the lanes, pixels.
const GUTTER: f64 = 54.0;
/// Distance of two lanes, pixels.
const LANE: f64 = 13.0;
/// Distance of two lines of words, pixels.
const LINE: f64 = 15.5;
/// Room between an evening and the next, pixels.
const GAP: f64 = 12.0;
/// Height of a window's stroke, pixels.
const STROKE: f64 = 8.0;
/// Hours shown before and after the dark ones.
const MARGIN_HOURS: f64 = 0.5;
/// Least room from one hour to the next that is named, pixels.
const HOUR_ROOM: f64 = 46.0;

/// An evening with its words broken into lines, and where it stands.
struct Row<'a> {
    night: &'a NightHours,
    name: String,
    lines: Vec<String>,
    top: f64,
}

impl Row<'_> {
    fn lanes_top(&self) -> f64 {
        self.top + LINE * (1 + self.lines.len()) as f64 + 4.0
    }
}

impl ClusterChart<'_> {
    /// Draws the picture.
    pub fn draw(&self, look: Look) -> Picture {
        let size = look.size;
        let head = self.head();
        let out = self.nights.iter().any(|night| self.lanes(night) > 0.0);
        // Where the Sun never sets there is no clock to show.
        let top = head.bottom(size) + if out { 18.0 } else { 0.0 };
        let mut y = top + 6.0;
        let mut rows = Vec::new();
        for night in self.nights {
            let row = Row {
                night,
                name: self.name(night),
                lines: self.lines(night, size),
                top: y,
            };
            y = row.lanes_top() + LANE * self.lanes(night) + GAP;
            rows.push(row);
        }
        let sheet = Sheet::new("cluster", look.palette, size.width(), y + 4.0);
        let mut sheet = sheet.numbered(look.number);
        head.write(&mut sheet, size);
        let axis = Axis {
            left: size.left() + GUTTER,
            right: size.right(),
            hours: self.hours(),
        };
        if out {
            self.draw_clock(&mut sheet, &axis, top, &rows);
        }
        for row in &rows {
            self.draw_row(&mut sheet, &axis, size, row);
        }
        sheet.finish(&head.title, &head.description())
    }

    /// How many lanes an evening has: night, target (unless it is the Moon), Moon
    /// and its windows; none where nobody would be out.
    fn lanes(&self, night: &NightHours) -> f64 {
        if night.out.is_empty() && night.windows.is_empty() {
            return 0.0;
        }
        let target = if self.rules.target.is_moon() {
            0.0
        } else {
            1.0
        };
        let window = if night.windows.is_empty() { 0.0 } else { 1.0 };
        2.0 + target + window
    }

    /// The hours that are shown: from half an hour before the first that is dark
    /// on any evening to half an hour after the last.
    fn hours(&self) -> (f64, f64) {
        let mut hours = (f64::INFINITY, f64::NEG_INFINITY);
        let any_dark = self.nights.iter().any(|night| !night.dark.is_empty());
        for night in self.nights {
            let shown = if any_dark { &night.dark } else { &night.out };
            let windows = night.windows.iter().flat_map(Window::intervals);
            for interval in shown.as_slice().iter().copied().chain(windows) {
                for (from, to) in wall_pieces(self.site.zone, &night.night, &interval) {
                    hours = (hours.0.min(from), hours.1.max(to));
                }
            }
        }
        match hours.0 < hours.1 {
            true => (hours.0 - MARGIN_HOURS, hours.1 + MARGIN_HOURS),
            false => (12.0, 36.0),
        }
    }

    fn draw_clock(&self, sheet: &mut Sheet, axis: &Axis, top: f64, rows: &[Row<'_>]) {
        let (from, to) = axis.hours;
        let an_hour = (axis.right - axis.left) / (to - from);
        for hour in named_hours(from, to, an_hour, HOUR_ROOM) {
            let x = axis.x(hour as f64);
            let text = format!("{:02}:00", hour.rem_euclid(24));
            let midnight = hour.rem_euclid(24) == 0;
            let style = if midnight {
                Type::SMALL_STRONG
            } else {
                Type::SMALL
            };
            let spots = [
                style.centred(&text, x, top - 3.0),
                style.ending(&text, x, top - 3.0),
            ];
            sheet.write(&text, style, spots);
            for row in rows.iter().filter(|row| self.lanes(row.night) > 0.0) {
                let lanes = row.lanes_top();
                let x = on_points(x);
                let ends = (
                    (x, lanes - 3.0),
                    (x, lanes + LANE * self.lanes(row.night) - 2.0),
                );
                sheet.faint_line(ends.0, ends.1, if midnight { 1.2 } else { 0.7 });
            }
        }
        let mut line = stroke(
            &through(&[(axis.left, top + 1.0), (axis.right, top + 1.0)]),
            &sheet.palette.ink(),
            0.8,
        );
        line.assign("data-axes", "cluster");
        line.assign("data-left", axis.left.to_string());
        line.assign("data-right", axis.right.to_string());
        line.assign("data-from-hour", from.to_string());
        line.assign("data-to-hour", to.to_string());
        sheet.draw(line);
    }

    fn draw_row(&self, sheet: &mut Sheet, axis: &Axis, size: Size, row: &Row<'_>) {
        let left = size.left();
        let name = Type::STRONG.room(&row.name, left, row.top + LINE - 3.0);
        sheet.write(&row.name, Type::STRONG, [name]);
        for (index, line) in row.lines.iter().enumerate() {
            let baseline = row.top + LINE * (index + 2) as f64 - 3.0;
            sheet.write(line, Type::SMALL, [Type::SMALL.room(line, left, baseline)]);
        }
        if self.lanes(row.night) == 0.0 {
            return;
        }
        let mut lane = 0.0;
        let mut next = |name: &str| {
            let y = on_points(row.lanes_top() + LANE * lane + 4.0);
            lane += 1.0;
            let spot = Spot {
                room: Room {
                    left,
                    top: y - 6.0,
                    width: GUTTER - 6.0,
                    height: LANE - 0.5,
                },
                anchor: Anchor::Start,
            };
            sheet.write(name, Type::SMALL, [spot]);
            y
        };
        let night = row.night;
        let dark = next("night");
        let target = (!self.rules.target.is_moon()).then(|| next(self.rules.target_name()));
        let moon = next("Moon");
        let window = match night.windows.is_empty() {
            true => moon,
            false => next("window"),
        };
        self.lane(sheet, axis, night, &night.dark, ("dark", dark, 1.5, ""));
        if let Some(y) = target {
            self.lane(sheet, axis, night, &night.target, ("target", y, 1.2, "5 3"));
        }
        let of_moon = match self.rules.target.is_moon() {
            true => &night.target,
            false => &night.moon_up,
        };
        self.lane(sheet, axis, night, of_moon, ("moon", moon, 0.8, ""));
        for found in &night.windows {
            self.period(sheet, axis, night, &found.interval, ("window", window));
            if let Some(land) = &found.land {
                self.period(sheet, axis, night, &land.interval, ("moonlit", window));
            }
            // The best instant, as an upright that is longer than the window is high.
            let hour = wall_hour(
                self.site.zone,
                night.night.date,
                found.best.moment().seconds(),
            );
            let x = axis.x(hour);
            let (paper, ink) = (sheet.palette.paper(), sheet.palette.ink());
            let upright = |half: f64| through(&[(x, window - half), (x, window + half)]);
            sheet.draw(stroke(&upright(0.5 * STROKE), &paper, 3.4));
            let mut best = stroke(&upright(0.5 * STROKE + 2.0), &ink, 1.4);
            best.assign("data-best", night.night.date.to_string());
            sheet.draw(best);
        }
    }

    /// A lane of periods, each with a mark where it really begins or ends.
    fn lane(
        &self,
        sheet: &mut Sheet,
        axis: &Axis,
        night: &NightHours,
        periods: &Intervals,
        (mark, y, weight, dash): (&str, f64, f64, &str),
    ) {
        for (from, to) in all_pieces(self.site.zone, &night.night, periods) {
            let (a, b) = (axis.x(from), axis.x(to));
            if b <= a {
                continue;
            }
            let mut line = stroke(&through(&[(a, y), (b, y)]), &sheet.palette.ink(), weight);
            line.assign("data-lane", mark);
            line.assign("data-night", night.night.date.to_string());
            if !dash.is_empty() {
                line.assign("stroke-dasharray", dash);
            }
            sheet.draw(line);
            for (hour, x) in [(from, a), (to, b)] {
                if axis.shows(hour) {
                    sheet.line((x, y - 3.5), (x, y + 3.5), 1.0);
                }
            }
        }
    }

    fn period(
        &self,
        sheet: &mut Sheet,
        axis: &Axis,
        night: &NightHours,
        interval: &Interval,
        (mark, y): (&str, f64),
    ) {
        for (from, to) in wall_pieces(self.site.zone, &night.night, interval) {
            let ends = [(axis.x(from), y), (axis.x(to), y)];
            let mut line = stroke(&through(&ends), &sheet.palette.ink(), STROKE);
            line.assign("data-stroke", mark);
            line.assign("data-night", night.night.date.to_string());
            if mark == "moonlit" {
                line.assign("stroke-dasharray", "1.6 1.6");
            }
            sheet.draw(line);
        }
    }
}

/// The place nearest to `place` at which a thin line fills whole points of a screen
/// that shows the picture in its own size: between two of them it would pale.
fn on_points(place: f64) -> f64 {
    place.floor() + 0.5
}

/// The clock, which all evenings share.
struct Axis {
    left: f64,
    right: f64,
    hours: (f64, f64),
}

impl Axis {
    fn x(&self, hour: f64) -> f64 {
        let (from, to) = self.hours;
        let along = (hour.clamp(from, to) - from) / (to - from);
        self.left + along * (self.right - self.left)
    }

    fn shows(&self, hour: f64) -> bool {
        (self.hours.0..=self.hours.1).contains(&hour)
    }
}

//! Date against hour: where a night and a time of its clock stand.

use super::{
    hours::named_hours,
    placer::Room,
    sheet::{Sheet, Type, rectangle},
};
use crate::{
    ephemeris::Moment,
    scene::Zone,
    search::{Interval, Intervals, Night},
};
use chrono::{Datelike, Days, NaiveDate, NaiveTime};
use svg::Node;

/// Where dates and hours stand on one panel.
#[derive(Debug, Clone, Copy)]
pub struct YearAxes {
    /// The panel.
    pub room: Room,
    /// Its first night.
    pub first: NaiveDate,
    /// How many nights it has.
    pub nights: i64,
    /// First and last hour, from the midnight that begins the evening's date: 25
    /// is one in the morning.
    pub hours: (f64, f64),
    /// Whether dates run down and hours across, as on a phone.
    pub down: bool,
}

/// Days between two lines of dates where months are too long.
const DAY_STEPS: [i64; 3] = [1, 2, 7];
/// Room of a date below a line, pixels.
const DATE_ROOM: f64 = 46.0;
/// A month this long, pixels, has room for the longest name.
const LONG_MONTH: f64 = 72.0;
/// A month shorter than this, pixels, has room for its name alone.
const MONTH_ROOM: f64 = 150.0;

impl YearAxes {
    /// Pixels between two nights.
    pub fn spacing(&self) -> f64 {
        let length = match self.down {
            true => self.room.height,
            false => self.room.width,
        };
        length / self.nights.max(1) as f64
    }

    /// The middle of a night's strip, in nights from the first.
    pub fn middle(&self, night: NaiveDate) -> f64 {
        (night - self.first).num_days() as f64 + 0.5
    }

    /// Whether the panel has that night.
    pub fn has(&self, night: NaiveDate) -> bool {
        (0..self.nights).contains(&(night - self.first).num_days())
    }

    /// The point of a date, in nights from the first, and an hour.
    pub fn point(&self, night: f64, hour: f64) -> (f64, f64) {
        let (from, to) = self.hours;
        let of_hours = (hour.clamp(from, to) - from) / (to - from);
        let along = night * self.spacing();
        match self.down {
            true => (
                self.room.left + of_hours * self.room.width,
                self.room.top + along,
            ),
            false => (
                self.room.left + along,
                self.room.top + of_hours * self.room.height,
            ),
        }
    }

    /// Draws the frame, the clock and the calendar.
    pub fn draw(&self, sheet: &mut Sheet) {
        self.draw_hours(sheet);
        self.draw_dates(sheet);
        let mut frame = rectangle(self.room);
        frame.assign("fill", "none");
        frame.assign("stroke", sheet.palette.ink());
        frame.assign("stroke-width", "0.8");
        frame.assign("data-axes", "year");
        frame.assign("data-first", self.first.to_string());
        frame.assign("data-nights", self.nights.to_string());
        frame.assign("data-from-hour", self.hours.0.to_string());
        frame.assign("data-to-hour", self.hours.1.to_string());
        frame.assign("data-dates-run", if self.down { "down" } else { "across" });
        sheet.draw(frame);
    }

    fn draw_hours(&self, sheet: &mut Sheet) {
        let (from, to) = self.hours;
        let (length, least) = match self.down {
            true => (self.room.width, 46.0),
            false => (self.room.height, 20.0),
        };
        let an_hour = length / (to - from);
        for hour in named_hours(from, to, an_hour, least) {
            let text = format!("{:02}:00", hour.rem_euclid(24));
            let (x, y) = self.point(0.0, hour as f64);
            let midnight = hour.rem_euclid(24) == 0;
            let style = match midnight {
                true => Type::SMALL_STRONG,
                false => Type::SMALL,
            };
            match self.down {
                true => {
                    // The first and the last stay within the panel.
                    let spots = [
                        style.centred(&text, x, y - 5.0),
                        style.room(&text, x, y - 5.0),
                        style.ending(&text, x, y - 5.0),
                    ];
                    sheet.write(&text, style, spots);
                    sheet.line((x, y - 3.0), (x, y), 0.8);
                }
                false => {
                    sheet.write(&text, style, [style.ending(&text, x - 6.0, y + 4.0)]);
                    sheet.line((x - 4.0, y), (x, y), 0.8);
                }
            }
            if midnight {
                let far = self.point(self.nights as f64, hour as f64);
                sheet.faint_line((x, y), far, 0.5);
            }
        }
    }

    fn draw_dates(&self, sheet: &mut Sheet) {
        let month = 30.4 * self.spacing();
        let (from, to) = self.hours;
        let line = |sheet: &mut Sheet, at: f64| {
            let (a, b) = (self.point(at, from), self.point(at, to));
            sheet.faint_line(a, b, 0.4);
        };
        if month >= MONTH_ROOM {
            let fits = |step: &i64| *step as f64 * self.spacing() >= DATE_ROOM;
            let step = DAY_STEPS.into_iter().find(fits).unwrap_or(7);
            for day in (0..self.nights).step_by(step as usize) {
                let Some(date) = self.first.checked_add_days(Days::new(day as u64)) else {
                    continue;
                };
                let text = date.format("%-d %b").to_string();
                self.write_date(sheet, &text, day as f64 + 0.5, 0.0);
                line(sheet, day as f64);
            }
            return;
        }
        let mut from_day = 0;
        while from_day < self.nights {
            let Some(date) = self.first.checked_add_days(Days::new(from_day as u64)) else {
                return;
            };
            let left = (from_day..self.nights).take_while(|day| {
                let other = self.first.checked_add_days(Days::new(*day as u64));
                other.is_some_and(|other| other.month() == date.month())
            });
            let days = left.count().max(1) as i64;
            if from_day > 0 {
                line(sheet, from_day as f64);
            }
            let long = days as f64 * self.spacing();
            let middle = from_day as f64 + 0.5 * days as f64;
            let form = if month >= LONG_MONTH && !self.down {
                "%B"
            } else {
                "%b"
            };
            let name = date.format(form).to_string();
            let needed = if self.down {
                14.0
            } else {
                Type::SMALL.width(&name) + 2.0
            };
            if long >= needed {
                self.write_date(sheet, &name, middle, long);
            }
            from_day += days;
        }
    }

    fn write_date(&self, sheet: &mut Sheet, text: &str, at: f64, long: f64) {
        let (x, y) = self.point(at, self.hours.0);
        let bottom = self.room.top + self.room.height;
        let spot = match self.down {
            // A month's name stands where it begins.
            true => Type::SMALL.ending(text, self.room.left - 5.0, y - 0.5 * long + 12.0),
            false => Type::SMALL.centred(text, x, bottom + 15.0),
        };
        sheet.write(text, Type::SMALL, [spot]);
    }
}

/// The hour that the wall clock shows at a time, from the midnight that begins
/// the evening's date.
pub fn wall_hour(zone: Zone, evening: NaiveDate, time: f64) -> f64 {
    let local = zone.local(Moment::from_seconds(time));
    let since = local - evening.and_time(NaiveTime::MIN);
    since.num_milliseconds() as f64 / 3_600_000.0
}

/// The hours of the wall clock that a period takes: in a night in which the
/// clocks change, a piece on either side of it.
pub fn wall_pieces(zone: Zone, night: &Night, interval: &Interval) -> Vec<(f64, f64)> {
    let changes = zone.offset_changes(interval.first(), interval.last());
    let mut from = interval.start;
    let ends = changes.iter().map(|(moment, _)| moment.seconds());
    ends.chain([interval.end])
        .map(|to| {
            let begins = wall_hour(zone, night.date, from);
            let piece = (begins, begins + (to - from) / 3600.0);
            from = to;
            piece
        })
        .filter(|(begins, ends)| begins < ends)
        .collect()
}

/// The same of several periods.
pub fn all_pieces(zone: Zone, night: &Night, periods: &Intervals) -> Vec<(f64, f64)> {
    let pieces = periods.as_slice().iter();
    pieces
        .flat_map(|interval| wall_pieces(zone, night, interval))
        .collect()
}

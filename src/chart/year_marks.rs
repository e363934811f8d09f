//! The lines, combs and strokes of nights by date and hour, and their words.

use super::{
    placer::{Room, Spot},
    sheet::{Sheet, Type, element, px, rectangle, stroke, through},
    year::YearChart,
    year_axes::{YearAxes, all_pieces, wall_hour, wall_pieces},
    year_edges::{Bound, Edge, edges},
};
use crate::{
    report::words::eclipse_word,
    rule::SUN_ALTITUDE,
    scene::{Band, LightKind},
    search::{Interval, Intervals, NightHours, Window},
    why::WouldAdd,
};
use svg::Node;

/// Width of a window's stroke over the room of a night, and its bounds, pixels.
const STROKE: f64 = 0.9;
const STROKE_BOUNDS: (f64, f64) = (2.0, 7.0);
/// Width of a thin stroke over that of a full one: wide enough to be dark on a
/// screen of one pixel per pixel wherever it falls.
const THIN: f64 = 0.55;
/// Least width of an outline, pixels.
const OUTLINE: f64 = 3.6;

/// Draws one panel.
pub fn draw(chart: &YearChart<'_>, sheet: &mut Sheet, axes: &YearAxes, number: usize) {
    let marks = Marks {
        nights: chart
            .nights
            .iter()
            .filter(|night| axes.has(night.night.date))
            .cloned()
            .collect(),
        chart,
        axes,
        number,
    };
    axes.draw(sheet);
    marks.combs(sheet);
    let lines = marks.lines(sheet);
    marks.outlines(sheet);
    marks.windows(sheet);
    marks.ticks(sheet);
    marks.name_best(sheet);
    marks.name_outlines(sheet);
    for (line, text) in lines {
        marks.name_line(sheet, &line, &text);
    }
    marks.name_combs(sheet);
}

/// What one panel draws.
pub(super) struct Marks<'a> {
    pub chart: &'a YearChart<'a>,
    pub axes: &'a YearAxes,
    pub nights: Vec<NightHours>,
    /// Its number, from 0.
    pub number: usize,
}

impl Marks<'_> {
    /// The room around a point, nearest first, within the panel.
    pub(super) fn around(&self, text: &str, style: Type, (x, y): (f64, f64)) -> Vec<Spot> {
        let spots = [
            style.room(text, x + 6.0, y + 4.0),
            style.ending(text, x - 6.0, y + 4.0),
            style.centred(text, x, y - 7.0),
            style.centred(text, x, y + 16.0),
            style.room(text, x + 6.0, y - 9.0),
            style.ending(text, x - 6.0, y - 9.0),
            style.room(text, x + 6.0, y + 17.0),
            style.ending(text, x - 6.0, y + 17.0),
        ];
        let room = &self.axes.room;
        let within = |spot: &Spot| room.holds(&spot.room);
        spots.into_iter().filter(within).collect()
    }

    pub(super) fn write(
        &self,
        sheet: &mut Sheet,
        text: &str,
        style: Type,
        spots: Vec<Spot>,
    ) -> Option<Spot> {
        let ground = sheet.palette.paper();
        sheet.write_over(text, style, Some(ground), spots)
    }

    /// The Moon in the dark, one tooth per night; as target, where it keeps its
    /// rules.
    fn combs(&self, sheet: &mut Sheet) {
        let mut data = String::new();
        for night in &self.nights {
            let at = self.axes.middle(night.night.date);
            for (from, to) in all_pieces(self.chart.site.zone, &night.night, self.comb(night)) {
                data += &through(&[self.axes.point(at, from), self.axes.point(at, to)]);
            }
        }
        if data.is_empty() {
            return;
        }
        let weight = (0.25 * self.axes.spacing()).clamp(0.4, 1.0);
        let mut comb = stroke(&data, &sheet.palette.faint(), weight);
        comb.assign("data-comb", "moon");
        sheet.draw(comb);
    }

    pub(super) fn comb<'b>(&self, night: &'b NightHours) -> &'b Intervals {
        match self.chart.rules.target.is_moon() {
            true => &night.target,
            false => &night.moon_lit,
        }
    }

    /// Night, sunset and sunrise, and the target's corridor; with their names.
    fn lines(&self, sheet: &mut Sheet) -> Vec<(Vec<Edge>, String)> {
        let zone = self.chart.site.zone;
        let mut named = Vec::new();
        let mut draw = |lines: Vec<Edge>, mark: &str, weight: f64, dash: &str, text: String| {
            for line in &lines {
                let points: Vec<(f64, f64)> = line
                    .iter()
                    .map(|(night, hour)| self.axes.point(*night, *hour))
                    .collect();
                let mut path = stroke(&through(&points), &sheet.palette.ink(), weight);
                path.assign("data-line", mark);
                if !dash.is_empty() {
                    path.assign("stroke-dasharray", dash);
                }
                sheet.draw(path);
                for pair in points.windows(2) {
                    if let [a, b] = pair {
                        sheet.placer.avoid_line(*a, *b, 1.5);
                    }
                }
            }
            named.push((lines, text));
        };
        let sun = self.chart.rules.get::<Band>(&SUN_ALTITUDE);
        let [begins, ends] = match sun {
            Some(band) if band.low.is_finite() => {
                let within = format!("Sun at {band}°");
                [format!("from here: {within}"), "until here".to_owned()]
            }
            Some(band) => [
                format!("night begins: Sun at {}°", band.high),
                "night ends".to_owned(),
            ],
            None => [String::new(), String::new()],
        };
        let target = self.chart.rules.target_name();
        for (bound, night, sun, place) in [
            (
                Bound::Start,
                begins,
                "sunset",
                format!("{target} in place from here"),
            ),
            (
                Bound::End,
                ends,
                "sunrise",
                format!("{target} in place until here"),
            ),
        ] {
            let word = if bound == Bound::Start {
                "begin"
            } else {
                "end"
            };
            let of_night = edges(&self.nights, zone, bound, |night| &night.dark, |_| None);
            draw(of_night, &format!("dark-{word}"), 1.5, "", night);
            if !self.chart.rules.target.is_moon() {
                let of_target = edges(
                    &self.nights,
                    zone,
                    bound,
                    |night| &night.target,
                    |night| Some(&night.out),
                );
                draw(of_target, &format!("target-{word}"), 1.2, "5 3", place);
            }
            let of_sun = edges(&self.nights, zone, bound, |night| &night.sun_down, |_| None);
            draw(of_sun, sun, 0.7, "", sun.to_owned());
        }
        named
    }

    fn stroke_width(&self, window: &Window) -> f64 {
        let (least, most) = STROKE_BOUNDS;
        let full = (STROKE * self.axes.spacing()).clamp(least, most);
        let thin = self.chart.kinds.len() > 1 && window.light == LightKind::Dark;
        if thin { THIN * full } else { full }
    }

    fn windows(&self, sheet: &mut Sheet) {
        for night in &self.nights {
            let mut windows: Vec<&Window> = night.windows.iter().collect();
            // A thin stroke never lies on a heavy one.
            windows.sort_by_key(|window| window.light != LightKind::Dark);
            for window in windows {
                let width = self.stroke_width(window);
                self.period(sheet, night, window, &window.interval, ("window", width));
                if let Some(land) = &window.land {
                    self.period(sheet, night, window, &land.interval, ("moonlit", width));
                }
            }
        }
    }

    fn period(
        &self,
        sheet: &mut Sheet,
        night: &NightHours,
        window: &Window,
        interval: &Interval,
        (mark, width): (&str, f64),
    ) {
        let at = self.axes.middle(night.night.date);
        for (from, to) in wall_pieces(self.chart.site.zone, &night.night, interval) {
            let (a, b) = (self.axes.point(at, from), self.axes.point(at, to));
            let mut line = stroke(&through(&[a, b]), &sheet.palette.ink(), width);
            line.assign("data-stroke", mark);
            line.assign("data-night", night.night.date.to_string());
            line.assign("data-light", window.light.word());
            line.assign("data-score", format!("{:.2}", window.score));
            if mark == "moonlit" {
                line.assign("stroke-dasharray", "1.6 1.6");
            }
            sheet.draw(line);
            sheet.placer.avoid_line(a, b, 0.5 * width + 1.0);
        }
    }

    /// Nights that one change would add, as outlines.
    fn outlines(&self, sheet: &mut Sheet) {
        let (_, most) = STROKE_BOUNDS;
        let width = (STROKE * self.axes.spacing()).clamp(OUTLINE, most.max(OUTLINE));
        for window in self.added().flat_map(|added| &added.windows) {
            let Some(night) = self.night_of(window) else {
                continue;
            };
            let at = self.axes.middle(window.night);
            for (from, to) in wall_pieces(self.chart.site.zone, &night.night, &window.interval) {
                let (a, b) = (self.axes.point(at, from), self.axes.point(at, to));
                let half = 0.5 * width;
                let room = match self.axes.down {
                    true => Room {
                        left: a.0,
                        top: a.1 - half,
                        width: b.0 - a.0,
                        height: width,
                    },
                    false => Room {
                        left: a.0 - half,
                        top: a.1,
                        width,
                        height: b.1 - a.1,
                    },
                };
                let mut outline = rectangle(room);
                outline.assign("fill", sheet.palette.paper());
                outline.assign("stroke", sheet.palette.ink());
                outline.assign("stroke-width", "0.9");
                outline.assign("data-outline", window.night.to_string());
                sheet.draw(outline);
                sheet.placer.avoid_line(a, b, half + 1.0);
            }
        }
    }

    pub(super) fn added(&self) -> impl Iterator<Item = &WouldAdd> {
        self.chart.would_add.iter()
    }

    fn night_of(&self, window: &Window) -> Option<&NightHours> {
        let mut nights = self.nights.iter();
        nights.find(|night| night.night.date == window.night)
    }

    /// The middle of a window on the sheet, if the panel has its night.
    pub(super) fn middle_of(&self, window: &Window) -> Option<(f64, f64)> {
        let night = self.night_of(window)?;
        let middle = 0.5 * (window.interval.start + window.interval.end);
        let hour = wall_hour(self.chart.site.zone, night.night.date, middle);
        Some(self.axes.point(self.axes.middle(window.night), hour))
    }

    /// Eclipses and changes of the clocks, as ticks with words.
    fn ticks(&self, sheet: &mut Sheet) {
        let zone = self.chart.site.zone;
        let mut ticks = Vec::new();
        for night in &self.nights {
            let at = self.axes.middle(night.night.date);
            if let Some(eclipse) = &night.eclipse {
                let greatest = zone.local(eclipse.greatest);
                let kind = eclipse_word(eclipse.kind);
                let date = greatest.format("%-d %b %H:%M");
                ticks.push((at, format!("{kind} lunar eclipse {date}"), "eclipse"));
            }
            for (moment, offset) in zone.offset_changes(night.night.start, night.night.end) {
                let before = zone.offset_seconds_at(moment.plus_seconds(-1.0));
                let way = if offset > before { "forward" } else { "back" };
                let date = zone.local(moment).format("%-d %b");
                ticks.push((at, format!("clocks go {way} {date}"), "clock-change"));
            }
        }
        for (at, text, mark) in ticks {
            let edge = if self.axes.down {
                self.axes.hours.1
            } else {
                self.axes.hours.0
            };
            let (x, y) = self.axes.point(at, edge);
            let (from, to) = match self.axes.down {
                true => ((x - 8.0, y), (x, y)),
                false => ((x, y - 5.0), (x, y + 5.0)),
            };
            let mut tick = element("path", [("d", through(&[from, to]))]);
            tick.assign("stroke", sheet.palette.ink());
            tick.assign("stroke-width", px(1.2));
            tick.assign("data-tick", mark);
            sheet.draw(tick);
            let spots = match self.axes.down {
                true => vec![
                    Type::SMALL.ending(&text, x - 11.0, y + 4.0),
                    Type::SMALL.ending(&text, x - 11.0, y - 9.0),
                    Type::SMALL.ending(&text, x - 11.0, y + 17.0),
                ],
                false => vec![
                    Type::SMALL.centred(&text, x, y - 8.0),
                    Type::SMALL.ending(&text, x + 4.0, y - 8.0),
                    Type::SMALL.room(&text, x - 4.0, y - 8.0),
                    Type::SMALL.room(&text, x + 4.0, y + 14.0),
                    Type::SMALL.ending(&text, x - 4.0, y + 14.0),
                ],
            };
            self.write(sheet, &text, Type::SMALL, spots);
        }
    }
}

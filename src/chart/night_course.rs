//! The courses of Moon and target through the directions of a night.

use super::{
    caption::whole,
    night::NightChart,
    night_axes::{Across, TimeAxis},
    night_view::Field,
    sheet::{Sheet, Type, element, stroke, through},
};
use crate::{
    ephemeris::{Horizontal, Moment},
    report::words::{eclipse_name, lux},
    rule::{Conditions, offset_deg},
};

/// Width of the target's line, pixels: with no contrast kept, and the gain for
/// all of it.
const TARGET_WIDTH: (f64, f64) = (1.4, 8.0);
/// Width of the Moon's line, pixels: without light, and the gain for each
/// doubling of the light from `FAINT_LUX` on.
const MOON_WIDTH: (f64, f64) = (1.6, 1.5);
/// Moonlight that is hardly one step, lux: half the light of the thinnest
/// crescents that rake.
const FAINT_LUX: f64 = 0.000_15;
/// Least width of a line that is drawn empty or hatched, pixels.
const ECLIPSED_WIDTH: f64 = 6.0;

/// The width of the Moon's line at this much light on level ground, pixels.
pub fn moon_width(moonlight_lux: f64) -> f64 {
    MOON_WIDTH.0 + MOON_WIDTH.1 * (1.0 + moonlight_lux / FAINT_LUX).log2()
}

/// How a part of the Moon's line is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fill {
    Full,
    Rungs,
    Umbra,
    Total,
}

/// A body.
struct Course<'a> {
    chart: &'a NightChart<'a>,
    name: &'static str,
    words: String,
    is_moon: bool,
    /// Whether it is compared with the terrain that the subject sees.
    of_land: bool,
}

/// Draws the courses, then their words.
pub fn draw(
    sheet: &mut Sheet,
    chart: &NightChart<'_>,
    time: &TimeAxis,
    across: &Across,
    field: &Field,
) {
    let of_moon = chart.plan.rules.target.is_moon();
    let target = Course {
        chart,
        name: "target",
        words: chart.plan.rules.target_name().to_owned(),
        is_moon: false,
        of_land: false,
    };
    let moon = Course {
        chart,
        name: "moon",
        words: "Moon".to_owned(),
        is_moon: true,
        of_land: !of_moon,
    };
    // A Moon that is the target is one body, with one line.
    let mut courses = vec![target, moon];
    courses.retain(|course| course.is_moon || !of_moon);
    for course in &courses {
        course.lines(sheet, time, across);
    }
    for course in &courses {
        course.at_best(sheet, time, across, field);
    }
    for course in &courses {
        course.name(sheet, time, across, field);
    }
    for course in &courses {
        course.figures(sheet, time, across, field);
        course.behind(sheet, time, across, field);
    }
}

impl Course<'_> {
    fn place(&self, instant: &Conditions) -> Horizontal {
        match self.is_moon {
            true => instant.sky.moon,
            false => instant.sky.target,
        }
    }

    fn offset(&self, instant: &Conditions) -> f64 {
        offset_deg(self.place(instant).azimuth_deg, instant.facing_deg)
    }

    fn width(&self, instant: &Conditions) -> f64 {
        let light = &instant.light;
        match self.is_moon {
            true => moon_width(light.moonlight_lux),
            false => TARGET_WIDTH.0 + TARGET_WIDTH.1 * light.contrast_kept,
        }
    }

    fn point(&self, time: &TimeAxis, across: &Across, instant: &Conditions) -> (f64, f64) {
        (
            across.x(self.offset(instant)),
            time.y(instant.moment().seconds()),
        )
    }

    /// Whether the body is worth a line at an instant: the target in the dark,
    /// the Moon once the Sun is down or where that never sinks.
    fn counts(&self, time: &TimeAxis, instant: &Conditions) -> bool {
        let chart = self.chart;
        let place = self.place(instant);
        let of_moon = chart.plan.rules.target.is_moon();
        let sun_down = instant.sky.sun.altitude_deg < -50.0 / 60.0;
        let seen = match self.is_moon {
            true => of_moon || sun_down || chart.plan.steps_below_sun_deg.is_none(),
            false => chart.is_dark(instant),
        };
        seen && time.shows(instant.moment()) && place.apparent_altitude_deg > 0.0
    }

    /// Whether it stands free of the terrain.
    fn is_free(&self, instant: &Conditions) -> bool {
        let place = self.place(instant);
        let terrain = self.chart.terrain(self.of_land);
        let ridge = terrain.map_or(0.0, |terrain| terrain.altitude_deg_at(place.azimuth_deg));
        place.apparent_altitude_deg >= ridge
    }

    /// How its line is filled at an instant.
    fn fill(&self, moment: Moment) -> Fill {
        if !self.is_moon {
            return Fill::Rungs;
        }
        let within = |span: Option<[Moment; 2]>| {
            span.is_some_and(|[from, to]| (from..=to).contains(&moment))
        };
        let mut eclipses = self.chart.eclipses.iter();
        match eclipses.find(|eclipse| within(eclipse.partial)) {
            Some(eclipse) if within(eclipse.total) => Fill::Total,
            Some(_) => Fill::Umbra,
            None => Fill::Full,
        }
    }

    /// Runs of instants for which something holds; across an edge of the
    /// picture's back there is no line.
    fn runs(&self, holds: impl Fn(&Conditions) -> bool) -> Vec<Vec<&Conditions>> {
        let mut runs: Vec<Vec<&Conditions>> = Vec::new();
        let mut last: Option<&Conditions> = None;
        for instant in &self.chart.series.instants {
            if !holds(instant) {
                last = None;
                continue;
            }
            let turned =
                |before: &Conditions| (self.offset(before) - self.offset(instant)).abs() > 180.0;
            match (runs.last_mut(), last) {
                (Some(run), Some(before)) if !turned(before) => run.push(instant),
                _ => runs.push(vec![instant]),
            }
            last = Some(instant);
        }
        runs.retain(|run| run.len() > 1);
        runs
    }

    fn lines(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across) {
        let ink = sheet.palette.ink();
        let shown =
            |instant: &Conditions| self.counts(time, instant) && across.shows(self.offset(instant));
        for run in self.runs(|instant| shown(instant) && !self.is_free(instant)) {
            let points: Vec<_> = run.iter().map(|i| self.point(time, across, i)).collect();
            let mut line = stroke(&through(&points), &ink, 1.4);
            for (key, value) in [
                ("stroke-dasharray", "2 3.5".to_owned()),
                ("data-behind-terrain", self.name.to_owned()),
            ] {
                svg::Node::assign(&mut line, key, value);
            }
            sheet.draw(line);
            avoid(sheet, &points, 3.0);
        }
        for fill in [Fill::Full, Fill::Rungs, Fill::Umbra, Fill::Total] {
            let runs = self.runs(|instant| {
                let own = self.fill(instant.moment()) == fill;
                own && shown(instant) && self.is_free(instant)
            });
            for run in runs {
                self.ribbon(sheet, time, across, &run, fill);
            }
        }
    }

    fn ribbon(
        &self,
        sheet: &mut Sheet,
        time: &TimeAxis,
        across: &Across,
        run: &[&Conditions],
        fill: Fill,
    ) {
        let ink = sheet.palette.ink();
        let points: Vec<_> = run.iter().map(|i| self.point(time, across, i)).collect();
        let mut one = Vec::with_capacity(2 * points.len());
        let mut other = Vec::with_capacity(points.len());
        for (index, (instant, (x, y))) in run.iter().zip(&points).enumerate() {
            let near = |index: Option<usize>| {
                index
                    .and_then(|index| points.get(index))
                    .copied()
                    .unwrap_or((*x, *y))
            };
            let (before, after) = (near(index.checked_sub(1)), near(Some(index + 1)));
            let (dx, dy) = (after.0 - before.0, after.1 - before.1);
            let length = dx.hypot(dy).max(1e-9);
            let least = match fill {
                Fill::Umbra | Fill::Total => ECLIPSED_WIDTH,
                Fill::Full | Fill::Rungs => 0.0,
            };
            let width = self.width(instant).max(least);
            let (nx, ny) = (0.5 * width * dy / length, -0.5 * width * dx / length);
            one.push((x + nx, y + ny));
            other.push((x - nx, y - ny));
        }
        other.reverse();
        one.extend(other);
        let data = format!("{}Z", through(&one));
        let base = |fill: String| {
            element(
                "path",
                [
                    ("d", data.clone()),
                    ("fill", fill),
                    ("stroke", ink.clone()),
                    ("stroke-width", "1".to_owned()),
                ],
            )
        };
        let ground = match fill {
            Fill::Full => ink.clone(),
            _ => sheet.palette.paper(),
        };
        let mut ribbon = base(ground);
        for (key, value) in [
            ("data-line", self.name.to_owned()),
            ("data-points", points.len().to_string()),
            ("data-fill", format!("{fill:?}").to_lowercase()),
        ] {
            svg::Node::assign(&mut ribbon, key, value);
        }
        sheet.draw(ribbon);
        let texture = match fill {
            Fill::Rungs => Some("rungs"),
            Fill::Umbra => Some("slant"),
            Fill::Full | Fill::Total => None,
        };
        if let Some(texture) = texture {
            let fill = sheet.url(texture);
            sheet.draw(base(fill));
        }
        for (instant, (x, y)) in run.iter().zip(&points) {
            let half = 0.5 * self.width(instant);
            sheet.placer.avoid(*x, *y, half + 1.0);
        }
        avoid(sheet, &points, 2.0);
    }

    /// Where its line is at an instant, if it is drawn there and free.
    fn spot(
        &self,
        time: &TimeAxis,
        across: &Across,
        instant: &Conditions,
    ) -> Option<(f64, f64, f64)> {
        let shown = self.counts(time, instant) && across.shows(self.offset(instant));
        let (x, y) = self.point(time, across, instant);
        (shown && self.is_free(instant)).then(|| (x, y, 0.5 * self.width(instant) + 5.0))
    }

    /// Writes altitude and light at the best instants.
    fn at_best(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across, field: &Field) {
        for stretch in self.chart.stretches() {
            let instant = &stretch.at_best;
            let Some((x, y, off)) = self.spot(time, across, instant) else {
                continue;
            };
            let style = Type::STRONG;
            let text = whole(self.place(instant).apparent_altitude_deg);
            let beside = |style: Type, text: &str, baseline: f64| {
                [
                    style.ending(text, x - off, baseline),
                    style.room(text, x + off, baseline),
                ]
            };
            let rows = [y - 4.0, y + 14.0, y - 17.0, y + 27.0];
            let (from, to) = (stretch.interval.start, stretch.interval.end);
            // Outside the window it would be taken for what holds there.
            let within = |row: &f64| time.y(from) < row - 9.0 && row + 2.0 < time.y(to);
            let inside = rows.into_iter().filter(within);
            let inside = inside.flat_map(|row| beside(style, &text, row));
            if !field.write(sheet, &text, style, inside) {
                let spots = rows.into_iter().flat_map(|row| beside(style, &text, row));
                field.write(sheet, &text, style, spots);
            }
            if self.is_moon && instant.is_moonlit() {
                let text = format!("{} lux", lux(instant.light.moonlight_lux));
                let rows = [y + 13.0, y - 17.0, y + 26.0];
                let spots = rows
                    .into_iter()
                    .filter(within)
                    .flat_map(|row| beside(Type::SMALL, &text, row));
                field.write(sheet, &text, Type::SMALL, spots);
            }
        }
    }

    /// Writes the altitude at whole hours.
    fn figures(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across, field: &Field) {
        for instant in &self.chart.hours {
            let Some((x, y, off)) = self.spot(time, across, instant) else {
                continue;
            };
            let style = Type::SMALL;
            let text = whole(self.place(instant).apparent_altitude_deg);
            let spots = [
                style.room(&text, x + off, y + 4.0),
                style.ending(&text, x - off, y + 4.0),
                style.room(&text, x + off + 16.0, y + 4.0),
                style.ending(&text, x - off - 16.0, y + 4.0),
            ];
            field.write(sheet, &text, style, spots);
        }
    }

    /// Writes the name beside the line, and what an eclipse does to it.
    fn name(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across, field: &Field) {
        let instants = self.chart.series.instants.iter();
        let spots: Vec<_> = instants
            .filter_map(|instant| Some((self.spot(time, across, instant)?, instant)))
            .collect();
        let beside = |style: Type, text: &str, all: &[(f64, f64, f64)]| {
            let mut rooms = Vec::new();
            for (x, y, off) in middle_out(all) {
                rooms.push(style.ending(text, x - off, y + 4.5));
                rooms.push(style.room(text, x + off, y + 4.5));
            }
            rooms
        };
        let all: Vec<_> = spots.iter().map(|(spot, _)| *spot).collect();
        let rooms = beside(Type::STRONG, &self.words, &all);
        field.write(sheet, &self.words, Type::STRONG, rooms);
        if !self.is_moon {
            return;
        }
        for eclipse in &self.chart.eclipses {
            let during: Vec<_> = spots
                .iter()
                .filter(|(_, instant)| {
                    let span = eclipse.total.or(eclipse.partial);
                    span.is_some_and(|[from, to]| (from..=to).contains(&instant.moment()))
                })
                .map(|(spot, _)| *spot)
                .collect();
            let text = eclipse_name(eclipse.kind);
            let rooms = beside(Type::SMALL_STRONG, &text, &during);
            field.write(sheet, &text, Type::SMALL_STRONG, rooms);
        }
    }

    /// Says at the edge that a body which is up stands behind the camera.
    fn behind(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across, field: &Field) {
        let style = Type::SMALL;
        let text = format!("{} behind you", self.words);
        let away = |instant: &Conditions| {
            let left = !across.shows(self.offset(instant));
            left && self.counts(time, instant) && self.is_free(instant)
        };
        for run in self.runs(away) {
            let rows: Vec<(f64, f64, f64)> = run
                .iter()
                .map(|instant| {
                    (
                        self.offset(instant),
                        time.y(instant.moment().seconds()),
                        0.0,
                    )
                })
                .collect();
            let spots: Vec<_> = middle_out(&rows)
                .map(|(offset, y, _)| match offset < 0.0 {
                    true => style.room(&text, across.left + 3.0, y + 4.0),
                    false => style.ending(&text, across.right - 3.0, y + 4.0),
                })
                .collect();
            let told = field.write(sheet, &text, style, spots);
            let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
                continue;
            };
            if told {
                let x = match first.0 < 0.0 {
                    true => across.left,
                    false => across.right,
                };
                let ink = sheet.palette.ink();
                let width = if self.is_moon { 2.4 } else { 1.2 };
                let mut line = stroke(&through(&[(x, first.1), (x, last.1)]), &ink, width);
                svg::Node::assign(&mut line, "data-behind-camera", self.name);
                sheet.draw(line);
            }
        }
    }
}

fn avoid(sheet: &mut Sheet, points: &[(f64, f64)], radius: f64) {
    for pair in points.windows(2) {
        if let [a, b] = pair {
            sheet.placer.avoid_line(*a, *b, radius);
        }
    }
}

/// The items in order from the middle outward.
fn middle_out<T: Copy>(items: &[T]) -> impl Iterator<Item = T> + '_ {
    let middle = items.len() / 2;
    (0..=items.len()).flat_map(move |step| {
        [
            middle.checked_sub(step),
            (step > 0).then_some(middle + step),
        ]
        .into_iter()
        .flatten()
        .filter_map(|index| items.get(index).copied())
    })
}

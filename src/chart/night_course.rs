//! The courses of Moon and target through the directions of a night.

use super::{
    night::NightChart,
    night_axes::{Across, TimeAxis},
    night_view::Field,
    sheet::{Sheet, element, stroke, through},
};
use crate::{
    ephemeris::{Horizontal, Moment},
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
pub struct Course<'a> {
    pub(super) chart: &'a NightChart<'a>,
    pub(super) name: &'static str,
    pub(super) words: String,
    pub(super) is_moon: bool,
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
    pub(super) fn place(&self, instant: &Conditions) -> Horizontal {
        match self.is_moon {
            true => instant.sky.moon,
            false => instant.sky.target,
        }
    }

    pub(super) fn offset(&self, instant: &Conditions) -> f64 {
        offset_deg(self.place(instant).azimuth_deg, instant.facing_deg)
    }

    pub(super) fn width(&self, instant: &Conditions) -> f64 {
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
    pub(super) fn counts(&self, time: &TimeAxis, instant: &Conditions) -> bool {
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
    pub(super) fn is_free(&self, instant: &Conditions) -> bool {
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
    pub(super) fn runs(&self, holds: impl Fn(&Conditions) -> bool) -> Vec<Vec<&Conditions>> {
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
    pub(super) fn spot(
        &self,
        time: &TimeAxis,
        across: &Across,
        instant: &Conditions,
    ) -> Option<(f64, f64, f64)> {
        let shown = self.counts(time, instant) && across.shows(self.offset(instant));
        let (x, y) = self.point(time, across, instant);
        (shown && self.is_free(instant)).then(|| (x, y, 0.5 * self.width(instant) + 5.0))
    }
}

fn avoid(sheet: &mut Sheet, points: &[(f64, f64)], radius: f64) {
    for pair in points.windows(2) {
        if let [a, b] = pair {
            sheet.placer.avoid_line(*a, *b, radius);
        }
    }
}

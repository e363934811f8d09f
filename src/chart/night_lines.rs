//! The lines of Moon and target: the more light or contrast, the wider.

use super::{
    caption::lux,
    night_axes::{Axes, NightChart},
    placer::Spot,
    sheet::{Sheet, Type, element, stroke, through},
};
use crate::{ephemeris::Horizontal, rule::Conditions};

/// Width of the Moon's line, pixels: at 0 lux, and the gain per square root of
/// a lux.
const MOON_WIDTH: (f64, f64) = (1.6, 30.0);
/// Width of the target's line, pixels: with no contrast kept, and the gain for
/// all of it.
const TARGET_WIDTH: (f64, f64) = (1.2, 9.0);

/// A body.
struct Course<'a> {
    name: &'static str,
    place: fn(&Conditions) -> Horizontal,
    width: fn(&Conditions) -> f64,
    hollow: bool,
    /// Whether it is compared with the terrain that the subject sees.
    of_land: bool,
    words: String,
    instants: &'a [&'a Conditions],
}

/// Draws terrain, target and Moon, then their labels.
pub fn draw(chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
    let instants = chart.shown(axes);
    let target = chart.rules.target_name();
    let best_lux = instants
        .iter()
        .map(|instant| instant.light.moonlight_lux)
        .fold(0.0, f64::max);
    let up = |place: fn(&Conditions) -> Horizontal| {
        instants
            .iter()
            .filter(move |instant| place(instant).apparent_altitude_deg > 0.0)
            .copied()
            .collect::<Vec<&Conditions>>()
    };
    let kept = up(|instant| instant.sky.target)
        .iter()
        .map(|instant| instant.light.contrast_kept)
        .fold(0.0, f64::max);
    let of_moon = chart.rules.target.is_moon();
    let mut courses = vec![
        Course {
            name: "target",
            place: |instant| instant.sky.target,
            width: |instant| TARGET_WIDTH.0 + TARGET_WIDTH.1 * instant.light.contrast_kept,
            hollow: true,
            of_land: false,
            words: format!("{target}, keeps up to {:.0}% of its contrast", 100.0 * kept),
            instants: &instants,
        },
        Course {
            name: "moon",
            place: |instant| instant.sky.moon,
            width: |instant| MOON_WIDTH.0 + MOON_WIDTH.1 * instant.light.moonlight_lux.sqrt(),
            hollow: false,
            of_land: !of_moon,
            words: format!("Moon, up to {}", lux(best_lux)),
            instants: &instants,
        },
    ];
    // A Moon that is the target is one body, with one line.
    courses.retain(|course| !(of_moon && course.hollow));
    for series in &courses {
        series.ridge(chart, sheet, axes);
    }
    for series in &courses {
        series.ribbon(chart, sheet, axes);
    }
    for series in &courses {
        series.ridge_label(chart, sheet, axes);
    }
    for series in &courses {
        series.label(chart, sheet, axes);
    }
}

impl Course<'_> {
    fn point(&self, axes: &Axes, instant: &Conditions) -> (f64, f64) {
        (
            axes.x(instant.moment().seconds()),
            axes.y((self.place)(instant).apparent_altitude_deg),
        )
    }

    /// Runs of instants for which something holds.
    fn runs(&self, holds: impl Fn(&Conditions) -> bool) -> Vec<&[&Conditions]> {
        self.instants
            .split(|instant| !holds(instant))
            .filter(|run| run.len() > 1)
            .collect()
    }

    /// Draws the skyline below the body while the body is up.
    fn ridge(&self, chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
        for points in self.ridge_runs(chart, axes) {
            let ink = sheet.palette.ink();
            let mut line = stroke(&through(&points), &ink, 0.9);
            svg::Node::assign(&mut line, "data-terrain", self.name);
            sheet.draw(line);
            // Strokes down into the land distinguish the skyline from other
            // lines; those of the target's terrain lean the other way.
            let lean = if self.hollow { 3.0 } else { -3.0 };
            let mut strokes = String::new();
            for (x, y) in points.iter().step_by(6) {
                let depth = (axes.y(0.0) - y).clamp(0.0, 6.0);
                strokes.push_str(&through(&[(*x, *y), (x + lean, y + depth)]));
            }
            sheet.draw(stroke(&strokes, &ink, 0.6));
            for pair in points.windows(2) {
                if let [a, b] = pair {
                    sheet.placer.avoid_line(*a, *b, 2.0);
                }
            }
        }
    }

    /// The skyline below the body while it is above the horizon, as points of
    /// the diagram.
    fn ridge_runs(&self, chart: &NightChart<'_>, axes: &Axes) -> Vec<Vec<(f64, f64)>> {
        let Some(terrain) = chart.terrain(self.of_land) else {
            return Vec::new();
        };
        self.runs(|instant| (self.place)(instant).apparent_altitude_deg > -2.0)
            .into_iter()
            .map(|run| {
                run.iter()
                    .map(|instant| {
                        let ridge = terrain.altitude_deg_at((self.place)(instant).azimuth_deg);
                        (axes.x(instant.moment().seconds()), axes.y(ridge.max(0.0)))
                    })
                    .collect()
            })
            .collect()
    }

    /// Labels the skyline. It comes after all the lines, to keep clear of them.
    fn ridge_label(&self, chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
        let text = format!(
            "terrain under the {}",
            if self.hollow {
                chart.rules.target_name()
            } else {
                "Moon"
            }
        );
        for points in self.ridge_runs(chart, axes) {
            let spots: Vec<_> = middle_out(&points)
                .flat_map(|(x, y)| {
                    [y + 18.0, y - 7.0].map(|baseline| Type::SMALL.centred(&text, x, baseline))
                })
                .filter(|spot| spot.top + spot.height < axes.y(0.0) + 1.0)
                .filter(|spot| axes.room().holds(spot))
                .collect();
            write_on_sky(chart, sheet, axes, (&text, Type::SMALL), spots);
        }
    }

    fn ribbon(&self, chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
        let terrain = chart.terrain(self.of_land);
        let free = |instant: &Conditions| {
            let place = (self.place)(instant);
            let ridge = terrain.map_or(0.0, |terrain| terrain.altitude_deg_at(place.azimuth_deg));
            place.apparent_altitude_deg >= ridge.max(0.0)
        };
        let hidden = |instant: &Conditions| {
            (self.place)(instant).apparent_altitude_deg > -1.0 && !free(instant)
        };
        let ink = sheet.palette.ink();
        for run in self.runs(hidden) {
            let points: Vec<_> = run.iter().map(|i| self.point(axes, i)).collect();
            let mut line = stroke(&through(&points), &ink, 1.6);
            for (key, value) in [
                ("stroke-dasharray", "1.6 4".to_owned()),
                ("stroke-linecap", "butt".to_owned()),
                ("clip-path", sheet.url("diagram")),
                ("data-behind-terrain", self.name.to_owned()),
            ] {
                svg::Node::assign(&mut line, key, value);
            }
            sheet.draw(line);
            self.avoid(sheet, &points, 3.0);
        }
        for run in self.runs(free) {
            let points: Vec<_> = run.iter().map(|i| self.point(axes, i)).collect();
            let mut upper = Vec::with_capacity(points.len());
            let mut lower = Vec::with_capacity(points.len());
            for (index, (instant, (x, y))) in run.iter().zip(&points).enumerate() {
                let before = points
                    .get(index.saturating_sub(1))
                    .copied()
                    .unwrap_or((*x, *y));
                let after = points.get(index + 1).copied().unwrap_or((*x, *y));
                let (dx, dy) = (after.0 - before.0, after.1 - before.1);
                let length = dx.hypot(dy).max(1e-9);
                let half = 0.5 * (self.width)(instant);
                let (nx, ny) = (dy / length * half, -dx / length * half);
                upper.push((x + nx, y + ny));
                lower.push((x - nx, y - ny));
            }
            lower.reverse();
            upper.extend(lower);
            let fill = if self.hollow {
                sheet.palette.paper()
            } else {
                ink.clone()
            };
            let base = |fill: String| {
                element(
                    "path",
                    [
                        ("d", format!("{}Z", through(&upper))),
                        ("fill", fill),
                        ("stroke", ink.clone()),
                        ("stroke-width", "1.2".to_owned()),
                        ("clip-path", sheet.url("diagram")),
                    ],
                )
            };
            let mut ribbon = base(fill);
            svg::Node::assign(&mut ribbon, "data-line", self.name);
            svg::Node::assign(&mut ribbon, "data-points", points.len().to_string());
            let texture = self.hollow.then(|| base(sheet.url("rungs")));
            sheet.draw(ribbon);
            if let Some(texture) = texture {
                sheet.draw(texture);
            }
            let widest = run.iter().map(|i| (self.width)(i)).fold(0.0, f64::max);
            self.avoid(sheet, &points, 0.5 * widest + 3.0);
        }
    }

    fn avoid(&self, sheet: &mut Sheet, points: &[(f64, f64)], radius: f64) {
        for pair in points.windows(2) {
            if let [a, b] = pair {
                sheet.placer.avoid_line(*a, *b, radius);
            }
        }
    }

    fn label(&self, chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
        let up: Vec<(f64, f64)> = self
            .instants
            .iter()
            .filter(|instant| (self.place)(instant).apparent_altitude_deg > 0.0)
            .map(|instant| self.point(axes, instant))
            .collect();
        if up.is_empty() {
            return;
        }
        let style = Type::STRONG;
        let mut rooms = Vec::new();
        for (x, y) in middle_out(&up) {
            for offset in [-13.0, 24.0] {
                rooms.push(style.centred(&self.words, x, y + offset));
            }
            rooms.push(style.room(&self.words, x + 14.0, y + 5.0));
            rooms.push(style.ending(&self.words, x - 14.0, y + 5.0));
        }
        let inside = axes.room();
        rooms.retain(|room| inside.holds(room));
        let placed = write_on_sky(chart, sheet, axes, (&self.words, style), rooms);
        if !placed {
            let anywhere = (0..20).map(|row| {
                let y = inside.top + 20.0 + 16.0 * f64::from(row);
                style.room(&self.words, inside.left + 8.0, y)
            });
            sheet.write(&self.words, style, anywhere);
        }
    }
}

/// Writes words with the sky's grey around their letters; the result says
/// whether there was room.
fn write_on_sky(
    chart: &NightChart<'_>,
    sheet: &mut Sheet,
    axes: &Axes,
    (text, style): (&str, Type),
    spots: Vec<Spot>,
) -> bool {
    let Some(spot) = sheet.placer.place(text, spots) else {
        return false;
    };
    let ground = chart.ground_at(sheet, axes, spot.left + 0.5 * spot.width);
    sheet.set(text, style, Some(ground), spot);
    true
}

/// The points in order from the middle outward.
fn middle_out(points: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> + '_ {
    let middle = points.len() / 2;
    (0..=points.len()).flat_map(move |step| {
        [
            middle.checked_sub(step),
            (step > 0).then_some(middle + step),
        ]
        .into_iter()
        .flatten()
        .filter_map(|index| points.get(index).copied())
    })
}

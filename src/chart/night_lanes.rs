//! Altitude, contrast and land against sky through a night, beside its diagram.

use super::{
    caption::whole,
    night::{NightChart, Stretch},
    night_axes::TimeAxis,
    sheet::{Sheet, Type, px, stroke, through},
};
use crate::{Figure, report::words::stops, rule::Conditions, why::PeriodKind};

/// Room for the lanes, pixels.
pub const WIDTH: f64 = 176.0;
const GAP: f64 = 14.0;

/// A value of an instant; `None` where it means nothing.
type Value = fn(&Conditions) -> Option<f64>;

/// A lane.
struct Lane {
    heading: [&'static str; 3],
    width: f64,
    lines: Vec<(&'static str, Value)>,
    /// The least and greatest value that its axis always has.
    always: (f64, f64),
    /// Its axis begins and ends at a multiple of this.
    step: f64,
    words: fn(f64) -> String,
    /// How its axis is marked.
    mark: fn(f64) -> String,
}

/// Whether a night has any: it gets dark.
pub fn are_drawn(chart: &NightChart<'_>) -> bool {
    let mut instants = chart.series.instants.iter();
    !chart.plan.rules.target.is_moon() && instants.any(|instant| chart.is_dark(instant))
}

fn up(altitude_deg: f64) -> Option<f64> {
    (altitude_deg > 0.0).then_some(altitude_deg)
}

fn lanes() -> [Lane; 3] {
    [
        Lane {
            heading: ["altitude", "", ""],
            width: 58.0,
            lines: vec![
                ("target", |i| up(i.sky.target.apparent_altitude_deg)),
                ("moon", |i| up(i.sky.moon.apparent_altitude_deg)),
            ],
            always: (0.0, 10.0),
            step: 10.0,
            words: whole,
            mark: whole,
        },
        Lane {
            heading: ["Milky Way", "sky = 1", ""],
            width: 38.0,
            lines: vec![("contrast", |i| {
                i.light
                    .milky_way_contrast
                    .filter(|_| i.sky.target.apparent_altitude_deg > 0.0)
            })],
            always: (0.0, 1.0),
            step: 0.5,
            words: |value| format!("{:.2}", Figure(value)),
            mark: |value| format!("{}", Figure(value)),
        },
        Lane {
            heading: ["land stops", "- darker", ""],
            width: 46.0,
            lines: vec![("land", |i| Some(i.light.land_vs_sky_stops))],
            always: (0.0, 0.0),
            step: 1.0,
            words: stops,
            mark: |value| format!("{}", Figure(value)),
        },
    ]
}

/// Draws the lanes from `left` on.
pub fn draw(sheet: &mut Sheet, chart: &NightChart<'_>, time: &TimeAxis, left: f64) {
    let mut x = left + 6.0;
    for lane in lanes() {
        lane.draw(sheet, chart, time, x);
        x += lane.width + GAP;
    }
}

impl Lane {
    /// The least and greatest value of its axis: those of the dark hours.
    fn range(&self, instants: &[&Conditions]) -> (f64, f64) {
        let values = self
            .lines
            .iter()
            .flat_map(|(_, value)| instants.iter().filter_map(|instant| value(instant)));
        let (low, high) = values.fold(self.always, |(low, high), value| {
            (low.min(value), high.max(value))
        });
        (
            (low / self.step).floor() * self.step,
            (high / self.step).ceil() * self.step,
        )
    }

    fn draw(&self, sheet: &mut Sheet, chart: &NightChart<'_>, time: &TimeAxis, left: f64) {
        let instants: Vec<&Conditions> = chart
            .series
            .instants
            .iter()
            .filter(|instant| chart.is_dark(instant) && time.shows(instant.moment()))
            .collect();
        let (low, high) = self.range(&instants);
        let x = |value: f64| left + self.width * (value - low) / (high - low).max(1e-9);
        let ink = sheet.palette.ink();
        let style = Type::TINY;
        for (row, line) in self
            .heading
            .iter()
            .filter(|line| !line.is_empty())
            .enumerate()
        {
            let count = self.heading.iter().filter(|line| !line.is_empty()).count();
            let y = time.top - 16.0 - 11.5 * (count - 1 - row.min(count - 1)) as f64;
            let spots = [style.centred(line, left + 0.5 * self.width, y)];
            sheet.write(line, style, spots);
        }
        let middle = (low < 0.0 && 0.0 < high).then_some(0.0);
        for value in [Some(low), middle, Some(high)].into_iter().flatten() {
            sheet.faint_line((x(value), time.top), (x(value), time.bottom), 0.6);
            let text = (self.mark)(value);
            let spots = [style.centred(&text, x(value), time.top - 4.0)];
            sheet.write(&text, style, spots);
        }
        for (name, value) in &self.lines {
            let runs = instants.split(|instant| value(instant).is_none());
            for run in runs.filter(|run| run.len() > 1) {
                let points: Vec<(f64, f64)> = run
                    .iter()
                    .filter_map(|i| Some((x(value(i)?), time.y(i.moment().seconds()))))
                    .collect();
                let weight = if *name == "moon" { 2.2 } else { 1.1 };
                let mut line = stroke(&through(&points), &ink, weight);
                for (key, text) in [
                    ("data-lane", (*name).to_owned()),
                    ("data-left", px(left)),
                    ("data-width", px(self.width)),
                    ("data-low", format!("{low}")),
                    ("data-high", format!("{high}")),
                ] {
                    svg::Node::assign(&mut line, key, text);
                }
                sheet.draw(line);
                for pair in points.windows(2) {
                    if let [a, b] = pair {
                        sheet.placer.avoid_line(*a, *b, 1.5);
                    }
                }
            }
        }
        self.windows(sheet, chart, time, &instants, &x);
        self.at_best(sheet, chart, time, &x, left);
        if self.lines.len() > 1 {
            self.names(sheet, chart, time, &instants, &x, left);
        }
    }

    /// The bands that it has values for: the Milky Way is not taken with the
    /// moonlit land of a blend.
    fn stretches(&self, chart: &NightChart<'_>) -> Vec<Stretch> {
        let of_sky = self.lines.iter().any(|(name, _)| *name == "contrast");
        let mut all = chart.stretches();
        all.retain(|one| !of_sky || one.kind != PeriodKind::Moonlit);
        all
    }

    /// Draws the part of a single line within the windows heavier.
    fn windows(
        &self,
        sheet: &mut Sheet,
        chart: &NightChart<'_>,
        time: &TimeAxis,
        instants: &[&Conditions],
        x: &dyn Fn(f64) -> f64,
    ) {
        let [(_, value)] = self.lines.as_slice() else {
            return;
        };
        for stretch in self.stretches(chart) {
            let within = |t: f64| (stretch.interval.start..=stretch.interval.end).contains(&t);
            let points: Vec<(f64, f64)> = instants
                .iter()
                .filter(|i| within(i.moment().seconds()))
                .filter_map(|i| Some((x(value(i)?), time.y(i.moment().seconds()))))
                .collect();
            let ink = sheet.palette.ink();
            sheet.draw(stroke(&through(&points), &ink, 2.6));
        }
    }

    /// Writes the values at the best instants.
    fn at_best(
        &self,
        sheet: &mut Sheet,
        chart: &NightChart<'_>,
        time: &TimeAxis,
        x: &dyn Fn(f64) -> f64,
        left: f64,
    ) {
        let ink = sheet.palette.ink();
        for stretch in self.stretches(chart) {
            for (_, value) in &self.lines {
                let Some(found) =
                    value(&stretch.at_best).filter(|_| chart.is_dark(&stretch.at_best))
                else {
                    continue;
                };
                let (at, y) = (x(found), time.y(stretch.best.seconds()));
                sheet.draw(stroke(&through(&[(at - 4.0, y), (at + 4.0, y)]), &ink, 2.4));
                let text = (self.words)(found);
                let style = Type::SMALL_STRONG;
                let rows = [y + 4.0, y - 5.0, y + 13.0, y - 14.0, y + 22.0];
                let spots: Vec<_> = rows
                    .into_iter()
                    .flat_map(|row| {
                        [
                            style.room(&text, at + 6.0, row),
                            style.ending(&text, at - 6.0, row),
                        ]
                    })
                    .filter(|spot| spot.left > left - GAP)
                    .collect();
                let land = sheet.palette.land();
                sheet.write_over(&text, style, Some(land), spots);
            }
        }
    }

    /// Names the lines of a lane that has several.
    fn names(
        &self,
        sheet: &mut Sheet,
        chart: &NightChart<'_>,
        time: &TimeAxis,
        instants: &[&Conditions],
        x: &dyn Fn(f64) -> f64,
        left: f64,
    ) {
        for (name, value) in &self.lines {
            let words = match *name {
                "moon" => "Moon",
                _ => chart.plan.rules.target_name(),
            };
            let style = Type::TINY;
            let spots: Vec<_> = instants
                .iter()
                .filter_map(|i| Some((x(value(i)?), time.y(i.moment().seconds()))))
                .flat_map(|(at, y)| {
                    [
                        style.room(words, at + 5.0, y + 3.0),
                        style.ending(words, at - 5.0, y + 3.0),
                    ]
                })
                .filter(|spot| spot.left >= left && spot.left + spot.width <= left + self.width)
                .collect();
            let paper = sheet.palette.paper();
            sheet.write_over(words, style, Some(paper), spots);
        }
    }
}

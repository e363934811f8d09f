//! What stands beside the courses of a night: altitudes, light, names.

use super::{
    caption::whole,
    night_axes::{Across, TimeAxis},
    night_course::Course,
    night_view::Field,
    sheet::{Sheet, Type, stroke, through},
};
use crate::{
    report::words::{eclipse_name, lux},
    rule::Conditions,
};

/// Fewer instants than this behind the camera are not told.
const SHORT_RUN: usize = 6;

impl Course<'_> {
    /// Writes altitude and light at the best instants.
    pub(super) fn at_best(
        &self,
        sheet: &mut Sheet,
        time: &TimeAxis,
        across: &Across,
        field: &Field,
    ) {
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
    pub(super) fn figures(
        &self,
        sheet: &mut Sheet,
        time: &TimeAxis,
        across: &Across,
        field: &Field,
    ) {
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
    pub(super) fn name(&self, sheet: &mut Sheet, time: &TimeAxis, across: &Across, field: &Field) {
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
    pub(super) fn behind(
        &self,
        sheet: &mut Sheet,
        time: &TimeAxis,
        across: &Across,
        field: &Field,
    ) {
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
            // By the zenith a body passes behind you in some minutes.
            let told = run.len() < SHORT_RUN || field.write(sheet, &text, style, spots);
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

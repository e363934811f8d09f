//! North, scale, names, and the ways of the tripod on the plan.

use super::{
    frame::FrameChart,
    frame_above::{Above, toward},
    frame_marks::about,
    placer::Spot,
    sheet::{Sheet, Type, stroke, through},
    text_width::shortened,
};
use crate::{
    plan::StraightAbove,
    report::words::{clock, distance_words, height_words, shadow_length_words},
    rule::offset_deg,
    scene::{LengthUnit, Units},
};

/// A shorter way of the tripod is not worth a line, pixels.
const LEAST_WAY: f64 = 14.0;
/// So many of the rooms about the subject are near enough for its name: three
/// rounds.
const NEAR_ROOMS: usize = 24;
/// Widest scale bar, pixels.
const BAR: f64 = 90.0;

impl Above {
    /// Which way north is, and a scale bar.
    pub(super) fn draw_north_and_scale(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let style = Type::SMALL_STRONG;
        let (length_m, text) = self.bar(chart.site.conventions.units);
        let bar = self.scale * length_m;
        let bottom = self.bottom() - 6.0;
        // Where no tripod's way is.
        let way = StraightAbove::of(chart.site, &chart.instant);
        let left = match way.is_some_and(|way| way.to_left) {
            true => self.room.left + self.room.width - bar - Type::SMALL.width(&text) - 10.0,
            false => self.room.left + 6.0,
        };
        sheet.line((left, bottom), (left + bar, bottom), 2.0);
        for x in [left, left + bar] {
            sheet.line((x, bottom - 3.0), (x, bottom + 3.0), 2.0);
        }
        let spot = Type::SMALL.room(&text, left + bar + 6.0, bottom + 3.0);
        sheet.write(&text, Type::SMALL, [spot]);
        let (x, y) = (left + 16.0, bottom - 44.0);
        let (right, ahead) = toward(-chart.instant.facing_deg, 18.0);
        let tip = (x + right, y - ahead);
        sheet.line((x - right, y + ahead), tip, 1.6);
        sheet.placer.avoid_line((x - right, y + ahead), tip, 2.0);
        let (right, ahead) = toward(-chart.instant.facing_deg, 27.0);
        let spot = style.centred("N", x + right, y - ahead + 4.0);
        sheet.write("N", style, [spot]);
    }

    /// The longest round length that is no longer than the bar may be, metres,
    /// and its words.
    fn bar(&self, units: Units) -> (f64, String) {
        let unit_m = match units {
            Units::Metric => 1.0,
            Units::Feet => LengthUnit::Foot.metres(),
        };
        let most = BAR / self.scale / unit_m;
        let ten = 10_f64.powf(most.max(1e-6).log10().floor());
        let round = [5.0, 2.0, 1.0].map(|step| step * ten);
        let length = round
            .into_iter()
            .find(|length| *length <= most)
            .unwrap_or(ten);
        let decimals = usize::from(length < 1.0);
        (
            length * unit_m,
            height_words(units, length * unit_m, decimals),
        )
    }

    /// From where, as far from the subject as the camera is, the target stands
    /// straight above it in the windows: a part of the circle about the subject,
    /// where that is on the plan and longer than a point.
    pub(super) fn draw_ways(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some(course) = &chart.course else {
            return;
        };
        let facing = chart.instant.facing_deg;
        let inside = |(x, y): (f64, f64)| {
            let room = self.room;
            (room.left + 8.0..room.left + room.width - 8.0).contains(&x)
                && (room.top + 8.0..self.bottom() - 8.0).contains(&y)
        };
        for ends in &course.periods {
            let line: Vec<(f64, f64)> = course
                .between(ends)
                .iter()
                .filter_map(|instant| StraightAbove::of(chart.site, instant))
                .map(|place| offset_deg(place.bearing_deg + 180.0, facing))
                .map(|back| toward(back, self.distance_m))
                .map(|(right, ahead)| self.at((self.subject.0 + right, self.subject.1 + ahead)))
                .collect();
            let (Some(from), Some(to)) = (line.first().copied(), line.last().copied()) else {
                continue;
            };
            if !inside(from) || !inside(to) || (to.0 - from.0).hypot(to.1 - from.1) < LEAST_WAY {
                continue;
            }
            let mut way = stroke(&through(&line), &sheet.palette.ink(), 1.4);
            svg::Node::assign(&mut way, "stroke-dasharray", "2 2.5");
            svg::Node::assign(&mut way, "data-way", "straight-above");
            sheet.draw(way);
            for pair in line.windows(2) {
                if let [a, b] = pair {
                    sheet.placer.avoid_line(*a, *b, 3.0);
                }
            }
            let style = Type::SMALL;
            let paper = sheet.palette.paper();
            for (at, instant) in [from, to].into_iter().zip(ends) {
                sheet.line((at.0, at.1 - 4.0), (at.0, at.1 + 4.0), 1.6);
                let text = clock(chart.site, instant.moment());
                let rooms = [
                    style.centred(&text, at.0, at.1 + 18.0),
                    style.centred(&text, at.0, at.1 - 8.0),
                    style.room(&text, at.0 + 6.0, at.1 + 4.0),
                    style.ending(&text, at.0 - 6.0, at.1 + 4.0),
                ];
                let within = rooms.into_iter().filter(|spot| self.room.holds(spot));
                sheet.write_over(&text, style, Some(paper.clone()), within);
            }
            let text = format!("{} above it from here", chart.rules.target_name());
            let wide = style.width(&text);
            let (left, right) = (self.room.left + 2.0, self.room.left + self.room.width - 2.0);
            let middle = 0.5 * (from.0 + to.0);
            let middle = middle.min(right - 0.5 * wide).max(left + 0.5 * wide);
            let rooms = [from.1.min(to.1) - 22.0, from.1.max(to.1) + 32.0];
            let rooms = rooms.map(|baseline| style.centred(&text, middle, baseline));
            let within = rooms.into_iter().filter(|spot| self.room.holds(spot));
            sheet.write_over(&text, style, Some(paper.clone()), within);
        }
    }

    /// Writes the names.
    pub(super) fn write(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let style = Type::SMALL_STRONG;
        let paper = sheet.palette.paper();
        let site = chart.site;
        let (x, y) = self.at(self.subject);
        let name = chart.subject_name().unwrap_or("subject");
        let away = 9.0_f64.max(self.radius(chart) + 5.0);
        let holds = |rooms: Vec<Spot>| {
            let inside = rooms.into_iter().filter(|spot| self.room.holds(spot));
            inside.collect::<Vec<_>>()
        };
        // Whole where it fits, and not far from what it names.
        for part in [0.9, 0.45] {
            let name = shortened(name, style.size, style.bold, part * self.room.width);
            let rooms = about(&name, style, (x, y), away);
            let near = rooms.into_iter().take(NEAR_ROOMS).collect();
            let ground = Some(paper.clone());
            if sheet
                .write_over(&name, style, ground, holds(near))
                .is_some()
            {
                break;
            }
        }
        if let Some(shadow) = &self.shadow {
            let corners: Vec<(f64, f64)> = shadow.corners.iter().map(|at| self.at(*at)).collect();
            let length = shadow_length_words(site, shadow.length_m);
            let text = match shadow.cut {
                true => format!("shadow {length}, cut here"),
                false => format!("shadow {length}"),
            };
            if let [_, b, c, _] = corners.as_slice() {
                let end = (0.5 * (b.0 + c.0), 0.5 * (b.1 + c.1));
                let middle = (0.5 * (end.0 + x), 0.5 * (end.1 + y));
                let mut rooms = about(&text, style, end, 8.0);
                rooms.extend(about(&text, style, middle, 10.0));
                sheet.write_over(&text, style, Some(paper.clone()), holds(rooms));
            }
        }
        let distance = distance_words(site.conventions.units, self.distance_m.round());
        let text = format!("camera, {} from it", distance.replace(".0 ", " "));
        let (x, y) = self.camera;
        let spots = vec![
            Type::SMALL.room(&text, x + 12.0, y + 9.0),
            Type::SMALL.ending(&text, x - 12.0, y + 9.0),
            Type::SMALL.centred(&text, x, y + 24.0),
        ];
        sheet.write_over(&text, Type::SMALL, Some(paper), holds(spots));
    }
}

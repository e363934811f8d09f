//! The words in the picture through the lens.

use super::{
    frame::FrameChart,
    frame_lens::LensView,
    placer::Spot,
    sheet::{Sheet, Type, px, stroke, through},
    text_width::shortened,
};
use crate::{
    Figure,
    light::{FramePosition, Pointing},
    report::words::light_words,
    rule::offset_deg,
    search::InPicture,
};

impl LensView {
    /// Writes the subject's name at its foot.
    pub(super) fn write_subject(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let (Some(name), Some(shape)) = (chart.subject_name(), chart.site.subject_shape()) else {
            return;
        };
        let style = Type::SMALL_STRONG;
        let name = shortened(name, style.size, style.bold, self.room.width - 12.0);
        let Some((x, y)) = self
            .at(shape.bearing_deg, shape.foot_deg)
            .filter(|at| self.shows(*at))
        else {
            return;
        };
        let y = y.min(self.bottom() - 6.0);
        let rooms = (0..8).flat_map(|row| {
            let below = y + 15.0 + 7.0 * f64::from(row);
            [
                style.centred(&name, x, below),
                style.room(&name, x + 12.0, below - 8.0),
                style.ending(&name, x - 12.0, below - 8.0),
            ]
        });
        let beside = [
            style.room(&name, x + 14.0, y - 4.0),
            style.ending(&name, x - 14.0, y - 4.0),
        ];
        let inside = rooms.chain(beside).filter(|spot| self.room.holds(spot));
        let inside: Vec<Spot> = inside.collect();
        sheet.write_over(&name, style, Some(sheet.palette.land()), inside);
    }

    /// What is out of the frame is told at the edge nearest to it.
    pub(super) fn write_outside(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let sky = &chart.instant.sky;
        let mut bodies = Vec::new();
        if !chart.rules.target.is_moon() {
            bodies.push(("Moon", sky.moon, chart.instant.moon_is_up()));
        }
        let target_up = sky.target.apparent_altitude_deg > 0.0;
        bodies.push((chart.rules.target_name(), sky.target, target_up));
        for (name, place, up) in bodies {
            let at = Pointing::new(place.azimuth_deg, place.apparent_altitude_deg);
            let inside = self.at(at.azimuth_deg, at.altitude_deg);
            if !up || inside.is_some_and(|at| self.shows(at)) {
                continue;
            }
            let offset = offset_deg(place.azimuth_deg, chart.instant.facing_deg);
            let state = if name == chart.rules.target_name() {
                chart.target_state()
            } else {
                chart.moon_state()
            };
            let behind = match state {
                InPicture::BehindRidge => ", behind the ridge",
                _ => "",
            };
            let text = format!(
                "{name} {}, {:.0}° up{behind}",
                light_words(offset),
                Figure(at.altitude_deg)
            );
            self.write_at_edge(sheet, &text, at);
        }
    }

    /// The point of the picture's edge that is nearest to a direction in the sky.
    fn nearest_on_edge(&self, to: Pointing) -> Option<FramePosition> {
        let half = (
            0.5 * self.room.width / self.scale.0,
            0.5 * self.room.height / self.scale.1,
        );
        let along = (-40..=40).map(|step| f64::from(step) / 40.0);
        let edges = along.flat_map(|part| [(part, 1.0), (part, -1.0), (1.0, part), (-1.0, part)]);
        let points = edges.map(|(across, up)| FramePosition {
            across: self.middle.0 + half.0 * across,
            up: self.middle.1 + half.1 * up,
        });
        let away = |at: &FramePosition| self.view.direction(*at).separation_deg(to);
        points.min_by(|a, b| away(a).total_cmp(&away(b)))
    }

    fn write_at_edge(&self, sheet: &mut Sheet, text: &str, at: Pointing) {
        let room = self.room;
        let Some(nearest) = self.nearest_on_edge(at) else {
            return;
        };
        let (x, y) = self.point(nearest);
        let at_side = (x - room.left).abs() < 0.5 || (x - room.left - room.width).abs() < 0.5;
        let toward = (nearest.across - self.middle.0, nearest.up - self.middle.1);
        let style = Type::SMALL_STRONG;
        let half = 9.0;
        let (from, to) = match at_side {
            true => (
                (x, (y - half).max(room.top)),
                (x, (y + half).min(self.bottom())),
            ),
            false => ((x - half, y), (x + half, y)),
        };
        let mut mark = stroke(&through(&[from, to]), &sheet.palette.ink(), 6.0);
        for (key, value) in [
            ("data-outside", text.to_owned()),
            ("data-x", px(x)),
            ("data-y", px(y)),
        ] {
            svg::Node::assign(&mut mark, key, value);
        }
        sheet.draw(mark);
        let rooms: Vec<Spot> = (0..16)
            .flat_map(|step| [4.0 * f64::from(step), -4.0 * f64::from(step)])
            .flat_map(|shift| match at_side {
                true => {
                    let (outer, inner) = (9.0, 9.0);
                    let baseline = y + 4.0 + shift;
                    match toward.0 < 0.0 {
                        true => [
                            style.ending(text, x - outer, baseline),
                            style.room(text, x + inner, baseline),
                        ],
                        false => [
                            style.room(text, x + outer, baseline),
                            style.ending(text, x - inner, baseline),
                        ],
                    }
                }
                false => {
                    let baseline = if toward.1 > 0.0 { y + 17.0 } else { y - 9.0 };
                    let spot = style.centred(text, x + 4.0 * shift, baseline);
                    [spot, spot]
                }
            })
            .filter(|spot| {
                let sheet_edge =
                    spot.left >= self.reach.0 && spot.left + spot.width <= self.reach.1;
                let in_height = spot.top >= room.top && spot.top + spot.height <= self.bottom();
                sheet_edge && in_height
            })
            .collect();
        sheet.write_over(text, style, Some(sheet.palette.paper()), rooms);
    }
}

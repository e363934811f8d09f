//! The words in the picture through the lens.

use super::{
    frame::FrameChart,
    frame_lens::LensView,
    placer::Spot,
    sheet::{Sheet, Type, px, stroke, through},
    text_width::wrapped_as,
};
use crate::{
    Figure,
    light::{FramePosition, Pointing},
    report::words::light_words,
    rule::offset_deg,
    search::InPicture,
};

/// From line to line of a name, pixels.
const NAME_LINE: f64 = 14.0;

impl LensView {
    /// Writes the subject's name at its foot, in as many lines as it needs.
    pub(super) fn write_subject(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let (Some(name), Some(shape)) = (chart.subject_name(), chart.site.subject_shape()) else {
            return;
        };
        let Some((x, y)) = self
            .at(shape.bearing_deg, shape.foot_deg)
            .filter(|at| self.shows(*at))
        else {
            return;
        };
        let style = Type::SMALL_STRONG;
        let y = y.min(self.bottom() - 6.0);
        // In one line, else in two, else in three.
        let longest = style.width(name).min(self.room.width - 12.0);
        let lines = [1.0, 0.55, 0.38].map(|part| {
            let least = name.split_whitespace().map(|word| style.width(word));
            let least = least.fold(part * style.width(name), f64::max);
            wrapped_as(name, style, least.min(longest))
        });
        let ground = Some(sheet.palette.land());
        for clear in [true, false] {
            for lines in &lines {
                for spots in self.name_rooms(lines, style, (x, y)) {
                    let fits = spots.iter().all(|spot| {
                        self.room.holds(spot)
                            && match clear {
                                true => sheet.placer.is_clear(spot),
                                false => sheet.placer.is_free(spot),
                            }
                    });
                    if fits {
                        for (line, spot) in lines.iter().zip(spots) {
                            sheet.write_over(line, style, ground.clone(), [spot]);
                        }
                        return;
                    }
                }
            }
        }
    }

    /// Rooms for a name in lines about the foot of what it names: below it, then
    /// beside it.
    fn name_rooms(&self, lines: &[String], style: Type, (x, y): (f64, f64)) -> Vec<Vec<Spot>> {
        let widths = lines.iter().map(|line| style.width(line));
        let half = 0.5 * widths.fold(0.0, f64::max);
        let (left, right) = (self.room.left + 6.0, self.room.left + self.room.width - 6.0);
        let middle = x.min(right - half).max(left + half);
        let below = |row: usize| y + 15.0 + 7.0 * row as f64;
        let block = |top: f64, place: &dyn Fn(&str, f64) -> Spot| {
            let numbered = lines.iter().enumerate();
            numbered
                .map(|(index, line)| place(line, top + NAME_LINE * index as f64))
                .collect::<Vec<_>>()
        };
        (0..8)
            .flat_map(|row| {
                let (low, beside) = (below(row), below(row) - 8.0);
                [
                    block(low, &|line, at| style.centred(line, middle, at)),
                    block(beside, &|line, at| style.room(line, x + 12.0, at)),
                    block(beside, &|line, at| style.ending(line, x - 12.0, at)),
                ]
            })
            .chain([
                block(y - 4.0, &|line, at| style.room(line, x + 14.0, at)),
                block(y - 4.0, &|line, at| style.ending(line, x - 14.0, at)),
            ])
            .collect()
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

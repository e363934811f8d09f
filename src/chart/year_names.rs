//! The words beside the marks of a year.

use super::{
    placer::Spot,
    sheet::{Sheet, Type},
    year_axes::all_pieces,
    year_edges::Edge,
    year_marks::Marks,
};
use crate::{
    report::words::{evening_window_words, more_nights_words},
    rule::MOON_FRACTION,
    scene::Band,
    search::Window,
};

/// Nights of one change that are at most so far apart are named together.
const CLUSTER_NIGHTS: i64 = 4;
/// Places along a line where its name is tried.
const ALONG: usize = 24;

impl Marks<'_> {
    /// Names the best window.
    pub(super) fn name_best(&self, sheet: &mut Sheet) {
        let Some(best) = self.chart.best() else {
            return;
        };
        let Some(at) = self.middle_of(best) else {
            return;
        };
        let words = evening_window_words(self.chart.dates, self.chart.site.zone, best);
        self.name_mark(sheet, &format!("best {words}"), Type::SMALL_STRONG, at);
    }

    /// Rooms beside a point, ever farther away.
    fn beside(&self, text: &str, style: Type, (x, y): (f64, f64)) -> Vec<Spot> {
        let far = |step: usize| {
            let away = 12.0 * step as f64;
            [(x + away, y), (x - away, y), (x, y - away), (x, y + away)]
        };
        (0..8)
            .flat_map(far)
            .flat_map(|at| self.around(text, style, at))
            .collect()
    }

    /// Each change once, beside the largest group of the nights that it adds.
    pub(super) fn name_outlines(&self, sheet: &mut Sheet) {
        for added in self.added() {
            let mut groups: Vec<Vec<&Window>> = Vec::new();
            for window in &added.windows {
                let near = |group: &Vec<&Window>| {
                    let last = group
                        .last()
                        .map(|last| (window.night - last.night).num_days());
                    last.is_some_and(|days| days <= CLUSTER_NIGHTS)
                };
                match groups.last_mut().filter(|group| near(group)) {
                    Some(group) => group.push(window),
                    None => groups.push(vec![window]),
                }
            }
            // Of equal groups the first.
            groups.sort_by_key(|group| std::cmp::Reverse(group.len()));
            let middle = groups.first().and_then(|group| group.get(group.len() / 2));
            let Some(at) = middle.and_then(|window| self.middle_of(window)) else {
                continue;
            };
            self.name_mark(sheet, &more_nights_words(added), Type::SMALL, at);
        }
    }

    /// Names a mark, with a line to it where the words stand away from it.
    fn name_mark(&self, sheet: &mut Sheet, text: &str, style: Type, at: (f64, f64)) {
        let spots = self.beside(text, style, at);
        let Some(spot) = self.write(sheet, text, style, spots) else {
            return;
        };
        let room = spot.room;
        let edge = (
            at.0.clamp(room.left, room.left + room.width),
            at.1.clamp(room.top, room.top + room.height),
        );
        if (edge.0 - at.0).hypot(edge.1 - at.1) > 9.0 {
            sheet.faint_line(edge, at, 0.7);
        }
    }

    /// Names the longest piece of a line.
    pub(super) fn name_line(&self, sheet: &mut Sheet, lines: &[Edge], text: &str) {
        let Some(line) = lines.iter().max_by_key(|line| line.len()) else {
            return;
        };
        if text.is_empty() || line.is_empty() {
            return;
        }
        let step = (line.len() / ALONG).max(1);
        let spots = line
            .iter()
            .skip(step / 2)
            .step_by(step)
            .flat_map(|(night, hour)| {
                self.around(text, Type::SMALL, self.axes.point(*night, *hour))
            })
            .collect();
        self.write(sheet, text, Type::SMALL, spots);
    }

    /// Says what the combs are, on the first panel.
    pub(super) fn name_combs(&self, sheet: &mut Sheet) {
        if self.number > 0 {
            return;
        }
        let rules = self.chart.rules;
        let text = match rules.get::<Band>(&MOON_FRACTION) {
            _ if rules.target.is_moon() => "hairlines: Moon in place".to_owned(),
            Some(band) => {
                let percent = |share: f64| (100.0 * share.clamp(0.0, 1.0)).round();
                format!(
                    "hairlines: Moon up, {}% to {}% lit",
                    percent(band.low),
                    percent(band.high)
                )
            }
            None => "hairlines: Moon up".to_owned(),
        };
        let spots = self
            .nights
            .iter()
            .filter_map(|night| {
                let pieces = all_pieces(self.chart.site.zone, &night.night, self.comb(night));
                let longest = pieces
                    .into_iter()
                    .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
                let middle = 0.5 * (longest.0 + longest.1);
                Some(self.axes.point(self.axes.middle(night.night.date), middle))
            })
            .flat_map(|at| self.around(&text, Type::SMALL, at))
            .collect();
        self.write(sheet, &text, Type::SMALL, spots);
    }
}

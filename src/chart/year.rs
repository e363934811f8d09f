//! Nights by date and hour: how often, at which hour, why.

use super::{
    Look, Picture, Size,
    head::Head,
    placer::Room,
    sheet::Sheet,
    year_axes::{YearAxes, all_pieces, wall_pieces},
    year_marks,
};
use crate::{
    report::words::{
        NAMED_BY_EVENING, dates_words, evening_window_words, no_darkness_words, sentences,
        tally_words, would_add_words,
    },
    rule::Rules,
    scene::{Dates, LightKind, Site},
    search::{NightHours, Window},
    why::{Advice, WouldAdd},
};
use chrono::{Days, Months, NaiveDate};

/// The nights of a site by date and hour.
#[derive(Debug, Clone)]
pub struct YearChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules of the first kind of light.
    pub rules: &'a Rules,
    /// The kinds asked for.
    pub kinds: Vec<LightKind>,
    /// The evenings.
    pub dates: Dates,
    /// What each of them offers.
    pub nights: &'a [NightHours],
    /// What prevents windows; `None` for a blend.
    pub advice: Option<&'a Advice>,
    /// What the changes that it names would add.
    pub would_add: &'a [WouldAdd],
    /// How many such pictures share a sheet of paper.
    pub on_a_sheet: usize,
}

/// Height of a panel on paper that has room for it, pixels.
const PANEL_HEIGHT: f64 = 350.0;
/// The least height of a panel on paper, pixels.
const LEAST_PANEL: f64 = 150.0;
/// Height of the words around a panel, pixels.
const AROUND: f64 = 48.0;
/// Room above a panel for the names of its ticks, pixels.
const ABOVE: f64 = 20.0;
/// Pixels from one night to the next where dates run down.
const NIGHT_DOWN: (f64, f64) = (2.0, 16.0);
/// The height that few nights share where dates run down, pixels.
const FEW_DOWN: f64 = 420.0;

impl YearChart<'_> {
    /// Draws the picture.
    pub fn draw(&self, look: Look) -> Picture {
        let size = look.size;
        let head = self.head();
        let down = size == Size::Phone;
        let years = self.years();
        let top = head.bottom(size);
        let longest = years.iter().map(|(_, nights)| *nights).max().unwrap_or(1);
        let gutter = if down { 34.0 } else { 44.0 };
        let height = |nights: i64| match size.sheet_height() {
            Some(sheet) => {
                let share = sheet / self.on_a_sheet.max(1) as f64 - top - 6.0;
                (share / years.len().max(1) as f64 - AROUND).clamp(LEAST_PANEL, PANEL_HEIGHT)
            }
            None => {
                let (least, most) = NIGHT_DOWN;
                (FEW_DOWN / longest as f64).clamp(least, most) * nights as f64
            }
        };
        let hours = self.hours();
        let mut y = top;
        let mut panels = Vec::new();
        for &(first, nights) in &years {
            let left = size.left() + gutter;
            let full = size.right() - left;
            panels.push(YearAxes {
                room: Room {
                    left,
                    top: y + ABOVE,
                    // A night takes the same room in each panel.
                    width: if down {
                        full
                    } else {
                        full * nights as f64 / longest as f64
                    },
                    height: height(nights),
                },
                first,
                nights,
                hours,
                down,
            });
            y += height(nights) + AROUND;
        }
        let mut sheet =
            Sheet::new("year", look.palette, size.width(), y + 6.0).numbered(look.number);
        head.write(&mut sheet, size);
        for (number, axes) in panels.iter().enumerate() {
            year_marks::draw(self, &mut sheet, axes, number);
        }
        sheet.finish(&head.title, &head.description())
    }

    /// Every window, in order of time.
    pub fn windows(&self) -> impl Iterator<Item = &Window> {
        self.nights.iter().flat_map(|night| &night.windows)
    }

    /// The window with the highest score.
    pub fn best(&self) -> Option<&Window> {
        self.windows().min_by_key(|window| window.rank)
    }

    fn head(&self) -> Head {
        let mut answer = vec![tally_words(self.nights, self.site.zone, &self.kinds)];
        if let Some(best) = self.best() {
            let words = evening_window_words(self.dates, self.site.zone, best);
            answer.push(format!("Best {words}"));
        }
        let mut facts = Vec::new();
        if let Some(advice) = self.advice.filter(|advice| advice.found == 0) {
            // The first says that there is no window, as the answer does.
            let said: Vec<String> = sentences(advice, self.site, self.rules);
            facts.extend(
                said.get(1..)
                    .filter(|said| !said.is_empty())
                    .map(|said| said.join(" ")),
            );
        }
        facts.extend(would_add_words(self.would_add));
        facts.extend(no_darkness_words(self.nights, self.dates, self.rules));
        facts.extend(self.strokes_words());
        if self.best().is_some() {
            facts.push(NAMED_BY_EVENING.to_owned());
        }
        Head {
            title: format!(
                "{}: {} by the hour",
                self.site.title(),
                dates_words(self.dates)
            ),
            answer,
            facts,
        }
    }

    /// What the strokes of different windows mean.
    fn strokes_words(&self) -> Option<String> {
        let blends = self.kinds.contains(&LightKind::Blend);
        let several = self.kinds.len() > 1;
        let dark = several && self.kinds.contains(&LightKind::Dark);
        let mut said = Vec::new();
        if dark {
            said.push("Thin strokes: dark windows, without the Moon.");
        }
        if blends {
            said.push("Broken strokes: the Moon lights the land; full strokes: the dark period.");
        }
        (!said.is_empty()).then(|| said.join(" "))
    }

    /// The first night of each panel and how many it has: a year each.
    fn years(&self) -> Vec<(NaiveDate, i64)> {
        let last = self.dates.last();
        let mut first = self.dates.first();
        let mut years = Vec::new();
        // A range of a year and a day is no second panel.
        while first <= last && years.len() < 4 {
            let rest = (last - first).num_days() + 1;
            let next = first.checked_add_months(Months::new(12));
            let year = next.map_or(rest, |next| (next - first).num_days());
            let nights = if rest <= year + 1 { rest } else { year };
            years.push((first, nights));
            let Some(after) = first.checked_add_days(Days::new(nights as u64)) else {
                break;
            };
            first = after;
        }
        years
    }

    /// The hours that are shown: those in which the Sun is down, or keeps its
    /// rule, on any night, and every window.
    fn hours(&self) -> (f64, f64) {
        let zone = self.site.zone;
        let mut hours = (f64::INFINITY, f64::NEG_INFINITY);
        let mut include = |pieces: Vec<(f64, f64)>| {
            for (from, to) in pieces {
                hours = (hours.0.min(from), hours.1.max(to));
            }
        };
        for night in self.nights {
            include(all_pieces(zone, &night.night, &night.out));
            for interval in night.windows.iter().flat_map(Window::intervals) {
                include(wall_pieces(zone, &night.night, &interval));
            }
        }
        let (from, to) = (hours.0.floor(), hours.1.ceil());
        match from < to {
            true => (from, to),
            false => (12.0, 36.0),
        }
    }
}

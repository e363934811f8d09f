//! A season by lunar months: equal phases are in one column.

use super::{
    Look, Picture,
    caption::{LEADING, caption_lines, write_lines, write_title},
    night_axes::utc,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle},
};
use crate::{
    report::{
        season::{unmet_key, unmet_letter},
        words::a_kind_of_night,
    },
    rule::Rules,
    scene::{LightKind, Site},
    search::{Lunation, NightMark},
};
use chrono::{Datelike, NaiveDate};

/// One site's season.
#[derive(Debug, Clone, Copy)]
pub struct SeasonPanel<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules whose failures the letters show.
    pub rules: &'a Rules,
    /// Its lunations.
    pub lunations: &'a [Lunation],
}

/// The seasons of one or more sites, one below the other.
#[derive(Debug, Clone)]
pub struct SeasonChart<'a> {
    /// First evening.
    pub first: NaiveDate,
    /// Last evening.
    pub last: NaiveDate,
    /// The kinds of night asked for, in order of preference.
    pub kinds: Vec<LightKind>,
    /// The sites.
    pub panels: Vec<SeasonPanel<'a>>,
}

const WIDTH: f64 = 1000.0;
const MARGIN: f64 = 40.0;
/// Left and right edges of the nights, pixels.
const LEFT: f64 = 140.0;
const RIGHT: f64 = 976.0;
/// Nights in the longest lunation.
const NIGHTS: f64 = 30.0;
/// Height of a row, and of a mark with the score 100.
const ROW: f64 = 58.0;
const MARK: f64 = 38.0;
/// Height of a panel's heading.
const HEAD: f64 = 62.0;

impl SeasonChart<'_> {
    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        let title = match self.panels.as_slice() {
            [one] => format!("{}, {} to {}", one.site.title(), self.first, self.last),
            [one, others @ ..] if others.iter().all(|other| other.site.shares_place(one.site)) => {
                let (name, views) = (&one.site.name, self.panels.len());
                format!("{name}, {views} views, {} to {}", self.first, self.last)
            }
            several => format!("{} sites, {} to {}", several.len(), self.first, self.last),
        };
        let below = "One row per lunar month, from new Moon to new Moon; one mark per night";
        let caption = caption_lines(&self.caption(), RIGHT - MARGIN);
        let rows: usize = self.panels.iter().map(|panel| panel.lunations.len()).sum();
        let body = HEAD * self.panels.len() as f64 + ROW * rows as f64;
        let top = if self.panels.len() > 1 { 76.0 } else { 52.0 };
        let height = top + body + 84.0 + LEADING * caption.len() as f64;
        let mut sheet = Sheet::new("season", look.palette, WIDTH, height);
        sheet.define_hatch("slant", 5.0, 2.2, 45.0);
        write_title(&mut sheet, &title, below, MARGIN, RIGHT - MARGIN);
        // The caption comes first: labels avoid what is already there.
        write_lines(&mut sheet, &caption, MARGIN, top + body + 74.0);
        let mut y = top;
        for panel in &self.panels {
            self.head(&mut sheet, panel, y);
            y += HEAD;
            for lunation in panel.lunations {
                row(&mut sheet, panel, lunation, y + ROW - 16.0);
                y += ROW;
            }
        }
        self.samples(&mut sheet, y + 40.0);
        let description = format!("{below}. {} {}", self.found_words(), caption.join(" "));
        sheet.finish(&title, &description)
    }

    /// The nights found, for screen readers; without dark ones if other kinds are
    /// asked for too.
    fn found_words(&self) -> String {
        let mut text = String::new();
        for panel in &self.panels {
            let found: Vec<String> = panel
                .lunations
                .iter()
                .flat_map(|lunation| &lunation.nights)
                .filter_map(|mark| {
                    let (kind, window) = mark.found.as_ref()?;
                    (*kind != LightKind::Dark || self.kinds.len() == 1)
                        .then(|| format!("{} {} {:.0}", mark.night.date, kind, window.score))
                })
                .collect();
            text.push_str(&format!(
                "{}: {}. ",
                panel.site.title(),
                if found.is_empty() {
                    let with = match self.kinds.as_slice() {
                        [LightKind::Any | LightKind::Dark] => "",
                        _ => " with moonlight",
                    };
                    format!("no night{with} keeps every rule")
                } else {
                    found.join(", ")
                }
            ));
        }
        text.trim_end().to_owned()
    }

    /// Draws a panel's name and the phases above the columns.
    fn head(&self, sheet: &mut Sheet, panel: &SeasonPanel<'_>, y: f64) {
        if self.panels.len() > 1 {
            let name =
                super::text_width::shortened(&panel.site.title(), 14.0, true, RIGHT - MARGIN);
            sheet.write(
                &name,
                Type::STRONG,
                [Type::STRONG.room(&name, MARGIN, y + 20.0)],
            );
        }
        if panel.lunations.is_empty() {
            return;
        }
        let quarter = 29.53 / 4.0;
        for (index, word) in ["new", "first quarter", "full", "last quarter", "new"]
            .iter()
            .enumerate()
        {
            let x = column(index as f64 * quarter);
            let rooms = if index == 4 {
                [Type::SMALL.ending(word, RIGHT, y + 44.0)]
            } else {
                [Type::SMALL.centred(word, x, y + 44.0)]
            };
            sheet.write(word, Type::SMALL, rooms);
            let bottom = y + HEAD + ROW * panel.lunations.len() as f64 - 16.0;
            sheet.faint_line((x, y + 50.0), (x, bottom), 0.5);
        }
    }

    /// Draws one mark of each texture with its word.
    fn samples(&self, sheet: &mut Sheet, baseline: f64) {
        let mut x = MARGIN;
        for kind in &self.kinds {
            mark(sheet, *kind, x + 10.0, baseline, MARK, &[]);
            let text = kind_words(*kind);
            let room = Type::SMALL.room(text, x + 24.0, baseline - 4.0);
            sheet.write(text, Type::SMALL, [room]);
            x = room.left + room.width + 30.0;
        }
    }

    fn caption(&self) -> Vec<String> {
        let mut paragraphs = vec![
            "A mark's height is its score; the samples above are as tall as a score of 100. The \
             number beneath is the evening's day of the month."
                .to_owned(),
        ];
        if self.kinds.len() > 1 {
            let words: Vec<String> = self.kinds.iter().map(ToString::to_string).collect();
            paragraphs[0].push_str(&format!(
                " Where a night offers several kinds it shows one: {}.",
                words.join(", then ")
            ));
        }
        let target = self
            .panels
            .first()
            .map_or("core", |panel| panel.rules.target_name());
        let nights = self
            .panels
            .iter()
            .flat_map(|panel| panel.lunations)
            .flat_map(|lunation| &lunation.nights);
        let unmet = unmet_key(nights, target);
        if !unmet.is_empty() {
            let words: Vec<String> = unmet
                .iter()
                .map(|line| line.replacen(' ', ": ", 1))
                .collect();
            let night = self.kinds.first().map(|kind| a_kind_of_night(*kind));
            paragraphs.push(format!(
                "A letter tells the first rule of {} that leaves no time. {}.",
                night.unwrap_or_else(|| "a night".to_owned()),
                words.join(". ")
            ));
        }
        paragraphs
    }
}

/// Position across the sheet, pixels, for the age of the Moon at the middle of
/// a night, days.
fn column(age_days: f64) -> f64 {
    LEFT + (RIGHT - LEFT) * age_days / NIGHTS
}

fn row(sheet: &mut Sheet, panel: &SeasonPanel<'_>, lunation: &Lunation, base: f64) {
    let zone = panel.site.zone;
    let new = zone.local(lunation.start);
    let month = new.format("%B %Y").to_string();
    sheet.write(
        &month,
        Type::SMALL,
        [Type::SMALL.room(&month, MARGIN - 24.0, base - 17.0)],
    );
    let day = new.format("new %-d %b").to_string();
    sheet.write(
        &day,
        Type::SMALL,
        [Type::SMALL.room(&day, MARGIN - 24.0, base)],
    );
    sheet.faint_line((LEFT, base), (column(29.6), base), 0.8);
    for night in &lunation.nights {
        let age = (night.middle().seconds() - lunation.start.seconds()) / 86_400.0;
        draw_night(sheet, night, column(age), base);
    }
}

fn draw_night(sheet: &mut Sheet, night: &NightMark, x: f64, base: f64) {
    const DAY: Type = Type {
        size: 11.0,
        bold: false,
    };
    let date = night.night.date;
    if let Some((kind, window)) = &night.found {
        let data = [
            ("data-night", date.to_string()),
            ("data-kind", kind.to_string()),
            ("data-score", format!("{:.2}", window.score)),
            ("data-best-utc", utc(window.best.moment().seconds())),
        ];
        mark(sheet, *kind, x, base, MARK * window.score / 100.0, &data);
        let text = date.day().to_string();
        sheet.write(&text, DAY, [DAY.centred(&text, x, base + 12.0)]);
    } else if let Some(rule) = night.unmet {
        let text = unmet_letter(rule).to_string();
        let paper = sheet.palette.paper();
        let room = DAY.centred(&text, x, base - 4.0);
        sheet.write_over(&text, DAY, Some(paper), [room]);
    }
}

/// Draws a bar whose texture and weight show the kind: heavy and hatched for
/// raking moonlight, thin and open for the dark, hatched over open for both in
/// one night.
fn mark(
    sheet: &mut Sheet,
    kind: LightKind,
    x: f64,
    base: f64,
    height: f64,
    data: &[(&str, String)],
) {
    const BREADTH: f64 = 17.0;
    let room = Room {
        left: x - 0.5 * BREADTH,
        top: base - height,
        width: BREADTH,
        height,
    };
    let ink = sheet.palette.ink();
    let mut outline = rectangle(room);
    let (fill, weight) = match kind {
        LightKind::Raking | LightKind::Blend => (sheet.url("slant"), 2.0),
        LightKind::Dark | LightKind::Any => ("none".to_owned(), 1.0),
    };
    for (key, value) in [
        ("fill", fill),
        ("stroke", ink.clone()),
        ("stroke-width", px(weight)),
    ] {
        svg::Node::assign(&mut outline, key, value);
    }
    for (key, value) in data {
        svg::Node::assign(&mut outline, *key, value.clone());
    }
    sheet.draw(outline);
    if kind == LightKind::Blend {
        let lower = 0.45 * height;
        sheet.draw(element(
            "path",
            [
                (
                    "d",
                    format!(
                        "M{} {}h{}v{}h-{}Z",
                        px(room.left),
                        px(base - lower),
                        px(BREADTH),
                        px(lower),
                        px(BREADTH)
                    ),
                ),
                ("fill", sheet.palette.paper()),
                ("stroke", ink),
                ("stroke-width", "2".to_owned()),
            ],
        ));
    }
}

/// A kind of night in a few words.
fn kind_words(kind: LightKind) -> &'static str {
    match kind {
        LightKind::Raking => "raking: a low Moon from the side",
        LightKind::Dark => "dark: no Moon",
        LightKind::Blend => "blend: raking, and a dark period the same night",
        LightKind::Any => "any light",
    }
}

//! Where the parts of a season's picture stand, and how high it can become.

use super::{Size, season_blocks::MOST_NAMED, sheet::Type};

/// How much room a lunar month takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A line for each of several sites.
    Sites,
    /// One site, with scores and several nights written out.
    Site,
    /// One site through many years.
    Years,
}

/// Where the parts of a lunar month stand on the sheet, pixels.
#[derive(Debug, Clone, Copy)]
pub struct SeasonLayout {
    /// The sheet.
    pub size: Size,
    /// How much a month holds.
    pub form: Form,
    /// Type of names, dates and figures.
    pub small: Type,
    /// The same, bold.
    pub strong: Type,
    /// Right edge of the names.
    pub names: f64,
    /// Left edge of the nights.
    pub nights: f64,
    /// Width of a night.
    pub day: f64,
    /// Left edge of what is written beside the nights; `None` if it stands above
    /// them.
    pub beside: Option<f64>,
    /// Height of the ruler with its dates.
    pub ruler: f64,
    /// Distance of a site's line from the next.
    pub pitch: f64,
    /// Thickness of the heaviest mark.
    pub mark: f64,
    /// Distance of the lines written beside or above the nights.
    pub leading: f64,
    /// Room between a lunar month and the next.
    pub gap: f64,
    /// Most nights written out.
    pub most_named: usize,
}

/// Widths of nights in a row: the longest lunar month has 29.84 days (Meeus, *More
/// Mathematical Astronomy Morsels*, 2002, chapter 4), and half a night stands out
/// at either end.
const NIGHTS: f64 = 30.9;
/// Lunar months from which on a site's season has the lower form: three years.
const MANY: usize = 40;
/// The most that the head of the first sheet takes, with the key and the phases.
const HEAD: f64 = 330.0;
/// What the head of each further sheet takes.
pub const FURTHER_HEAD: f64 = 54.0;
/// Room left free at the foot of a sheet.
const FOOT: f64 = 4.0;

impl SeasonLayout {
    /// The layout for so many sites and lunar months.
    pub fn of(size: Size, sites: usize, months: usize) -> Self {
        let form = match (sites, months) {
            (0 | 1, 0..=MANY) => Form::Site,
            (0 | 1, _) => Form::Years,
            _ => Form::Sites,
        };
        let (least, bold) = (size.least_type() + 0.01, true);
        let small = Type {
            size: least,
            bold: false,
        };
        let strong = Type { bold, ..small };
        let (gutter, beside) = match (size, form) {
            (Size::A4, Form::Sites) => (108.0, Some(172.0)),
            (Size::A4, Form::Site) => (63.0, Some(158.0)),
            (Size::A4, Form::Years) => (66.0, Some(258.0)),
            (Size::Phone, Form::Sites) => (104.0, None),
            (Size::Phone, _) => (76.0, None),
        };
        let inset = if form == Form::Years { 26.0 } else { 4.0 };
        let nights = size.left() + gutter + 5.0;
        // The first of a month may be the last night, and is written after it.
        let end = size.right() - beside.unwrap_or(20.0);
        let line = 1.17 * least;
        let (pitch, mark, gap, most_named) = match form {
            Form::Sites => (line + 0.1, 7.6, if size == Size::A4 { 4.0 } else { 9.0 }, 1),
            Form::Site => (13.4 + line, 9.0, 8.0, MOST_NAMED),
            Form::Years => (6.4, 4.6, 0.0, 1),
        };
        Self {
            size,
            form,
            small,
            strong,
            names: nights - 5.0,
            nights,
            day: (end - nights) / NIGHTS,
            // The first of a month that is the last night is written further right.
            beside: beside.map(|width| size.right() - width + inset),
            ruler: match (form, beside) {
                (Form::Years, Some(_)) => line - 1.6,
                _ => line + 1.6,
            },
            pitch,
            mark,
            leading: line + 0.5,
            gap,
            most_named,
        }
    }

    /// Position of the middle of a night, from the Moon's age there, days.
    pub fn x(&self, age_days: f64) -> f64 {
        self.nights + (age_days + 0.5) * self.day
    }

    /// Whether there is room for a score under each night.
    pub fn has_scores(&self) -> bool {
        self.form == Form::Site && self.day > self.small.width("88") + 2.9
    }

    /// Height of a month with so many rows and so many lines written out.
    pub fn block(&self, rows: usize, written: usize) -> f64 {
        let marks = self.ruler + self.pitch * rows.max(1) as f64;
        let words = self.leading * written as f64;
        self.gap
            + match (self.beside, self.form) {
                (Some(_), Form::Years) => marks.max(words),
                (Some(_), _) => marks.max(self.ruler + words),
                (None, _) => marks + words,
            }
    }

    /// The most lines written out for a month.
    pub fn most_written(&self) -> usize {
        match self.form {
            Form::Years => 1,
            Form::Sites => 3,
            Form::Site => MOST_NAMED + 2,
        }
    }

    /// The most rows of a month that have room on one sheet together.
    pub fn rows_together(&self) -> usize {
        match self.size.sheet_height() {
            Some(sheet) => {
                let free = sheet - HEAD - FOOT - self.gap - self.ruler;
                (free / self.pitch).floor().max(1.0) as usize
            }
            None => usize::MAX,
        }
    }

    /// Where the last month of a sheet must end, from its top; `None` for a
    /// screen.
    pub fn sheet_end(&self) -> Option<f64> {
        self.size.sheet_height().map(|height| height - FOOT)
    }

    /// The greatest height of a picture of so many sites, names of places and
    /// lunar months.
    fn most_height(&self, sites: usize, places: usize, months: usize) -> f64 {
        let rows = sites.saturating_add(places).max(1);
        let together = self.rows_together().min(rows);
        // A part may repeat the name of a place, and lack one that would end it.
        let new = match places {
            0 => together,
            _ if together == rows => rows,
            _ => together.saturating_sub(2).max(1),
        };
        let parts = months.saturating_mul(rows.div_ceil(new));
        let block = self.block(together, self.most_written());
        let (Some(sheet), Some(end)) = (self.size.sheet_height(), self.sheet_end()) else {
            return HEAD + block * parts as f64;
        };
        let first = ((end - HEAD) / block).floor().max(1.0);
        let further = ((end - FURTHER_HEAD) / block).floor().max(1.0);
        let left = (parts as f64 - first).max(0.0);
        sheet * (1.0 + (left / further).ceil())
    }
}

/// The greatest height of a season's picture of so many sites, of places with
/// several views among them ([`places_with_views`](super::places_with_views)) and
/// of lunar months, pixels: what it has before it is known which nights have a
/// window.
pub fn most_season_height(size: Size, sites: usize, places: usize, months: usize) -> f64 {
    SeasonLayout::of(size, sites, months).most_height(sites, places, months)
}

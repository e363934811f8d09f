//! The nights below the picture of the skyline, one line each.

use super::{
    Size,
    sheet::{Sheet, Type},
    skyline::SkylineChart,
    text_width::wrapped_as,
};
use crate::report::words::ridge_table;

/// Distance of the lines, pixels.
const LINE: f64 = 17.0;
/// Gap between two columns, pixels.
const GAP: f64 = 8.0;

/// The nights, one line each, under heads of two lines.
pub struct Table {
    heads: Vec<Vec<String>>,
    rows: Vec<Vec<String>>,
    /// The row of the night asked for.
    asked: Option<usize>,
    /// Left edges of the columns, pixels.
    lefts: Vec<f64>,
    head_lines: usize,
}

impl Table {
    /// The nights of a picture.
    pub fn of(chart: &SkylineChart<'_>, size: Size) -> Self {
        let narrow = size == Size::Phone;
        let (heads, rows) = ridge_table(chart.site, chart.rules, chart.nights, narrow);
        let nights = chart.nights.nights.iter();
        let asked = nights
            .enumerate()
            .find(|(_, night)| night.night.date == chart.nights.date)
            .map(|(index, _)| index);
        let count = heads.len().max(1) as f64;
        let wide = size.right() - size.left();
        // Each column has its cells' width, and all share what is left.
        let widest = |column: usize| {
            let cells = rows.iter().filter_map(|row| row.get(column));
            let width = cells
                .map(|cell| Type::SMALL_STRONG.width(cell))
                .fold(0.0, f64::max);
            let words = heads
                .get(column)
                .into_iter()
                .flat_map(|head| head.split(' '));
            words
                .map(|word| Type::SMALL.width(word))
                .fold(width, f64::max)
                + GAP
        };
        let widths: Vec<f64> = (0..heads.len()).map(widest).collect();
        let spare = ((wide - widths.iter().sum::<f64>()) / count).max(0.0);
        let mut lefts = Vec::new();
        let mut left = size.left();
        for width in &widths {
            lefts.push(left);
            left += width + spare;
        }
        let heads: Vec<Vec<String>> = heads
            .iter()
            .zip(&widths)
            .map(|(head, width)| wrapped_as(head, Type::SMALL, width + spare - GAP + 0.01))
            .collect();
        Self {
            head_lines: heads.iter().map(Vec::len).max().unwrap_or(0),
            heads,
            rows,
            asked,
            lefts,
        }
    }

    /// Its height, pixels.
    pub fn height(&self) -> f64 {
        LINE * (self.head_lines + self.rows.len()) as f64 + 12.0
    }

    /// Writes it.
    pub fn write(&self, sheet: &mut Sheet, top: f64, size: Size) {
        for (head, left) in self.heads.iter().zip(&self.lefts) {
            let above = self.head_lines - head.len();
            for (line, text) in head.iter().enumerate() {
                let baseline = top + LINE * ((above + line) as f64 + 0.8);
                sheet.write(text, Type::SMALL, [Type::SMALL.room(text, *left, baseline)]);
            }
        }
        let rule = top + LINE * self.head_lines as f64 + 1.0;
        sheet.faint_line((size.left(), rule), (size.right(), rule), 0.8);
        for (index, row) in self.rows.iter().enumerate() {
            let style = match self.asked == Some(index) {
                true => Type::SMALL_STRONG,
                false => Type::SMALL,
            };
            let baseline = rule + LINE * (index as f64 + 0.9);
            for (cell, left) in row.iter().zip(&self.lefts) {
                sheet.write(cell, style, [style.room(cell, *left, baseline)]);
            }
        }
    }

    /// The same for those who hear the picture.
    pub fn description(&self) -> String {
        let rows = self.rows.iter().map(|row| {
            let cells = self.heads.iter().zip(row).skip(1);
            let cells: Vec<String> = cells
                .map(|(head, cell)| format!("{} {cell}", head.join(" ")))
                .collect();
            let night = row.first().map_or("", String::as_str);
            format!("{night}: {}.", cells.join(", "))
        });
        rows.collect::<Vec<_>>().join(" ")
    }
}

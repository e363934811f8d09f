//! The marks of a season's nights, and the ruler above them.

use super::{
    night_axes::utc,
    placer::Room,
    season_blocks::{Block, Column, seen},
    season_layout::{Form, SeasonLayout},
    sheet::{Sheet, element, px, stroke, through},
};
use crate::{
    ephemeris::{EclipseKind, Quarter},
    report::words::is_marked,
    scene::LightKind,
    search::{NightMark, Window},
};
use chrono::{Datelike, Weekday};
use svg::Node;

/// Part of a night's width that its mark takes.
const FILLED: f64 = 0.84;
/// Thickness of a dark night's line, pixels.
const DARK: f64 = 1.3;
/// Thickness of the outline of a mark that is doubtful, pixels.
const OUTLINE: f64 = 1.1;

/// The mark of a kind of light about a point: heavy where a low Moon rakes, thin
/// where it is dark, and open or broken if it is doubtful. A blend has both in
/// their order.
pub fn mark(
    sheet: &mut Sheet,
    at: &SeasonLayout,
    (x, y): (f64, f64),
    (kind, moonlight_first, doubtful): (LightKind, bool, bool),
    data: &[(&str, String)],
) {
    let ink = sheet.palette.ink();
    let half = 0.5 * FILLED * at.day;
    let inset = if doubtful { 0.5 * OUTLINE } else { 0.0 };
    let (left, right) = (x - half + inset, x + half - inset);
    let heavy = 0.5 * at.mark - inset;
    let thin = if doubtful { 0.8 } else { 0.5 * DARK };
    let outline = match kind {
        LightKind::Dark => None,
        LightKind::Raking | LightKind::Any => {
            let tall = if kind == LightKind::Any { 0.5 } else { 1.0 } * heavy;
            Some(vec![
                (left, y - tall),
                (right, y - tall),
                (right, y + tall),
                (left, y + tall),
            ])
        }
        LightKind::Blend => {
            let (first, second) = match moonlight_first {
                true => (heavy, thin),
                false => (thin, heavy),
            };
            Some(vec![
                (left, y - first),
                (x, y - first),
                (x, y - second),
                (right, y - second),
                (right, y + second),
                (x, y + second),
                (x, y + first),
                (left, y + first),
            ])
        }
    };
    let mut node = match outline {
        Some(corners) => {
            let outline = format!("{}Z", through(&corners));
            match doubtful {
                true => {
                    let mut node = stroke(&outline, &ink, OUTLINE);
                    node.assign("fill", sheet.palette.paper());
                    node
                }
                false => element("path", [("d", outline), ("fill", ink)]),
            }
        }
        None => {
            // A line alone has no inside to leave empty.
            let line = through(&[(left, y), (right, y)]);
            let (ink, width) = (("stroke", ink), ("stroke-width", px(DARK)));
            let mut node = element("path", [("d", line), ink, width]);
            if doubtful {
                node.assign("stroke-dasharray", px(0.24 * (right - left)));
            }
            node
        }
    };
    for (key, value) in data {
        node.assign(*key, value.clone());
    }
    sheet.draw(node);
}

/// The mark of a night that has a window.
pub fn night(
    sheet: &mut Sheet,
    at: &SeasonLayout,
    (column, mark_of): (&Column, &NightMark),
    y: f64,
    site: &str,
) {
    let x = at.x(column.age_days);
    if let Some((kind, window)) = &mark_of.found {
        let doubtful = is_marked(window.doubts);
        let mut data = vec![
            ("data-night", mark_of.night.date.to_string()),
            ("data-site", site.to_owned()),
            ("data-kind", kind.to_string()),
            ("data-score", format!("{:.2}", window.score)),
            ("data-best-utc", utc(window.best.moment().seconds())),
        ];
        if doubtful {
            data.push(("data-doubtful", true.to_string()));
        }
        let what = (*kind, window.moonlight_is_first(), doubtful);
        mark(sheet, at, (x, y), what, &data);
    }
    if seen(mark_of.eclipse).is_some() {
        let half = 0.5 * at.mark + 1.0;
        sheet.line((x, y - half), (x, y + half), 2.0);
    }
}

/// The frame of the best night, without a night.
pub fn sample_frame(sheet: &mut Sheet, at: &SeasonLayout, (x, y): (f64, f64)) {
    framed(sheet, at, (x, y), None);
}

/// The frame about the mark of the best night.
pub fn frame(sheet: &mut Sheet, at: &SeasonLayout, x: f64, y: f64, window: &Window) {
    framed(sheet, at, (x, y), Some(window));
}

fn framed(sheet: &mut Sheet, at: &SeasonLayout, (x, y): (f64, f64), window: Option<&Window>) {
    let (half, tall) = match at.form {
        Form::Years => (0.5 * at.day, 0.5 * at.mark + 1.1),
        _ => (0.5 * at.day + 0.8, 0.5 * at.mark + 2.0),
    };
    let room = Room {
        left: x - half,
        top: y - tall,
        width: 2.0 * half,
        height: 2.0 * tall,
    };
    let mut frame = super::sheet::rectangle(room);
    for (key, value) in [
        ("fill", "none".to_owned()),
        ("stroke", sheet.palette.ink()),
        ("stroke-width", "1".to_owned()),
    ] {
        frame.assign(key, value);
    }
    if let Some(window) = window {
        frame.assign("data-best", window.night.to_string());
    }
    sheet.draw(frame);
}

/// The ruler of a lunar month: its line at `y` with the weekends, the Moon's
/// quarters and the first of each month as uprights down to `bottom`, and dates.
pub fn ruler(sheet: &mut Sheet, at: &SeasonLayout, block: &Block<'_>, y: f64, bottom: f64) {
    let days =
        |moment: crate::ephemeris::Moment| (moment.seconds() - block.start.seconds()) / 86_400.0;
    let faint = sheet.palette.faint();
    let half = 0.5 * at.day;
    let (Some(first), Some(last)) = (block.columns.first(), block.columns.last()) else {
        return;
    };
    let (from, to) = (at.x(first.age_days) - half, at.x(last.age_days) + half);
    // Between the lines of many years there is no room for a ruler.
    let weight = if at.form == Form::Years { 0.0 } else { 0.6 };
    let mut line = stroke(&through(&[(from, y), (to, y)]), &faint, weight);
    for (key, value) in [
        ("data-axes", "lunar-month".to_owned()),
        ("data-new-utc", utc(block.start.seconds())),
        ("data-new-x", format!("{:.4}", at.x(0.0))),
        ("data-day", format!("{:.4}", at.day)),
        ("data-y", px(y)),
    ] {
        line.assign(key, value);
    }
    sheet.draw(line);
    for (quarter, moment) in block.quarters {
        let x = at.x(days(*moment));
        // A thinner line, or shorter dots, would pale between the points of a screen.
        let ink = sheet.palette.ink();
        let mut node = stroke(&through(&[(x, y), (x, bottom)]), &ink, 1.1);
        node.assign("stroke-dasharray", "2 2.6");
        node.assign("data-quarter", quarter_word(*quarter));
        node.assign("data-utc", utc(moment.seconds()));
        sheet.draw(node);
    }
    for column in &block.columns {
        let x = at.x(column.age_days);
        let weekend = matches!(column.date.weekday(), Weekday::Fri | Weekday::Sat);
        if weekend && at.form != Form::Years {
            let part = FILLED * half;
            let ink = sheet.palette.ink();
            let ends = [(x - part, y), (x + part, y)];
            let mut node = stroke(&through(&ends), &ink, 2.2);
            node.assign("data-weekend", column.date.to_string());
            sheet.draw(node);
        }
        if column.date.day() == 1 {
            let x = x - half;
            let ink = sheet.palette.ink();
            let ends = [(x, y - 0.7 * at.ruler), (x, bottom)];
            let mut node = stroke(&through(&ends), &ink, 0.9);
            node.assign("data-month", column.date.format("%Y-%m").to_string());
            sheet.draw(node);
        }
    }
    dates(sheet, at, block, y - 3.2);
}

/// The dates on a ruler, the most needed first: words take the place of numbers.
fn dates(sheet: &mut Sheet, at: &SeasonLayout, block: &Block<'_>, baseline: f64) {
    let (small, strong) = (at.small, at.strong);
    let baseline = match at.form {
        Form::Years => baseline + 1.6,
        _ => baseline,
    };
    if let Some(first) = block.columns.first() {
        let text = first.date.format("%-d %b %Y").to_string();
        sheet.write(&text, small, [small.room(&text, at.size.left(), baseline)]);
    }
    for column in block.columns.iter().filter(|column| column.date.day() == 1) {
        let text = column.date.format("1 %b").to_string();
        let x = at.x(column.age_days) - 0.5 * at.day + 2.0;
        sheet.write(&text, strong, [strong.room(&text, x, baseline)]);
    }
    for column in &block.columns {
        let Some(kind) = column.eclipse else {
            continue;
        };
        let text = match kind {
            EclipseKind::Total => "total eclipse",
            EclipseKind::Partial | EclipseKind::Penumbral => "partial eclipse",
        };
        let x = at.x(column.age_days);
        let rooms = [
            strong.centred(text, x, baseline),
            // Beside the first of a month.
            strong.ending(text, x + 0.5 * at.day - 3.0, baseline),
            strong.room(text, x - 0.5 * at.day, baseline),
        ];
        sheet.write(text, strong, rooms);
    }
    for column in block
        .columns
        .iter()
        .filter(|column| column.date.day() % 5 == 0)
    {
        let text = column.date.day().to_string();
        let x = at.x(column.age_days);
        sheet.write(&text, small, [small.centred(&text, x, baseline)]);
    }
}

/// A quarter in the data of a picture.
fn quarter_word(quarter: Quarter) -> &'static str {
    match quarter {
        Quarter::New => "new",
        Quarter::First => "first",
        Quarter::Full => "full",
        Quarter::Last => "last",
    }
}

/// Faint dots under the dates of the ruler where a site's night is blank: they
/// lead along the line and down from the date.
pub fn dots(sheet: &mut Sheet, at: &SeasonLayout, nights: &[(Column, &NightMark)], y: f64) {
    let faint = sheet.palette.faint();
    for (column, mark) in nights {
        if column.date.day() % 5 == 0 && mark.found.is_none() {
            sheet.draw(element(
                "circle",
                [
                    ("cx", px(at.x(column.age_days))),
                    ("cy", px(y)),
                    ("r", "0.7".to_owned()),
                    ("fill", faint.clone()),
                ],
            ));
        }
    }
}

//! The rules of a night as upright bars.

use super::{
    night::NightChart,
    night_axes::{TimeAxis, utc},
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle},
};
use crate::{
    report::words::group_words,
    search::{Interval, Intervals},
    why::RuleGroup,
};

/// A bar.
#[derive(Debug, Clone)]
pub struct Bar {
    /// The rules that it stands for.
    pub words: String,
    held: Intervals,
    /// Where the night would have a window without them.
    missed: Option<Intervals>,
}

/// Height of a step of the names above the bars, pixels.
pub const STEP: f64 = 14.0;
/// Pixels from one bar to the next, and of a bar.
const PITCH: f64 = 9.0;
const WIDE: f64 = 5.0;

/// The bars of a night: first those of the moonlit land where it is a blend.
pub fn bars(chart: &NightChart<'_>) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    for period in &chart.periods {
        for group in period.reasons.groups() {
            // Where the Sun stays up, that it does is all there is to say.
            let sunlit = chart.plan.steps_below_sun_deg.is_none();
            if sunlit && group.group != RuleGroup::Dark {
                continue;
            }
            let words = group_words(&group, &period.rules);
            // What both periods ask is said once.
            let known = |bar: &Bar| bar.words == words && bar.held == group.held;
            if bars.iter().any(known) {
                continue;
            }
            let long = group.others.clone();
            let long = long.at_least_minutes(period.reasons.min_minutes);
            bars.push(Bar {
                words,
                held: group.held.clone(),
                missed: group.rejects_alone.then_some(long),
            });
        }
    }
    bars
}

/// How wide the bars of a night are together, pixels.
pub fn width(chart: &NightChart<'_>) -> f64 {
    PITCH * bars(chart).len() as f64 + 4.0
}

/// Draws the bars from `left` on, their names in steps above them.
pub fn draw(sheet: &mut Sheet, chart: &NightChart<'_>, time: &TimeAxis, left: f64) {
    let bars = bars(chart);
    let ink = sheet.palette.ink();
    for (index, bar) in bars.iter().enumerate() {
        let x = left + 6.0 + PITCH * index as f64;
        let middle = x + 0.5 * WIDE;
        // The last name is the highest, so that no line crosses a name.
        let baseline = time.top - super::night_view::HEADING + 4.0 - STEP * index as f64;
        let style = match bar.missed.is_some() {
            true => Type::SMALL_STRONG,
            false => Type::SMALL,
        };
        let words = match (bar.missed.is_some(), bar.held.is_empty()) {
            (true, _) => format!("{}: costs the window", bar.words),
            (false, true) => format!("{}: never", bar.words),
            (false, false) => bar.words.clone(),
        };
        for words in [&words, &bar.words] {
            let spots = [style.ending(words, middle + 4.0, baseline)];
            if sheet.write(words, style, spots).is_some() {
                break;
            }
        }
        sheet.faint_line((middle, baseline + 4.0), (middle, time.top), 0.6);
        for period in bar.held.as_slice() {
            let Some(room) = room(time, period, x) else {
                continue;
            };
            let mut drawn = rectangle(room);
            for (key, value) in [
                ("fill", sheet.palette.faint()),
                ("data-bar", bar.words.clone()),
                ("data-start-utc", utc(period.start)),
                ("data-end-utc", utc(period.end)),
            ] {
                svg::Node::assign(&mut drawn, key, value);
            }
            sheet.draw(drawn);
        }
        for period in bar.missed.iter().flat_map(Intervals::as_slice) {
            let Some(room) = room(time, period, x) else {
                continue;
            };
            sheet.draw(element(
                "rect",
                [
                    ("x", px(room.left - 2.0)),
                    ("y", px(room.top)),
                    ("width", px(room.width + 4.0)),
                    ("height", px(room.height)),
                    ("fill", "none".to_owned()),
                    ("stroke", ink.clone()),
                    ("stroke-width", "1.2".to_owned()),
                    ("stroke-dasharray", "2 2".to_owned()),
                    ("data-missed", bar.words.clone()),
                ],
            ));
        }
    }
}

fn room(time: &TimeAxis, period: &Interval, left: f64) -> Option<Room> {
    let (top, bottom) = (time.y_within(period.start), time.y_within(period.end));
    (bottom > top).then_some(Room {
        left,
        top,
        width: WIDE,
        height: bottom - top,
    })
}

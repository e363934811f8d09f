//! Sunset, twilights and sunrise above the diagram of a night.

use super::{
    caption::clock,
    night_axes::{Axes, NightChart},
    sheet::{Sheet, Type},
};
use crate::{ephemeris::EventKind, report::words::sight_words};

/// Rows of words above the diagram.
const TICK_ROWS: [f64; 5] = [78.0, 94.0, 110.0, 126.0, 142.0];

/// Draws sunset, the twilights and sunrise as ticks with words, each kind in a
/// row of its own if there is room.
pub fn draw(chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
    use EventKind::{
        AstronomicalDawn, AstronomicalDusk, CivilDawn, CivilDusk, NauticalDawn, NauticalDusk,
        Sunrise, Sunset,
    };
    let (top, bottom) = (axes.room().top, axes.room().top + axes.room().height);
    let row = |kind| match kind {
        Sunset | Sunrise => Some(0),
        CivilDusk | CivilDawn => Some(1),
        NauticalDusk | NauticalDawn => Some(2),
        AstronomicalDusk | AstronomicalDawn => Some(3),
        _ => None,
    };
    for event in &chart.series.events {
        let (Some(row), t) = (row(event.kind), event.moment.seconds()) else {
            continue;
        };
        if !axes.shows(t) {
            continue;
        }
        let x = axes.x(t);
        let text = format!(
            "{} {}",
            sight_words(event.kind, ""),
            clock(chart.site, event.moment)
        );
        let dusk = matches!(
            event.kind,
            Sunset | CivilDusk | NauticalDusk | AstronomicalDusk
        );
        // Words keep away from the middle of the night: the rows step down
        // toward it from either side.
        let rooms = (0..TICK_ROWS.len()).flat_map(|step| {
            let baseline = TICK_ROWS[(row + step) % TICK_ROWS.len()];
            let after = Type::SMALL.room(&text, x + 5.0, baseline);
            let before = Type::SMALL.ending(&text, x - 5.0, baseline);
            if dusk {
                [after, before]
            } else {
                [before, after]
            }
        });
        let Some(room) = sheet.write(&text, Type::SMALL, rooms) else {
            continue;
        };
        sheet.line((x, room.top + 2.0), (x, top), 1.0);
        sheet.placer.avoid_line((x, room.top + 2.0), (x, top), 2.0);
        sheet.faint_line((x, top), (x, bottom), 0.6);
    }
}

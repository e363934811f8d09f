//! What is below the diagram of a night: hours, windows, land against sky.

use super::{
    caption::clock,
    night_axes::{Axes, NightChart, utc},
    sheet::{Sheet, Type, element, px, stroke, through},
};
use crate::{scene::offset_text, search::Interval};
use chrono::Timelike;

/// Where the hours are written.
const HOURS: f64 = 518.0;
/// Where a clock change is written.
const CHANGE: f64 = 535.0;
/// Upper and lower edges of the windows' bars.
const BAR: (f64, f64) = (544.0, 560.0);
/// Rows of words under the bars.
const BAR_ROWS: [f64; 3] = [577.0, 593.0, 609.0];
/// Middle line of the strip of land against sky, and pixels per stop.
const BALANCE: f64 = 644.0;
const STOP: f64 = 5.0;
const STOPS: f64 = 4.0;
/// Where the caption begins.
pub const FOOT: f64 = 680.0;

/// Draws the hours of the wall clock, correct across a clock change.
pub fn draw_hours(chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
    let zone = chart.site.zone;
    let bottom = axes.room().top + axes.room().height;
    let first = crate::ephemeris::Moment::from_seconds(axes.from);
    let mut pieces = vec![(axes.from, zone.offset_seconds_at(first))];
    for (moment, offset) in &chart.series.clock_changes {
        if axes.shows(moment.seconds()) {
            pieces.push((moment.seconds(), *offset));
        }
    }
    // Clock changes come first: their words matter more than an hour's.
    for pair in pieces.windows(2) {
        let [(_, before), (t, after)] = pair else {
            continue;
        };
        let x = axes.x(*t);
        let ahead = after > before;
        let text = format!(
            "clocks go {} {} min here, to UTC{}",
            if ahead { "forward" } else { "back" },
            (after - before).abs() / 60,
            offset_text(*after)
        );
        let rooms = [
            Type::SMALL.centred(&text, x, CHANGE),
            Type::SMALL.room(&text, x - 20.0, CHANGE),
            Type::SMALL.ending(&text, x + 20.0, CHANGE),
        ];
        sheet.write(&text, Type::SMALL, rooms);
        let ink = sheet.palette.ink();
        let data = through(&[(x, bottom - 10.0), (x, CHANGE - 12.0)]);
        let mut tick = stroke(&data, &ink, 2.4);
        svg::Node::assign(&mut tick, "data-clock-change", utc(*t));
        sheet.draw(tick);
        sheet
            .placer
            .avoid_line((x, bottom), (x, CHANGE - 12.0), 3.0);
    }
    let ends = pieces.iter().skip(1).map(|piece| piece.0).chain([axes.to]);
    for ((from, offset), to) in pieces.iter().zip(ends) {
        let local = from + f64::from(*offset);
        // Moments count from noon, a whole hour.
        let mut hour = (local / 3600.0).ceil() * 3600.0;
        while hour - f64::from(*offset) <= to {
            let t = hour - f64::from(*offset);
            let x = axes.x(t);
            let moment = crate::ephemeris::Moment::from_seconds(t);
            let reading = zone.local(moment);
            let text = format!("{:02}:{:02}", reading.hour(), reading.minute());
            let room = Type::SMALL.centred(&text, x, HOURS);
            if sheet.write(&text, Type::SMALL, [room]).is_some() {
                sheet.line((x, bottom), (x, bottom + 6.0), 1.2);
            }
            hour += 3600.0;
        }
    }
}

/// Draws windows as bars, each with a notch and the time at its best instant.
pub fn draw_windows(chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
    let ink = sheet.palette.ink();
    sheet.faint_line((axes.x(axes.from), BAR.1), (axes.x(axes.to), BAR.1), 0.6);
    let bars: Vec<(Interval, f64, &str)> = chart
        .series
        .windows
        .iter()
        .flat_map(|window| {
            let dark = if window.land.is_some() {
                "sky"
            } else {
                "window"
            };
            let land = window
                .land
                .as_ref()
                .map(|land| (land.interval, land.best.moment().seconds(), "land"));
            [
                Some((window.interval, window.best.moment().seconds(), dark)),
                land,
            ]
        })
        .flatten()
        .collect();
    let mut drawn: Vec<(f64, &str)> = Vec::new();
    for (interval, best, word) in &bars {
        if drawn.contains(&(interval.start, *word)) {
            continue;
        }
        drawn.push((interval.start, *word));
        let (x0, x1, notch) = (
            axes.x(interval.start.max(axes.from)),
            axes.x(interval.end.min(axes.to)),
            axes.x(*best),
        );
        let hatched = *word == "land";
        let outline = [
            (x0, BAR.0),
            ((notch - 5.0).max(x0), BAR.0),
            (notch, BAR.0 + 9.0),
            ((notch + 5.0).min(x1), BAR.0),
            (x1, BAR.0),
            (x1, BAR.1),
            (x0, BAR.1),
        ];
        let fill = if hatched {
            sheet.url("slant")
        } else {
            ink.clone()
        };
        sheet.draw(element(
            "path",
            [
                ("d", format!("{}Z", through(&outline))),
                ("fill", fill),
                ("stroke", ink.clone()),
                ("stroke-width", "1".to_owned()),
                ("data-window", (*word).to_owned()),
                ("data-start-utc", utc(interval.start)),
                ("data-end-utc", utc(interval.end)),
                ("data-best-utc", utc(*best)),
            ],
        ));
        let top = axes.room().top;
        let mut hair = stroke(&through(&[(notch, top), (notch, BAR.0 + 9.0)]), &ink, 0.9);
        svg::Node::assign(&mut hair, "stroke-dasharray", "7 3");
        sheet.draw(hair);
        sheet.placer.avoid_line((notch, top), (notch, BAR.0), 2.0);
        let moment = |t: f64| clock(chart.site, crate::ephemeris::Moment::from_seconds(t));
        let text = format!(
            "{word} {}–{}, best {}",
            moment(interval.start),
            moment(interval.end),
            moment(*best)
        );
        let middle = 0.5 * (x0 + x1);
        let rooms = BAR_ROWS.iter().flat_map(|row| {
            [0.0, 60.0, -60.0, 110.0, -110.0]
                .map(|shift| Type::STRONG.centred(&text, middle + shift, *row))
        });
        sheet.write(&text, Type::STRONG, rooms);
    }
}

/// Draws the stops between land and sky as a thin strip.
pub fn draw_balance(chart: &NightChart<'_>, sheet: &mut Sheet, axes: &Axes) {
    let (left, right) = (axes.x(axes.from), axes.x(axes.to));
    sheet.faint_line((left, BALANCE), (right, BALANCE), 0.8);
    let points: Vec<(f64, f64)> = chart
        .shown(axes)
        .iter()
        .map(|instant| {
            let stops = instant.light.land_vs_sky_stops.clamp(-STOPS, STOPS);
            (axes.x(instant.moment().seconds()), BALANCE - STOP * stops)
        })
        .collect();
    let ink = sheet.palette.ink();
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        let area = format!(
            "{}L{} {}L{} {}Z",
            through(&points),
            px(last.0),
            px(BALANCE),
            px(first.0),
            px(BALANCE)
        );
        sheet.draw(element(
            "path",
            [("d", area), ("fill", sheet.palette.land())],
        ));
    }
    let mut line = stroke(&through(&points), &ink, 1.6);
    svg::Node::assign(&mut line, "data-line", "balance");
    svg::Node::assign(&mut line, "data-zero", px(BALANCE));
    svg::Node::assign(&mut line, "data-pixels-per-stop", px(STOP));
    sheet.draw(line);
    for pair in points.windows(2) {
        if let [a, b] = pair {
            sheet.placer.avoid_line(*a, *b, 2.0);
        }
    }
    for (stops, text) in [(4.0, "+4"), (0.0, "0"), (-4.0, "-4")] {
        let y = BALANCE - STOP * stops + 4.0;
        sheet.write(text, Type::SMALL, [Type::SMALL.ending(text, left - 8.0, y)]);
    }
    // Labels are close to the zero line, or outside the strip if the curve
    // leaves no room there.
    for (baselines, text) in [
        (
            [BALANCE - 9.0, BALANCE - STOP * STOPS - 6.0],
            "land brighter",
        ),
        (
            [BALANCE + 18.0, BALANCE + STOP * STOPS + 9.0],
            "land darker",
        ),
    ] {
        let rooms = baselines.into_iter().flat_map(|y| {
            (0..40).map(move |step| {
                let x = left + 6.0 + (right - left - 120.0) * f64::from(step) / 40.0;
                Type::SMALL.room(text, x, y)
            })
        });
        sheet.write(text, Type::SMALL, rooms);
    }
}

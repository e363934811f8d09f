//! What stands beside the axis of time: hours, windows, what happens.

use super::{
    caption::clock,
    night::NightChart,
    night_axes::{TimeAxis, utc},
    sheet::{Sheet, Type, stroke, through},
    text_width::wrapped_as,
};
use crate::{
    ephemeris::{EventKind, Moment},
    plan::{NightEvent, NightPlan, PlaceLine, place_lines},
    report::words::happening_words,
};

/// Pixels from a time to the diagram.
const GAP: f64 = 9.0;

/// The times of the windows, with whether each is a best instant.
fn window_times(chart: &NightChart<'_>) -> Vec<(f64, String)> {
    let mut times: Vec<(f64, String)> = Vec::new();
    for stretch in chart.stretches() {
        for t in [
            stretch.interval.start,
            stretch.best.seconds(),
            stretch.interval.end,
        ] {
            let text = clock(chart.plan.site, Moment::from_seconds(t));
            // A best instant at an end of its window is written once.
            let same = |(_, known): &(f64, String)| *known == text;
            if !times.iter().any(same) {
                times.push((t, text));
            }
        }
    }
    times
}

/// Room for the times left of the diagram, pixels.
pub fn times_width(chart: &NightChart<'_>, with_windows: bool) -> f64 {
    let site = chart.plan.site;
    let hours = chart.hours.iter().map(|instant| {
        let text = clock(site, instant.moment());
        Type::SMALL.width(&text)
    });
    let windows = window_times(chart).into_iter();
    let windows = windows
        .filter(|_| with_windows)
        .map(|(_, text)| Type::SMALL_STRONG.width(&text));
    hours.chain(windows).fold(0.0, f64::max) + GAP + 4.0
}

/// Draws the axis: the hours of the wall clock, and the times of the windows
/// where they belong to one view.
pub fn draw_times(
    sheet: &mut Sheet,
    chart: &NightChart<'_>,
    with_windows: bool,
    time: &TimeAxis,
    left: f64,
) {
    let site = chart.plan.site;
    sheet.faint_line((left, time.top), (left, time.bottom), 0.8);
    if with_windows {
        let items: Vec<Item> = window_times(chart)
            .into_iter()
            .map(|(t, text)| Item {
                at: time.y_within(t),
                lines: vec![text],
                style: Type::SMALL_STRONG,
                rank: 0,
            })
            .collect();
        for (item, middle) in spread(&items, time.top - 4.0, time.bottom + 8.0) {
            let Some(text) = item.lines.first() else {
                continue;
            };
            let baseline = middle + 0.36 * item.style.size;
            let spots = [item.style.ending(text, left - GAP, baseline)];
            if sheet.write(text, item.style, spots).is_some() {
                sheet.line((left - GAP + 2.0, middle), (left, item.at), 0.8);
            }
        }
    }
    let ink = sheet.palette.ink();
    for (moment, _) in &chart.series.clock_changes {
        if !time.shows(*moment) {
            continue;
        }
        let y = time.y(moment.seconds());
        let mut tick = stroke(&through(&[(left - 6.0, y), (left + 6.0, y)]), &ink, 2.4);
        svg::Node::assign(&mut tick, "data-clock-change", utc(moment.seconds()));
        sheet.draw(tick);
    }
    for instant in &chart.hours {
        if !time.shows(instant.moment()) {
            continue;
        }
        let y = time.y(instant.moment().seconds());
        let text = clock(site, instant.moment());
        let spots = [Type::SMALL.ending(&text, left - GAP, y + 4.0)];
        if sheet.write(&text, Type::SMALL, spots).is_some() {
            sheet.line((left - 4.0, y), (left, y), 1.2);
        }
    }
}

/// Words with the height at which they should stand.
#[derive(Debug, Clone)]
struct Item {
    at: f64,
    lines: Vec<String>,
    style: Type,
    /// What can be left out first has the highest.
    rank: u8,
}

/// Height of a line of words, over the size of the type.
const LINE: f64 = 1.18;

impl Item {
    fn height(&self) -> f64 {
        self.lines.len() as f64 * LINE * self.style.size + 2.5
    }
}

/// Puts words one below the other between two heights, each as near to its own
/// as the others let it; the result is the middle of each. What does not fit is
/// left out, the least important first.
fn spread(items: &[Item], top: f64, bottom: f64) -> Vec<(Item, f64)> {
    let mut items = items.to_vec();
    items.sort_by(|a, b| a.at.total_cmp(&b.at));
    while items.iter().map(Item::height).sum::<f64>() > bottom - top {
        let least = items.iter().enumerate().max_by_key(|(_, item)| item.rank);
        let Some(index) = least.map(|(index, _)| index) else {
            break;
        };
        items.remove(index);
    }
    // Blocks of words that touch: their first item, how many, the middle that
    // suits them best, their height.
    let mut blocks: Vec<(Vec<Item>, f64, f64)> = Vec::new();
    for item in items {
        let height = item.height();
        let mut block = (vec![item.clone()], item.at, height);
        while let Some(before) = blocks.pop() {
            if before.1 + 0.5 * before.2 <= block.1 - 0.5 * block.2 {
                blocks.push(before);
                break;
            }
            let height = before.2 + block.2;
            let mut all = before.0;
            all.extend(block.0);
            block = (all, 0.0, height);
            let mut down = 0.0;
            let mut sum = 0.0;
            for one in &block.0 {
                sum += one.at - (down + 0.5 * one.height());
                down += one.height();
            }
            let start = sum / block.0.len() as f64;
            block.1 = start + 0.5 * height;
            block.1 = block.1.min(bottom - 0.5 * height).max(top + 0.5 * height);
        }
        block.1 = block.1.min(bottom - 0.5 * block.2).max(top + 0.5 * block.2);
        blocks.push(block);
    }
    // At the bottom a block may have been pushed up into the one before.
    let mut ceiling = bottom;
    for block in blocks.iter_mut().rev() {
        block.1 = block.1.min(ceiling - 0.5 * block.2);
        ceiling = block.1 - 0.5 * block.2;
    }
    let mut placed = Vec::new();
    for (all, middle, height) in blocks {
        let mut y = middle - 0.5 * height;
        for item in all {
            let own = item.height();
            placed.push((item, y + 0.5 * own));
            y += own;
        }
    }
    placed
}

/// The column of what happens.
pub struct Column {
    /// Left edge, pixels.
    pub left: f64,
    /// Width, pixels.
    pub width: f64,
    /// Whether each line begins with its time.
    pub with_times: bool,
    /// Whether what happens to the place is told here.
    pub of_place: bool,
}

/// How soon an event is left out, and whether it is bold; `None` for what the
/// picture tells otherwise.
fn rank(event: NightEvent) -> Option<(u8, bool)> {
    use EventKind as Kind;
    Some(match event {
        NightEvent::Arrive
        | NightEvent::WindowOpens(_)
        | NightEvent::WindowBest(_)
        | NightEvent::WindowCloses(_)
        | NightEvent::LandBegins(_)
        | NightEvent::LandBest(_)
        | NightEvent::LandEnds(_)
        | NightEvent::TargetInPlace
        | NightEvent::TargetLeavesPlace => return None,
        NightEvent::EclipseBegins
        | NightEvent::TotalityBegins
        | NightEvent::EclipseGreatest { .. }
        | NightEvent::TotalityEnds
        | NightEvent::EclipseEnds
        | NightEvent::ClocksChange(_) => (1, true),
        NightEvent::Sky(Kind::Sunset | Kind::Sunrise | Kind::Moonrise | Kind::Moonset) => {
            (2, false)
        }
        NightEvent::Sky(Kind::AstronomicalDusk | Kind::AstronomicalDawn) => (2, false),
        NightEvent::Sky(Kind::CivilDusk | Kind::CivilDawn | Kind::MoonTransit) => (6, false),
        NightEvent::Sky(Kind::NauticalDusk | Kind::NauticalDawn | Kind::TargetTransit) => {
            (5, false)
        }
        NightEvent::Sky(_) => (4, false),
        _ => (3, false),
    })
}

/// Draws the events of a row of views, and what opens and closes the windows of
/// one that is alone.
pub fn draw(sheet: &mut Sheet, row: &[NightChart<'_>], time: &TimeAxis, column: &Column) {
    let alone = match row {
        [one] => Some(one),
        _ => None,
    };
    let mut items: Vec<Item> = Vec::new();
    let mut edges: Vec<(f64, String)> = Vec::new();
    for stretch in alone.iter().flat_map(|chart| chart.stretches()) {
        for (t, words, verb) in [
            (stretch.interval.start, &stretch.opens, "opens"),
            (stretch.interval.end, &stretch.closes, "closes"),
        ] {
            let Some(words) = words else { continue };
            let item = Item {
                at: time.y_within(t),
                lines: wrapped_as(
                    &format!("{verb}: {words}"),
                    Type::SMALL_STRONG,
                    column.width,
                ),
                style: Type::SMALL_STRONG,
                rank: 0,
            };
            items.push(item);
            edges.push((t, words.clone()));
        }
    }
    for line in lines(row, column) {
        let (event, moment) = (line.entry.event, line.moment());
        let Some((rank, bold)) = rank(event).filter(|_| time.shows(moment)) else {
            continue;
        };
        let plan = line.plan;
        let words = happening_words(event, plan.rules.target_name(), plan.windows.len());
        // What opens or closes a window is told as that.
        let is_told = |(t, edge): &(f64, String)| {
            (t - moment.seconds()).abs() < 90.0 && words.starts_with(edge.as_str())
        };
        if edges.iter().any(is_told) {
            continue;
        }
        let text = match column.with_times {
            true => format!("{} {words}", clock(plan.site, moment)),
            false => words,
        };
        let style = if bold {
            Type::SMALL_STRONG
        } else {
            Type::SMALL
        };
        items.push(Item {
            at: time.y(moment.seconds()),
            lines: wrapped_as(&text, style, column.width),
            style,
            rank,
        });
    }
    for (item, middle) in spread(&items, time.top - 6.0, time.bottom + 8.0) {
        let mut baseline = middle - 0.5 * (item.height() - 2.5) + 0.9 * item.style.size;
        for text in &item.lines {
            let spots = [item.style.room(text, column.left + 8.0, baseline)];
            sheet.write(text, item.style, spots);
            baseline += LINE * item.style.size;
        }
        sheet.faint_line((column.left, item.at), (column.left + 6.0, middle), 0.7);
    }
}

/// The lines of the timetable that a row shows.
fn lines<'c>(row: &'c [NightChart<'_>], column: &Column) -> Vec<PlaceLine<'c>> {
    let plans: Vec<&NightPlan<'_>> = row.iter().map(|chart| chart.plan).collect();
    let alone = plans.len() == 1;
    let mut lines = place_lines(plans, |plan| plan.order.iter());
    lines.retain(|line| match alone {
        true => column.of_place || !line.entry.event.is_of_place(),
        false => line.of_place,
    });
    lines
}

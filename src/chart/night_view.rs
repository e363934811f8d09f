//! The diagram of a night: directions across, bands of the windows, courses.

use super::{
    Size,
    caption::{bearing, clock},
    night::NightChart,
    night_axes::{Across, TimeAxis, utc},
    night_course,
    placer::{Room, Spot},
    sheet::{Sheet, Type, px, rectangle, stroke, through},
    text_width::{shortened, wrapped_as},
};
use crate::{scene::Facing, why::PeriodKind};

/// Room for the names of directions above the diagram, pixels.
pub const HEADING: f64 = 54.0;

/// Draws the bands of the windows from one edge to another.
pub fn ground(
    sheet: &mut Sheet,
    chart: &NightChart<'_>,
    time: &TimeAxis,
    (left, right): (f64, f64),
) {
    let ink = sheet.palette.ink();
    for stretch in chart.stretches() {
        let (top, bottom) = (
            time.y_within(stretch.interval.start),
            time.y_within(stretch.interval.end),
        );
        let mut band = rectangle(Room {
            left,
            top,
            width: right - left,
            height: bottom - top,
        });
        let word = match stretch.kind {
            PeriodKind::Both => "window",
            PeriodKind::Dark => "sky",
            PeriodKind::Moonlit => "land",
        };
        for (key, value) in [
            ("fill", sheet.palette.land()),
            ("data-window", word.to_owned()),
            ("data-start-utc", utc(stretch.interval.start)),
            ("data-end-utc", utc(stretch.interval.end)),
            ("data-best-utc", utc(stretch.best.seconds())),
        ] {
            svg::Node::assign(&mut band, key, value);
        }
        sheet.draw(band);
        for y in [top, bottom] {
            let data = through(&[(left, y), (right, y)]);
            sheet.draw(stroke(&data, &ink, 1.3));
        }
    }
}

/// The lines that no figure may touch: the ends of the windows and their best
/// instants.
fn lines(chart: &NightChart<'_>, time: &TimeAxis) -> Vec<f64> {
    let of = |one: &super::night::Stretch| {
        [one.interval.start, one.interval.end, one.best.seconds()].map(|t| time.y(t))
    };
    chart.stretches().iter().flat_map(of).collect()
}

/// What the words in a diagram must keep clear of, and what is behind them.
pub struct Field {
    lines: Vec<f64>,
    bands: Vec<(f64, f64)>,
    room: Room,
}

impl Field {
    fn of(chart: &NightChart<'_>, time: &TimeAxis, across: &Across) -> Self {
        let bands = chart
            .stretches()
            .into_iter()
            .map(|one| (time.y(one.interval.start), time.y(one.interval.end)));
        Self {
            lines: lines(chart, time),
            bands: bands.collect(),
            room: Room {
                left: across.left,
                top: time.top,
                width: across.right - across.left,
                height: time.bottom - time.top,
            },
        }
    }

    /// The rooms in the diagram that no line crosses.
    pub fn clear(&self, spots: impl IntoIterator<Item = Spot>) -> Vec<Spot> {
        let free = |spot: &Spot| {
            let struck = |y: &f64| spot.top < *y + 0.8 && *y - 0.8 < spot.top + spot.height;
            self.room.holds(spot) && !self.lines.iter().any(struck)
        };
        spots.into_iter().filter(free).collect()
    }

    /// Writes a text there with the ground's grey around its letters.
    pub fn write(
        &self,
        sheet: &mut Sheet,
        text: &str,
        style: Type,
        spots: impl IntoIterator<Item = Spot>,
    ) -> bool {
        let clear = self.clear(spots);
        let Some(spot) = sheet.placer.place(text, clear) else {
            return false;
        };
        let middle = spot.top + 0.5 * spot.height;
        let in_band = |(top, bottom): &(f64, f64)| (*top..=*bottom).contains(&middle);
        let ground = match self.bands.iter().any(in_band) {
            true => sheet.palette.land(),
            false => sheet.palette.paper(),
        };
        sheet.set(text, style, Some(ground), spot);
        true
    }
}

/// Draws directions, courses and the lines of the best instants. `with_times`
/// asks for the times of the windows in the diagram.
pub fn draw(
    sheet: &mut Sheet,
    chart: &NightChart<'_>,
    time: &TimeAxis,
    across: &Across,
    with_times: bool,
) {
    let field = Field::of(chart, time, across);
    axes(sheet, time, across, chart);
    directions(sheet, chart, time, across);
    frame(sheet, chart, time, across);
    let ink = sheet.palette.ink();
    let mut names = Vec::new();
    for stretch in chart.stretches() {
        let y = time.y(stretch.best.seconds());
        let data = through(&[(across.left - 4.0, y), (across.right, y)]);
        let mut line = stroke(&data, &ink, 1.0);
        svg::Node::assign(&mut line, "stroke-dasharray", "5 3");
        svg::Node::assign(&mut line, "data-best", utc(stretch.best.seconds()));
        sheet.draw(line);
        let name = match stretch.kind {
            PeriodKind::Both => "",
            PeriodKind::Moonlit => "moonlit land",
            PeriodKind::Dark => "dark sky",
        };
        if !name.is_empty() {
            let style = Type::SMALL_STRONG;
            let (top, bottom) = (
                time.y_within(stretch.interval.start),
                time.y_within(stretch.interval.end),
            );
            let rows = [top + 14.0, bottom - 5.0, top + 28.0, bottom - 19.0];
            let spots: Vec<_> = rows
                .into_iter()
                .filter(|y| (top + 10.0..=bottom - 3.0).contains(y))
                .flat_map(|y| {
                    [
                        style.ending(name, across.right - 4.0, y),
                        style.room(name, across.left + 6.0, y),
                        style.centred(name, across.x(0.0), y),
                    ]
                })
                .collect();
            names.push((name, style, spots));
        }
        if with_times {
            for (t, below) in [
                (stretch.interval.start, true),
                (stretch.interval.end, false),
            ] {
                let text = clock(chart.plan.site, crate::ephemeris::Moment::from_seconds(t));
                let style = Type::SMALL_STRONG;
                let y = time.y_within(t) + if below { 12.5 } else { -3.5 };
                let other = time.y_within(t) + if below { -3.5 } else { 12.5 };
                let spots = [y, other].map(|y| style.room(&text, across.left + 3.0, y));
                field.write(sheet, &text, style, spots);
            }
        }
    }
    night_course::draw(sheet, chart, time, across, &field);
    // The courses come first: there is more room for a name.
    for (name, style, spots) in names {
        field.write(sheet, name, style, spots);
    }
}

/// An unseen rectangle that tells what is where.
fn axes(sheet: &mut Sheet, time: &TimeAxis, across: &Across, chart: &NightChart<'_>) {
    let mut room = rectangle(Room {
        left: across.left,
        top: time.top,
        width: across.right - across.left,
        height: time.bottom - time.top,
    });
    let view = chart.plan.site.view.clone().unwrap_or_default();
    for (key, value) in [
        ("fill", "none".to_owned()),
        ("data-axes", "night".to_owned()),
        ("data-view", view),
        ("data-from-utc", utc(time.from)),
        ("data-to-utc", utc(time.to)),
        ("data-half-deg", px(across.half_deg)),
    ] {
        svg::Node::assign(&mut room, key, value);
    }
    sheet.draw(room);
}

/// Draws an upright dotted line at a direction.
fn upright(sheet: &mut Sheet, time: &TimeAxis, x: f64) {
    let ink = sheet.palette.faint();
    let data = through(&[(x, time.top - 4.0), (x, time.bottom)]);
    let mut line = stroke(&data, &ink, 0.9);
    svg::Node::assign(&mut line, "stroke-dasharray", "1.5 3.5");
    sheet.draw(line);
}

/// Names and draws the directions.
fn directions(sheet: &mut Sheet, chart: &NightChart<'_>, time: &TimeAxis, across: &Across) {
    let style = Type::SMALL;
    let (low, high) = (time.top - 7.0, time.top - 20.5);
    let facing = chart.series.instants.first().map_or(0.0, |i| i.facing_deg);
    let subject = chart.plan.site.subject.as_ref();
    let name = subject.and_then(|subject| subject.name.clone());
    let name = name.unwrap_or_else(|| "subject".to_owned());
    let (middle, toward) = match chart.plan.rules.facing {
        Facing::Subject => (name.clone(), Some(facing)),
        Facing::Target => (chart.plan.rules.target_name().to_owned(), None),
        Facing::Arch => ("arch".to_owned(), None),
        Facing::Bearing(_) | Facing::Magnetic(_) => ("camera".to_owned(), Some(facing)),
    };
    upright(sheet, time, across.x(0.0));
    for (offset, text) in [(-90.0, "90° left"), (90.0, "90° right")] {
        if !across.shows(offset) {
            continue;
        }
        let x = across.x(offset);
        upright(sheet, time, x);
        let at_edge = match offset < 0.0 {
            true => style.room(text, across.left - 4.0, low),
            false => style.ending(text, across.right + 4.0, low),
        };
        let (first, last) = (across.left - 14.0, across.right + 4.0);
        let spots = [
            style.centred(text, x, low),
            at_edge,
            style.centred(text, x, high),
        ];
        let spots = spots
            .into_iter()
            .filter(|spot| spot.left >= first && spot.left + spot.width <= last);
        sheet.write(text, style, spots);
    }
    let width = across.x(86.0) - across.x(-86.0);
    let lines = name_lines(&middle, toward, width);
    // Beside the names of the sides where there is room, else above them.
    let rows = |from: f64| (0..lines.len()).map(move |row| from - 13.5 * row as f64);
    let fits = |from: f64| {
        let pairs = lines.iter().rev().zip(rows(from));
        pairs.into_iter().all(|(line, y)| {
            let spot = Type::SMALL_STRONG.centred(line, across.x(0.0), y);
            sheet.placer.is_free(&spot)
        })
    };
    let from = if fits(low) { low } else { high };
    for (line, y) in lines.iter().rev().zip(rows(from)) {
        let spots = [Type::SMALL_STRONG.centred(line, across.x(0.0), y)];
        sheet.write(line, Type::SMALL_STRONG, spots);
    }
    let own = chart.plan.rules.facing == Facing::Subject;
    let apart = chart.subject_offset_deg.filter(|_| !own);
    if let Some(offset) = apart.filter(|offset| across.shows(*offset) && offset.abs() > 1.0) {
        let x = across.x(offset);
        upright(sheet, time, x);
        let text = shortened(&name, style.size, false, width);
        let spots = [low, high, high - 13.5].map(|y| style.centred(&text, x, y));
        sheet.write(&text, style, spots);
    }
}

/// The name of what the camera faces, in two lines at most, with its bearing.
fn name_lines(name: &str, toward_deg: Option<f64>, width: f64) -> Vec<String> {
    let style = Type::SMALL_STRONG;
    let tail = toward_deg.map_or_else(String::new, |deg| format!(" {}", bearing(deg)));
    let whole = format!("{name}{tail}");
    let lines = wrapped_as(&whole, style, width);
    if lines.len() <= 2 {
        return lines;
    }
    // The bearing stays, whatever the name loses.
    let mut lines = wrapped_as(name, style, width);
    let rest = lines.split_off(1).join(" ");
    let room = width - style.width(&tail);
    let rest = shortened(&rest, style.size, style.bold, room);
    lines.push(format!("{rest}{tail}"));
    lines
}

/// Draws the edges of the frame and says below which it is.
fn frame(sheet: &mut Sheet, chart: &NightChart<'_>, time: &TimeAxis, across: &Across) {
    let Some(frame) = &chart.frame else { return };
    let ink = sheet.palette.ink();
    let [left, right] = [frame.left_deg, frame.right_deg]
        .map(|offset| across.x(offset).clamp(across.left, across.right));
    let points = [
        (left, time.bottom),
        (left, time.top),
        (right, time.top),
        (right, time.bottom),
    ];
    let mut line = stroke(&through(&points), &ink, 2.2);
    svg::Node::assign(&mut line, "data-frame", "edges");
    sheet.draw(line);
    for x in [left, right] {
        sheet
            .placer
            .avoid_line((x, time.top), (x, time.bottom), 2.0);
    }
    let middle = 0.5 * (left + right);
    let y = time.bottom + 14.0;
    let style = Type::SMALL;
    // The lens matters most.
    let lens = frame.words.split(", ").next().unwrap_or_default();
    for text in [format!("frame: {}", frame.words), lens.to_owned()] {
        let spots = [
            style.centred(&text, middle, y),
            style.room(&text, across.left, y),
            style.ending(&text, across.right, y),
            style.room(&text, Size::MARGIN, y),
        ];
        if sheet.write(&text, style, spots).is_some() {
            break;
        }
    }
}

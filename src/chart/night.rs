//! One night: time runs down, direction from the camera across.

use super::{
    Look, Picture, Size,
    caption::{LEADING, caption_lines, write_lines},
    night_axes::{Across, TimeAxis, span, whole_hours},
    night_bars, night_events,
    night_frame::{FrameEdges, frame_edges},
    night_head, night_lanes, night_view,
    sheet::{Sheet, Type},
    text_width::shortened,
};
use crate::{
    ephemeris::{Eclipse, Moment},
    plan::{NightEvent, NightPlan, NightStep},
    report::words::{closing_words, opening_words},
    rule::{Conditions, offset_deg},
    scene::{Facing, LightKind, Skyline},
    search::{Interval, NightSeries, PlanError, Planner},
    why::{PeriodKind, PeriodReasons},
};

/// One night of a view of a place.
#[derive(Debug, Clone)]
pub struct NightChart<'a> {
    /// The night worked out for the field.
    pub(super) plan: &'a NightPlan<'a>,
    /// How it goes, for the camera direction of the picture.
    pub(super) series: NightSeries,
    /// Sky and light at the whole hours of the wall clock.
    pub(super) hours: Vec<Conditions>,
    /// Why it has the windows it has.
    pub(super) periods: Vec<PeriodReasons>,
    /// The lunar eclipses that fall in it.
    pub(super) eclipses: Vec<Eclipse>,
    /// What the camera's frame holds across; `None` where the camera is not
    /// known.
    pub(super) frame: Option<FrameEdges>,
    /// Where the subject is, from the camera direction; `None` where that turns
    /// with the sky, or there is no subject.
    pub(super) subject_offset_deg: Option<f64>,
}

/// A period that is drawn as a band: a window, or one of a blend's two.
#[derive(Debug, Clone)]
pub struct Stretch {
    pub kind: PeriodKind,
    pub interval: Interval,
    pub best: Moment,
    /// Sky and light at the best instant.
    pub at_best: Conditions,
    pub opens: Option<String>,
    pub closes: Option<String>,
}

impl<'a> NightChart<'a> {
    /// The picture of a night that is worked out as `plan`.
    ///
    /// # Errors
    ///
    /// A plan of another planner's night.
    pub fn of(planner: &Planner, plan: &'a NightPlan<'a>) -> Result<Self, PlanError> {
        let date = plan.night.date;
        let mut series = planner.series(date, NightSeries::STEPS)?;
        let best = plan.windows.iter().min_by_key(|window| window.rank);
        // The camera of a blend stays where it is.
        let fixed_deg = best
            .filter(|_| plan.rules.light == LightKind::Blend)
            .map(|window| window.best.facing_deg);
        let at = |moment| match fixed_deg {
            Some(facing_deg) => planner.at_facing(moment, facing_deg),
            None => planner.instant_at(moment),
        };
        if fixed_deg.is_some() {
            for instant in &mut series.instants {
                *instant = at(instant.moment());
            }
        }
        let hours = whole_hours(plan.site.zone, &plan.night, &series.clock_changes);
        let seen = best.map_or_else(|| at(plan.darkness.darkest), |window| window.best);
        let turns = matches!(plan.rules.facing, Facing::Target | Facing::Arch);
        let bearing = plan.site.subject_bearing_deg();
        Ok(Self {
            frame: frame_edges(planner, plan, &seen, best.is_some()),
            subject_offset_deg: bearing
                .filter(|_| fixed_deg.is_some() || !turns)
                .map(|bearing| offset_deg(bearing, seen.facing_deg)),
            hours: hours.into_iter().map(at).collect(),
            periods: planner.period_reasons(date)?,
            eclipses: eclipses(planner, plan),
            plan,
            series,
        })
    }

    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        Self::sheet(std::slice::from_ref(self), look, true)
    }

    /// Draws the views of one place: on paper beside each other on one axis of
    /// time, on a phone one below the other. What happens to the place is told
    /// once.
    pub fn draw_all(charts: &[Self], look: Look) -> Picture {
        if look.size == Size::A4 {
            return Self::sheet(charts, look, true);
        }
        let each = charts.iter().enumerate().map(|(index, chart)| {
            let look = look.numbered(look.number + index);
            Self::sheet(std::slice::from_ref(chart), look, index == 0)
        });
        Picture::stacked(each.collect())
    }

    /// Draws the views on one sheet, with what happens to their place if
    /// `of_place` asks for it.
    fn sheet(charts: &[Self], look: Look, of_place: bool) -> Picture {
        let size = look.size;
        let across = match charts.len() {
            4 => 2,
            count => count.clamp(1, 3),
        };
        let rows: Vec<&[Self]> = charts.chunks(across).collect();
        let head = night_head::head(charts, size);
        let foot: Vec<String> =
            caption_lines(&[night_head::caption(charts)], size.right() - size.left());
        let foot_height = LEADING * foot.len() as f64 + 14.0;
        let (from, to) = span(charts);
        let above: Vec<f64> = rows.iter().map(|row| headroom(row)).collect();
        let sunlit = charts.iter().all(|c| c.plan.steps_below_sun_deg.is_none());
        // A night in which the Sun stays up has nothing to find a time for.
        let seconds = if sunlit { 0.0 } else { to - from };
        let height = row_height(size, seconds, rows.len(), {
            head.bottom(size) + foot_height + above.iter().sum::<f64>()
        });
        let whole = head.bottom(size)
            + above.iter().sum::<f64>()
            + rows.len() as f64 * (height + BELOW)
            + foot_height;
        let mut sheet =
            Sheet::new("night", look.palette, size.width(), whole).numbered(look.number);
        sheet.define_hatch("slant", 6.0, 1.4, 45.0);
        sheet.define_hatch("rungs", 5.0, 1.2, 90.0);
        head.write(&mut sheet, size);
        write_lines(&mut sheet, &foot, size.left(), whole - foot_height + 14.0);
        let mut top = head.bottom(size);
        for (row, above) in rows.iter().zip(above) {
            top += above;
            let time = TimeAxis {
                from,
                to,
                top,
                bottom: top + height,
            };
            draw_row(&mut sheet, row, charts.len() > 1, size, &time, of_place);
            top += height + BELOW;
        }
        let description = format!("{} {}", head.description(), night_head::told(charts));
        sheet.finish(&head.title, description.trim())
    }

    /// The terrain that hides the target (seen from the camera) or the Moon
    /// (seen from the subject, which it must light).
    pub(super) fn terrain(&self, of_land: bool) -> Option<&Skyline> {
        let site = self.plan.site;
        match of_land {
            true => site.subject_skyline.as_ref().or(site.skyline.as_ref()),
            false => site.skyline.as_ref(),
        }
    }

    /// Whether the sky is dark enough for the lines of target and land to mean
    /// anything.
    pub(super) fn is_dark(&self, instant: &Conditions) -> bool {
        let below = self.plan.steps_below_sun_deg;
        below.is_some_and(|below| instant.sky.sun.altitude_deg < below)
    }

    /// What is drawn as bands, in order of time.
    pub(super) fn stretches(&self) -> Vec<Stretch> {
        let mut all: Vec<Stretch> = Vec::new();
        for window in &self.plan.windows {
            let blend = window.land.is_some();
            let own = match blend {
                true => PeriodKind::Dark,
                false => PeriodKind::Both,
            };
            all.push(self.stretch(own, window.interval, window.best));
            if let Some(land) = &window.land {
                let is_land = |one: &Stretch| one.kind == PeriodKind::Moonlit;
                let same = |one: &Stretch| one.interval == land.interval;
                if !all.iter().any(|one| is_land(one) && same(one)) {
                    all.push(self.stretch(PeriodKind::Moonlit, land.interval, land.best));
                }
            }
        }
        all.sort_by(|a, b| a.interval.start.total_cmp(&b.interval.start));
        all
    }

    fn stretch(&self, kind: PeriodKind, interval: Interval, at_best: Conditions) -> Stretch {
        let period = self.periods.iter().find(|period| period.kind == kind);
        let ends = period.and_then(|period| {
            let mut windows = period.reasons.windows.iter();
            let near = |start: f64| (start - interval.start).abs() < 2.0;
            let ends = windows.find(|ends| near(ends.interval.start))?;
            Some((ends, &period.rules))
        });
        Stretch {
            kind,
            interval,
            best: at_best.moment(),
            at_best,
            opens: ends.and_then(|(ends, rules)| opening_words(ends, rules)),
            closes: ends.and_then(|(ends, rules)| closing_words(ends, rules)),
        }
    }

    /// The step of the timetable at an event.
    pub(super) fn step(&self, event: NightEvent) -> Option<&NightStep> {
        let mut order = self.plan.order.iter();
        order
            .find(|entry| entry.event == event)
            .map(|entry| &entry.step)
    }
}

/// Room below the diagram for the words of the frame.
const BELOW: f64 = 24.0;
/// Pixels of an hour where there is room.
const HOUR: f64 = 64.0;
/// The least and the most height of a diagram, pixels.
const LEAST: f64 = 330.0;
const MOST: f64 = 1000.0;

/// The height of a row of diagrams.
fn row_height(size: Size, seconds: f64, rows: usize, others: f64) -> f64 {
    let natural = (HOUR * seconds / 3600.0).clamp(LEAST, MOST);
    let rows = rows.max(1) as f64;
    match size.sheet_height() {
        Some(sheet) => natural.min((sheet - others) / rows - BELOW).max(LEAST),
        None => natural,
    }
}

/// Room above a row of diagrams: the names of the bars in steps, directions
/// below them.
fn headroom(row: &[NightChart<'_>]) -> f64 {
    let steps = row.iter().map(|chart| night_bars::bars(chart).len()).max();
    night_bars::STEP * steps.unwrap_or(0) as f64 + night_view::HEADING
}

/// Draws a row of diagrams with its axis of time.
fn draw_row(
    sheet: &mut Sheet,
    row: &[NightChart<'_>],
    several: bool,
    size: Size,
    time: &TimeAxis,
    of_place: bool,
) {
    let Some(first) = row.first() else { return };
    let one = (row.len() == 1).then_some(first);
    let lanes = one
        .filter(|chart| size == Size::A4 && !several && night_lanes::are_drawn(chart))
        .map_or(0.0, |_| night_lanes::WIDTH);
    let events = match size {
        Size::A4 => 136.0,
        Size::Phone => 100.0,
    };
    let times = night_events::times_width(first, one.is_some());
    let left = size.left() + times;
    let right = size.right() - lanes - events;
    let gap = 10.0;
    let each = (right - left) / row.len() as f64;
    let mut panels = Vec::new();
    for (index, chart) in row.iter().enumerate() {
        let start = left + each * index as f64;
        let bars = night_bars::width(chart);
        let across = Across::of(chart, start, start + each - gap - bars);
        panels.push((chart, across, start + each - gap - bars));
    }
    for (chart, across, bars) in &panels {
        let band = (across.left, *bars + night_bars::width(chart));
        night_view::ground(sheet, chart, time, band);
        if lanes > 0.0 {
            let beside = (size.right() - lanes, size.right());
            night_view::ground(sheet, chart, time, beside);
        }
    }
    night_events::draw_times(sheet, first, one.is_some(), time, left);
    // What happens comes first: no figure may take its place.
    let column = night_events::Column {
        left: right,
        width: events - 8.0,
        with_times: size == Size::A4,
        of_place,
    };
    night_events::draw(sheet, row, time, &column);
    if let Some(chart) = one.filter(|_| lanes > 0.0) {
        let at = size.right() - lanes;
        night_lanes::draw(sheet, chart, time, at);
    }
    for (chart, across, bars) in &panels {
        if several && row.len() > 1 {
            let name = chart.plan.site.view.as_deref().unwrap_or_default();
            let y = time.top - headroom(row) + 12.0;
            let short = shortened(name, Type::STRONG.size, true, across.right - across.left);
            for name in [name, short.as_str()] {
                let spots = [Type::STRONG.room(name, across.left, y)];
                let fits = Type::STRONG.width(name) < each - gap;
                if fits && sheet.write(name, Type::STRONG, spots).is_some() {
                    break;
                }
            }
        }
        night_bars::draw(sheet, chart, time, *bars);
        night_view::draw(sheet, chart, time, across, one.is_none());
    }
}

/// The lunar eclipses in which the Moon touches the umbra during a night.
fn eclipses(planner: &Planner, plan: &NightPlan<'_>) -> Vec<Eclipse> {
    let all = planner.season().eclipses().iter();
    all.filter(|eclipse| {
        let partial = eclipse.partial;
        partial.is_some_and(|[from, to]| from < plan.night.end && to > plan.night.start)
    })
    .copied()
    .collect()
}

//! Where time and direction are on the sheet of a night.

use super::night::NightChart;
use crate::{
    ephemeris::{EventKind, Moment},
    scene::Zone,
    search::Night,
};

/// Time shown before sunset and after sunrise, seconds.
const MARGIN_SECONDS: f64 = 1500.0;
/// Time shown around the windows of a Moon that is the target, seconds.
const AROUND_SECONDS: f64 = 5400.0;
/// The least time shown, seconds.
const LEAST_SECONDS: f64 = 4.0 * 3600.0;

/// Time, which runs down.
#[derive(Debug, Clone, Copy)]
pub struct TimeAxis {
    /// First and last moment shown, seconds.
    pub from: f64,
    /// See `from`.
    pub to: f64,
    /// Where they are, pixels.
    pub top: f64,
    /// See `top`.
    pub bottom: f64,
}

impl TimeAxis {
    /// Where a moment is, pixels from the top.
    pub fn y(&self, seconds: f64) -> f64 {
        self.top + (self.bottom - self.top) * (seconds - self.from) / (self.to - self.from)
    }

    /// The same within the diagram.
    pub fn y_within(&self, seconds: f64) -> f64 {
        self.y(seconds).clamp(self.top, self.bottom)
    }

    /// Whether a moment is shown.
    pub fn shows(&self, moment: Moment) -> bool {
        (self.from..=self.to).contains(&moment.seconds())
    }
}

/// Direction from the camera, which runs across with its own in the middle.
#[derive(Debug, Clone, Copy)]
pub struct Across {
    /// Left edge, pixels.
    pub left: f64,
    /// Right edge, pixels.
    pub right: f64,
    /// What they are from the camera direction, degrees.
    pub half_deg: f64,
}

/// Degrees to either side: the directions square to the camera's and a little
/// more.
const HALF_DEG: f64 = 106.0;

impl Across {
    /// The axis between two edges, wide enough for the frame and for Moon and
    /// target at the best instants.
    pub fn of(chart: &NightChart<'_>, left: f64, right: f64) -> Self {
        let frame = chart.frame.as_ref();
        let frame = frame.map_or(0.0, |frame| frame.right_deg.max(-frame.left_deg) + 6.0);
        let stretches = chart.stretches();
        let bodies = stretches.iter().flat_map(|stretch| {
            let instant = &stretch.at_best;
            let moon = match instant.is_moonlit() {
                true => instant.signed_light_angle_deg(),
                false => 0.0,
            };
            [moon, instant.target_offset_deg()]
        });
        let wide = bodies.fold(frame, |wide, offset| wide.max(offset.abs() + 8.0));
        Self {
            left,
            right,
            half_deg: wide.clamp(HALF_DEG, 180.0),
        }
    }

    /// Where a direction is, pixels from the left.
    pub fn x(&self, offset_deg: f64) -> f64 {
        let middle = 0.5 * (self.left + self.right);
        middle + 0.5 * (self.right - self.left) * offset_deg / self.half_deg
    }

    /// Whether a direction is shown.
    pub fn shows(&self, offset_deg: f64) -> bool {
        offset_deg.abs() <= self.half_deg
    }
}

/// From before sunset to after sunrise, the windows included; the whole night if
/// the Sun does neither.
pub fn span(charts: &[NightChart<'_>]) -> (f64, f64) {
    let spans = charts.iter().map(|chart| {
        let plan = chart.plan;
        let (start, end) = (plan.night.start.seconds(), plan.night.end.seconds());
        let set = plan.when(EventKind::Sunset).map(Moment::seconds);
        let rise = plan.events.iter().rev();
        let mut rise = rise.filter(|event| event.kind == EventKind::Sunrise);
        let rise = rise.next().map(|event| event.moment.seconds());
        let rise = rise.filter(|rise| set.is_none_or(|set| *rise > set));
        let mut from = set.map_or(start, |set| set - MARGIN_SECONDS);
        let mut to = rise.map_or(end, |rise| rise + MARGIN_SECONDS);
        for window in &plan.windows {
            let whole = window.whole();
            from = from.min(whole.start - 600.0);
            to = to.max(whole.end + 600.0);
        }
        // A Moon that is the target is taken in a twilight, and not all night.
        if plan.rules.target.is_moon() && !plan.windows.is_empty() {
            let wholes = plan.windows.iter().map(|window| window.whole());
            let (first, last) = wholes.fold((f64::INFINITY, f64::NEG_INFINITY), |ends, one| {
                (ends.0.min(one.start), ends.1.max(one.end))
            });
            (from, to) = (first - AROUND_SECONDS, last + AROUND_SECONDS);
        }
        let short = 0.5 * (LEAST_SECONDS - (to - from)).max(0.0);
        ((from - short).max(start), (to + short).min(end))
    });
    let all = spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    // There is at least one chart; else any span will do.
    all.unwrap_or((0.0, LEAST_SECONDS))
}

/// The whole hours of the wall clock in a night, correct across its changes.
pub fn whole_hours(zone: Zone, night: &Night, changes: &[(Moment, i32)]) -> Vec<Moment> {
    let mut pieces = vec![(night.start.seconds(), zone.offset_seconds_at(night.start))];
    pieces.extend(
        changes
            .iter()
            .map(|(moment, offset)| (moment.seconds(), *offset)),
    );
    let ends = pieces.iter().skip(1).map(|piece| piece.0);
    let ends = ends.chain([night.end.seconds()]);
    let mut hours = Vec::new();
    for ((from, offset), to) in pieces.iter().zip(ends) {
        let offset = f64::from(*offset);
        // Moments count from noon, a whole hour.
        let mut hour = ((from + offset) / 3600.0).ceil() * 3600.0 - offset;
        while hour < to {
            hours.push(Moment::from_seconds(hour));
            hour += 3600.0;
        }
    }
    hours
}

/// RFC 3339, whole seconds.
pub fn utc(seconds: f64) -> String {
    Moment::from_seconds(seconds)
        .to_utc()
        .format("%Y-%m-%dT%H:%M:%SZ")
        .to_string()
}

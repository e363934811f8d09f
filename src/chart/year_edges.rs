//! The lines that bound a period from night to night.

use super::year_axes::wall_hour;
use crate::{
    ephemeris::Moment,
    scene::Zone,
    search::{Interval, Intervals, NightHours},
};

/// Which end of the periods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Where they begin.
    Start,
    /// Where they end.
    End,
}

/// A line: nights from the first of the panel, and hours of the wall clock.
pub type Edge = Vec<(f64, f64)>;

/// The farthest that an edge moves from one night to the next, hours: where
/// twilight is about to last all night it moves that fast.
const FARTHEST_HOURS: f64 = 0.8;
/// An edge this close to another is the same, seconds.
const SAME_SECONDS: f64 = 2.0;

struct Open {
    line: Edge,
    offset: i32,
    night: usize,
}

/// The edges of the periods that `of` gives, from night to night. A line ends
/// where the clocks change, so that it jumps; the ends of the night itself, and
/// those of `within`, are no edges.
pub fn edges(
    nights: &[NightHours],
    zone: Zone,
    bound: Bound,
    of: impl Fn(&NightHours) -> &Intervals,
    within: impl Fn(&NightHours) -> Option<&Intervals>,
) -> Vec<Edge> {
    let mut open: Vec<Open> = Vec::new();
    let mut done: Vec<Edge> = Vec::new();
    for (index, hours) in nights.iter().enumerate() {
        let night = &hours.night;
        let side = |interval: &Interval| match bound {
            Bound::Start => interval.start,
            Bound::End => interval.end,
        };
        let limits: Vec<f64> = within(hours)
            .into_iter()
            .flat_map(|periods| periods.as_slice().iter().map(side))
            .chain([night.start.seconds(), night.end.seconds()])
            .collect();
        let times = of(hours).as_slice().iter().map(side);
        let times = times.filter(|time| {
            let same = |limit: &f64| (limit - time).abs() < SAME_SECONDS;
            !limits.iter().any(same)
        });
        for time in times {
            let hour = wall_hour(zone, night.date, time);
            let offset = zone.offset_seconds_at(Moment::from_seconds(time));
            let away = |open: &Open| {
                let last = open.line.last().map_or(f64::INFINITY, |point| point.1);
                let follows = open.night + 1 == index && open.offset == offset;
                (hour - last).abs() + if follows { 0.0 } else { f64::INFINITY }
            };
            let near = open
                .iter_mut()
                .filter(|open| away(open) < FARTHEST_HOURS)
                .min_by(|a, b| away(a).total_cmp(&away(b)));
            let point = (index as f64 + 0.5, hour);
            match near {
                Some(open) => {
                    open.line.push(point);
                    open.night = index;
                }
                None => open.push(Open {
                    line: vec![point],
                    offset,
                    night: index,
                }),
            }
        }
        let (going, ended): (Vec<Open>, Vec<Open>) =
            open.into_iter().partition(|open| open.night == index);
        done.extend(ended.into_iter().map(|open| open.line));
        open = going;
    }
    done.extend(open.into_iter().map(|open| open.line));
    done
}

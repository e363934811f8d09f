//! The night of a place with several views: what happens to the place once,
//! what happens in a view by the view.

use super::{
    night_plan::NightPlan,
    timetable::{NightEvent, TimetableEntry},
};
use crate::ephemeris::{EventKind, Moment};

/// Two views are of one place, so the same event is at the same moment but for
/// rounding, seconds.
const SAME_SECONDS: f64 = 0.5;

/// A line of the timetable of a place.
#[derive(Debug, Clone, Copy)]
pub struct PlaceLine<'a> {
    /// The plan it is from: that of its view, or any if it is about the place.
    pub plan: &'a NightPlan<'a>,
    /// What happens.
    pub entry: &'a TimetableEntry,
    /// Whether it is about the place, whatever the view.
    pub of_place: bool,
}

impl PlaceLine<'_> {
    /// When.
    pub fn moment(&self) -> Moment {
        self.entry.moment()
    }

    /// The view it is about.
    pub fn view(&self) -> Option<&str> {
        let view = self.plan.site.view.as_deref();
        view.filter(|_| !self.of_place)
    }
}

/// The lines of the views of one place in order of time: those about the place
/// once, then those of each view, in the order of the views. `lines` gives those
/// of a plan. A plan alone is the view of all its lines.
pub fn place_lines<'a, I>(
    plans: impl IntoIterator<Item = &'a NightPlan<'a>>,
    lines: impl Fn(&'a NightPlan<'a>) -> I,
) -> Vec<PlaceLine<'a>>
where
    I: Iterator<Item = &'a TimetableEntry>,
{
    let plans: Vec<&NightPlan<'a>> = plans.into_iter().collect();
    let entries: Vec<Vec<&TimetableEntry>> =
        plans.iter().map(|plan| lines(plan).collect()).collect();
    let is_same = |one: &TimetableEntry, other: &TimetableEntry| {
        let apart = one.moment().seconds() - other.moment().seconds();
        one.event == other.event && apart.abs() < SAME_SECONDS
    };
    // What the views share is told once: rise and set of one target, too.
    let mut targets = plans.iter().map(|plan| plan.rules.target);
    let target = targets.next();
    let one_target = targets.all(|other| Some(other) == target);
    let is_shared =
        |event: NightEvent| event.is_of_place() || (one_target && event.is_of_target_anywhere());
    let first = entries.first().map_or(&[][..], Vec::as_slice);
    let of_place: Vec<&TimetableEntry> = first
        .iter()
        .copied()
        .filter(|entry| plans.len() > 1 && is_shared(entry.event))
        .filter(|entry| {
            let others = entries.iter().skip(1);
            others
                .clone()
                .all(|of_view| of_view.iter().any(|other| is_same(entry, other)))
        })
        .collect();
    let mut all: Vec<PlaceLine<'a>> = Vec::new();
    if let Some(plan) = plans.first() {
        all.extend(of_place.iter().map(|entry| PlaceLine {
            plan,
            entry,
            of_place: true,
        }));
    }
    for (plan, of_view) in plans.iter().zip(&entries) {
        let own = of_view
            .iter()
            .filter(|entry| !of_place.iter().any(|other| is_same(entry, other)));
        all.extend(own.map(|entry| PlaceLine {
            plan,
            entry,
            of_place: false,
        }));
    }
    // A stable sort: what happens at once stays in the order above.
    all.sort_by(|a, b| a.moment().seconds().total_cmp(&b.moment().seconds()));
    all
}

impl NightEvent {
    /// Whether it is about the target, wherever the camera looks: its rise, set,
    /// highest point and ridge.
    fn is_of_target_anywhere(&self) -> bool {
        matches!(
            self,
            Self::Sky(EventKind::TargetRise | EventKind::TargetTransit | EventKind::TargetSet)
                | Self::TargetClearsRidge
                | Self::TargetBehindRidge
        )
    }

    /// Whether it can be about the place, whatever the camera looks at: Sun,
    /// Moon, eclipses, clocks.
    pub fn is_of_place(&self) -> bool {
        match self {
            Self::Sky(kind) => !matches!(
                kind,
                EventKind::TargetRise | EventKind::TargetTransit | EventKind::TargetSet
            ),
            Self::Arrive
            | Self::MoonClearsRidge
            | Self::MoonBehindRidge
            | Self::EclipseBegins
            | Self::TotalityBegins
            | Self::EclipseGreatest { .. }
            | Self::TotalityEnds
            | Self::EclipseEnds
            | Self::ClocksChange(_) => true,
            _ => false,
        }
    }
}

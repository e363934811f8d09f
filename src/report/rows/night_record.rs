//! A line of a night's timetable or a step, as a record.

use crate::{
    plan::{NightPlan, NightStep, PlaceLine, TimetableEntry, place_lines},
    report::row::RowKind,
    scene::Site,
};

/// A line of a timetable, or a step between two lines.
#[derive(Debug, Clone, Copy)]
pub struct NightRow<'a> {
    /// The plan it belongs to.
    pub plan: &'a NightPlan<'a>,
    /// What happens; `None` for a step.
    pub entry: Option<&'a TimetableEntry>,
    /// What sky and light are like.
    pub step: &'a NightStep,
    /// Whether it is about the place, whatever the view.
    pub of_place: bool,
}

/// The lines and steps of nights.
#[derive(Debug, Clone, Copy)]
pub struct NightRows;

impl RowKind for NightRows {
    type Of<'a> = NightRow<'a>;
}

impl<'a> NightRow<'a> {
    /// Every line and every step of the views of a place, in order of time;
    /// lines first.
    pub fn all(plans: &'a [NightPlan<'a>]) -> Vec<Self> {
        let lines = place_lines(plans, |plan| plan.order.iter());
        let lines = lines.iter().map(Self::of_line);
        let steps = plans
            .iter()
            .flat_map(|plan| plan.steps.iter().map(|step| Self::of_step(plan, step)));
        let mut rows: Vec<Self> = lines.chain(steps).collect();
        let seconds = |row: &Self| row.step.instant.moment().seconds();
        rows.sort_by(|a, b| seconds(a).total_cmp(&seconds(b)));
        rows
    }

    /// A line of a timetable.
    pub fn of_line(line: &PlaceLine<'a>) -> Self {
        Self {
            plan: line.plan,
            entry: Some(line.entry),
            step: &line.entry.step,
            of_place: line.of_place,
        }
    }

    /// A step of a plan.
    pub fn of_step(plan: &'a NightPlan<'a>, step: &'a NightStep) -> Self {
        Self {
            plan,
            entry: None,
            step,
            of_place: false,
        }
    }

    /// What sky and light are like, if they are those of a view.
    pub(super) fn view_step(&self) -> Option<&'a NightStep> {
        (!self.of_place).then_some(self.step)
    }

    /// The name of the view it is about.
    pub(super) fn view(&self) -> Option<&'a str> {
        let view = self.plan.site.view.as_deref();
        view.filter(|_| !self.of_place)
    }

    pub(super) fn site(&self) -> &'a Site {
        self.plan.site
    }

    /// The cloud foretold, percent of the sky.
    pub(in crate::report) fn cloud_percent(&self) -> Option<f64> {
        self.site().cloud_percent_at(self.step.instant.moment())
    }

    pub(super) fn azimuth_deg(&self) -> Option<f64> {
        self.entry?.place().map(|place| place.azimuth_deg)
    }
}

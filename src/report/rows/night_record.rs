//! A line of a night's timetable or a step, as a record.

use crate::{
    plan::{NightPlan, NightStep, TimetableEntry},
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
}

/// The lines and steps of nights.
#[derive(Debug, Clone, Copy)]
pub struct NightRows;

impl RowKind for NightRows {
    type Of<'a> = NightRow<'a>;
}

impl<'a> NightRow<'a> {
    /// Every line and every step of a plan, in order of time; lines first.
    pub fn all(plan: &'a NightPlan<'a>) -> Vec<Self> {
        let lines = plan.order.iter().map(|entry| Self {
            plan,
            entry: Some(entry),
            step: &entry.step,
        });
        let steps = plan.steps.iter().map(|step| Self::of_step(plan, step));
        let mut rows: Vec<Self> = lines.chain(steps).collect();
        let seconds = |row: &Self| row.step.instant.moment().seconds();
        rows.sort_by(|a, b| seconds(a).total_cmp(&seconds(b)));
        rows
    }

    /// A step of a plan.
    pub fn of_step(plan: &'a NightPlan<'a>, step: &'a NightStep) -> Self {
        let entry = None;
        Self { plan, entry, step }
    }

    /// The name of the view it is about.
    pub(super) fn view(&self) -> Option<&'a str> {
        self.plan.site.view.as_deref()
    }

    pub(super) fn site(&self) -> &'a Site {
        self.plan.site
    }

    pub(super) fn azimuth_deg(&self) -> Option<f64> {
        self.entry?.place().map(|place| place.azimuth_deg)
    }
}

//! Trips as one HTML document with a page for each night.

use crate::cli::{
    handout::Page,
    manners::{Failure, Output},
};
use rakelight::{
    plan::PlanSettings,
    report::{
        handout::{View, booklet},
        trip::TripTables,
    },
};

/// Plans each night by the rules that found its window, draws it and writes all.
pub fn write(out: &mut Output, tables: &TripTables<'_>) -> Result<(), Failure> {
    let leaves = booklet::leaves(tables.trips);
    let settings = PlanSettings::default();
    let mut pages = Vec::new();
    for leaf in &leaves {
        let (planner, night) = (&leaf.stop.planner, leaf.stop.window.night);
        pages.push(Page::of(planner, night, &settings, pages.len() + 1)?);
    }
    let views: Vec<View<'_>> = pages.iter().map(Page::view).collect();
    booklet::write(out, tables, &leaves, &views)?;
    Ok(())
}

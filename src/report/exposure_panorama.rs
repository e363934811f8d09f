//! The plans of a panorama.

use super::{
    exposure_lines::Lines,
    json,
    rows::exposure::{self, PlanRow},
    words::orientation_word,
    words::{duration_text, plural},
};
use crate::{
    Figure,
    light::{ExposureSheet, panorama::PanoramaSpan},
};
use serde_json::Value;

/// Bearings or pitches that are listed one by one; more are said by their ends
/// and the step. The project's choice: what a photographer still reads off.
const MOST_LISTED: usize = 24;

/// An altitude as it stands to the level horizon.
fn horizon_words(altitude_deg: f64) -> String {
    match altitude_deg.round() {
        below if below < 0.0 => format!("{:.0}° below the horizon", -below),
        above if above > 0.0 => format!("{above:.0}° above the horizon"),
        _ => "the horizon".to_owned(),
    }
}

/// The heights of a panorama: of a single row with no height of its own, where
/// it is pointed.
fn heights(span: &PanoramaSpan) -> String {
    let bottom = horizon_words(span.bottom_deg);
    if span.height_deg > 0.0 {
        let top = Figure(span.bottom_deg + span.height_deg);
        format!("from {bottom} to {top:.0}° up")
    } else if span.bottom_deg.round() == 0.0 {
        format!("along {bottom}")
    } else {
        bottom
    }
}

/// Degrees as finely as a step needs.
fn decimals(step_deg: f64) -> usize {
    match step_deg {
        coarse if coarse >= 10.0 => 0,
        fine if fine >= 1.0 => 1,
        _ => 2,
    }
}

/// Each of some angles, or the first, the last and the step.
fn angles(all: &[f64], step_deg: f64, signed: bool) -> String {
    let decimals = if all.len() > 1 { decimals(step_deg) } else { 0 };
    let angle = |degrees: &f64| {
        let degrees = if signed {
            *degrees
        } else {
            within_circle(*degrees, decimals)
        };
        match signed {
            true if degrees.abs() >= 0.5 * 10f64.powi(-(decimals as i32)) => {
                format!("{degrees:+.decimals$}°")
            }
            _ => format!("{:.decimals$}°", Figure(degrees)),
        }
    };
    match all {
        [first, .., last] if all.len() > MOST_LISTED => {
            format!("{} to {}, every {step_deg:.2}°", angle(first), angle(last))
        }
        all => all.iter().map(angle).collect::<Vec<_>>().join(" "),
    }
}

/// A bearing that does not round up to 360.
fn within_circle(degrees: f64, decimals: usize) -> f64 {
    let half = 0.5 * 10f64.powi(-(decimals as i32));
    if degrees >= 360.0 - half {
        0.0
    } else {
        degrees
    }
}

fn plan_words(plan: &PlanRow<'_>) -> String {
    let frames = plural(plan.plan.frames_per_row.into(), "frame", "frames");
    let decimals = decimals(plan.plan.yaw_step_deg);
    let apart = match plan.plan.frames_per_row {
        1 => String::new(),
        _ => format!(", {:.decimals$}° apart", plan.plan.yaw_step_deg),
    };
    let pitches: Vec<f64> = plan.plan.pitches_deg().collect();
    let pitches = angles(&pitches, plan.plan.pitch_step_deg, true);
    match plan.plan.rows {
        1 => format!("{frames} in one row{apart}, pitched {pitches}"),
        rows => format!("{rows} rows of {frames}{apart}, pitched {pitches}"),
    }
}

/// Adds the lines of a sheet.
pub(super) fn add(lines: &mut Lines, sheet: &ExposureSheet) {
    let span = &sheet.question.panorama;
    lines.row(
        "panorama",
        &format!(
            "{:.0}° wide, {}, {:.0}% overlap",
            span.width_deg,
            heights(span),
            100.0 * sheet.question.overlap
        ),
    );
    let is_true = sheet.question.panorama_centre_deg.is_some();
    for plan in &sheet.panoramas {
        let row = PlanRow { plan, sheet };
        let name = format!("  {}", orientation_word(plan.orientation));
        lines.row(&name, &plan_words(&row));
        let bearings = angles(&row.bearings_deg(), plan.yaw_step_deg, !is_true);
        let from = if is_true { "true" } else { "from the middle" };
        lines.row("    bearings", &format!("{bearings} {from}"));
        let mut text = format!(
            "takes {}, in which the sky turns {:.2}° ({:.1} px)",
            duration_text(row.row_s()),
            row.turn_deg(),
            row.turn_px()
        );
        if plan.rows > 1 {
            let all_s = f64::from(plan.rows) * row.row_s();
            text.push_str(&format!("; all rows {}", duration_text(all_s)));
        }
        lines.row("    a row", &text);
    }
}

/// The panorama as an object.
pub(super) fn object(sheet: &ExposureSheet) -> Value {
    let degrees = |all: Vec<f64>| -> Value {
        all.into_iter()
            .map(|angle| json::rounded(angle, 2))
            .collect()
    };
    let plans = sheet.panoramas.iter().map(|plan| {
        let row = PlanRow { plan, sheet };
        let mut object = json::object(exposure::PLAN, &row);
        object.insert("bearings_deg".into(), degrees(row.bearings_deg()));
        object.insert("pitches_deg".into(), degrees(plan.pitches_deg().collect()));
        object
    });
    let mut panorama = json::object(exposure::PANORAMA, &sheet);
    panorama.insert("plans".into(), plans.collect());
    Value::Object(panorama)
}

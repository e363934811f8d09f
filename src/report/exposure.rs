//! An exposure sheet, as a table and as JSON.

pub use super::{calibration::Calibration, exposure_series::AtSite};
use super::{
    exposure_lines::Lines,
    exposure_panorama,
    exposure_series::{self, reach_words},
    json::{self, list},
    rows::{exposure, framing},
    words::{framing_sentence, mid_tone_words, north_words, settings_text, shutter_text},
};
use crate::{
    Figure,
    light::{ExposureSheet, TrailLimit},
};
use serde_json::Value;
use std::io::{self, Write};

/// Writes the sheet for people.
///
/// # Errors
///
/// What `out` says.
pub fn write_table(
    out: &mut impl Write,
    sheet: &ExposureSheet,
    at: Option<&AtSite>,
    width: usize,
) -> io::Result<()> {
    let (exposure, optics) = (&sheet.exposure, &sheet.question.optics);
    let mut lines = Lines::new();
    let across = |side_mm: f64| 1000.0 * side_mm / optics.pixel_pitch_um();
    lines.row(
        "camera",
        &format!(
            "{} mm on {} x {} mm, {:.0} MP",
            optics.focal_mm(),
            optics.sensor_width_mm(),
            optics.sensor_height_mm(),
            across(optics.sensor_width_mm()) * across(optics.sensor_height_mm()) / 1e6
        ),
    );
    lines.row("settings", &settings_text(exposure));
    lines.row(
        "sky",
        &format!(
            "EV100 {:.1}, {}{}",
            Figure(exposure.sky_ev100),
            mid_tone_words(exposure.sky_placement_stops),
            reach_words(exposure.reach, "the shortest exposure", "the highest ISO")
        ),
    );
    lines.row(
        "land",
        &format!(
            "EV100 {:.1}, {}",
            Figure(exposure.land_ev100),
            mid_tone_words(exposure.land_placement_stops)
        ),
    );
    let limit = match sheet.question.trail_limit {
        TrailLimit::Npf(factor) => format!("NPF full rule, factor {factor}"),
        TrailLimit::Pixels(pixels) => format!("a trail of {pixels} px"),
    };
    lines.row(
        "shutter limit",
        &format!("{:.1} s ({limit})", sheet.longest_shutter_s),
    );
    lines.row(
        "compare",
        &format!(
            "NPF factor 1 {:.1} s, 500 rule {:.1} s (common practice)",
            sheet.npf_s, sheet.rule_500_s
        ),
    );
    lines.row(
        "trail",
        &format!(
            "{:.1} px in {}: fastest star in the frame, declination {:.1}°",
            sheet.trail_px,
            shutter_text(exposure.shutter_s),
            Figure(sheet.fastest_declination_deg)
        ),
    );
    exposure_series::add(&mut lines, sheet, at);
    lines.row(
        "field of view",
        &format!(
            "{:.1}° x {:.1}°, diagonal {:.1}°",
            sheet.field_deg[0], sheet.field_deg[1], sheet.diagonal_deg
        ),
    );
    if let Some((at, plan)) = at.and_then(|at| Some((at, at.plan?))) {
        lines.row("framing", &framing_sentence(&plan, at.target, at.north));
        if let Some(words) = north_words(at.north) {
            lines.row("", &words);
        }
    }
    exposure_panorama::add(&mut lines, sheet);
    lines.write(out, width)
}

/// The sheet as one JSON object.
pub fn object(sheet: &ExposureSheet, at: Option<&AtSite>) -> Value {
    let field = sheet.field_deg.map(|side| json::rounded(side, 3));
    let mut whole = json::object(exposure::SETTINGS, &sheet);
    exposure_series::add_objects(&mut whole, sheet, at);
    whole.insert("field_deg".into(), field.to_vec().into());
    whole.extend(json::object(exposure::DIAGONAL, &sheet));
    whole.insert("panorama".into(), exposure_panorama::object(sheet));
    if let Some(at) = at {
        let plan = at.plan.as_ref();
        let plan = plan.map_or(Value::Null, |plan| list(framing::FIELDS, &plan));
        whole.insert("framing".into(), plan);
    }
    Value::Object(whole)
}

//! An exposure sheet, as a table and as JSON.

use super::{
    grid::{FAINT, Grid, STRONG, Side},
    json::{self, list},
    rows::exposure::{self, orientation_word},
    words::{mid_tone_words, plural, shutter_text},
    wrap::write_wrapped,
};
use crate::{
    Figure,
    light::{Panorama, Reach, Sheet, TrailLimit, panorama::Span},
    plan::{Aimed, InFrame},
};
use serde_json::Value;
use std::io::{self, Write};

fn panorama_words(panorama: &Panorama) -> String {
    let frames = plural(i64::from(panorama.frames_per_row), "frame", "frames");
    if panorama.rows == 1 {
        let step = panorama.yaw_step_deg;
        return format!("{frames} in one row, {step:.0}° apart");
    }
    format!(
        "{} rows of {frames}, {:.0}° apart, rows {:.0}° apart from {:+.0}°",
        panorama.rows,
        panorama.yaw_step_deg,
        panorama.pitch_step_deg,
        Figure(panorama.lowest_pitch_deg)
    )
}

/// An altitude relative to the level horizon, in words.
fn horizon_words(altitude_deg: f64) -> String {
    match altitude_deg.round() {
        below if below < 0.0 => format!("{:.0}° below the horizon", -below),
        above if above > 0.0 => format!("{above:.0}° above the horizon"),
        _ => "the horizon".to_owned(),
    }
}

/// The altitudes that a panorama covers; for a single row without a height of
/// its own, the altitude that it points at.
fn heights(span: &Span) -> String {
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

/// Writes the sheet for people.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(out: &mut impl Write, sheet: &Sheet, width: usize) -> io::Result<()> {
    let (exposure, optics) = (&sheet.exposure, &sheet.question.optics);
    let mut grid = Grid::new([Side::Left, Side::Left]);
    let mut row = |name: &str, text: String| {
        grid.styled_row([(name.to_string(), FAINT), (text, STRONG)]);
    };
    let across = |side_mm: f64| 1000.0 * side_mm / optics.pixel_pitch_um();
    row(
        "camera",
        format!(
            "{} mm on {} x {} mm, {:.0} MP",
            optics.focal_mm(),
            optics.sensor_width_mm(),
            optics.sensor_height_mm(),
            across(optics.sensor_width_mm()) * across(optics.sensor_height_mm()) / 1e6
        ),
    );
    row(
        "settings",
        format!(
            "f/{}, {}, ISO {}",
            optics.f_number(),
            shutter_text(exposure.shutter_s),
            exposure.iso
        ),
    );
    let reach = match exposure.reach {
        Reach::Reached => String::new(),
        Reach::TooDark { stops_short } => {
            format!("; the highest ISO leaves it {stops_short:.1} stops too dark")
        }
        Reach::TooBright { stops_over } => {
            format!("; the shortest exposure leaves it {stops_over:.1} stops too bright")
        }
    };
    row(
        "sky",
        format!(
            "EV100 {:.1}, {}{reach}",
            Figure(exposure.sky_ev100),
            mid_tone_words(exposure.sky_placement_stops)
        ),
    );
    row(
        "land",
        format!(
            "EV100 {:.1}, {}",
            Figure(exposure.land_ev100),
            mid_tone_words(exposure.land_placement_stops)
        ),
    );
    let limit = match sheet.question.trail_limit {
        TrailLimit::Npf(factor) => format!("NPF full rule, factor {factor}"),
        TrailLimit::Pixels(pixels) => format!("a trail of {pixels} px"),
    };
    row(
        "shutter limit",
        format!("{:.1} s ({limit})", sheet.longest_shutter_s),
    );
    row(
        "compare",
        format!(
            "NPF factor 1 {:.1} s, 500 rule {:.1} s (common practice)",
            sheet.npf_s, sheet.rule_500_s
        ),
    );
    row(
        "trail",
        format!(
            "{:.1} px in {} at declination {:.1}°",
            sheet.trail_px,
            shutter_text(exposure.shutter_s),
            Figure(sheet.question.declination_deg)
        ),
    );
    row(
        "field of view",
        format!(
            "{:.1}° x {:.1}°, diagonal {:.1}°",
            sheet.field_deg[0], sheet.field_deg[1], sheet.diagonal_deg
        ),
    );
    let span = &sheet.question.panorama;
    row(
        "panorama",
        format!(
            "{:.0}° wide, {}, {:.0}% overlap",
            span.width_deg,
            heights(span),
            100.0 * sheet.question.overlap
        ),
    );
    for panorama in &sheet.panoramas {
        row(
            &format!("  {}", orientation_word(panorama.orientation)),
            panorama_words(panorama),
        );
    }
    grid.wrap_last(width);
    grid.write(out)
}

/// The sheet as one JSON object.
pub fn object(sheet: &Sheet) -> Value {
    let plans = sheet
        .panoramas
        .iter()
        .map(|plan| list(exposure::PLAN, &plan));
    let mut panorama = json::object(exposure::PANORAMA, &sheet);
    panorama.insert("plans".into(), plans.collect());
    let field = sheet.field_deg.map(|side| json::rounded(side, 3));
    let mut whole = json::object(exposure::SETTINGS, &sheet);
    whole.insert("field_deg".into(), field.to_vec().into());
    whole.extend(json::object(exposure::DIAGONAL, &sheet));
    whole.insert("panorama".into(), Value::Object(panorama));
    Value::Object(whole)
}

/// Writes for people what is in the frame, for each way to point and hold the
/// camera.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_in_frame(
    out: &mut impl Write,
    ways: &[InFrame],
    target: &str,
    width: usize,
) -> io::Result<()> {
    for way in ways {
        let things = [
            (target, Some(way.target)),
            ("Moon", Some(way.moon)),
            ("subject", way.subject),
        ];
        let names = |inside: bool| {
            let names = things.iter().filter(|(_, is)| *is == Some(inside));
            let names: Vec<&str> = names.map(|(name, _)| *name).collect();
            match names.is_empty() {
                true => "nothing".to_owned(),
                false => names.join(", "),
            }
        };
        let pointing = match way.aimed {
            Aimed::HalfWay => format!("half-way to the {target}"),
            _ => "level".to_owned(),
        };
        let line = format!(
            "Pointed {pointing}, {}: {} in the frame, {} outside",
            orientation_word(way.orientation),
            names(true),
            names(false)
        );
        write_wrapped(out, "", &line, width)?;
    }
    Ok(())
}

/// What is in the frame, for each way to point and hold the camera.
pub fn in_frame(ways: &[InFrame]) -> Value {
    ways.iter()
        .map(|way| {
            let mut whole = json::object(exposure::POINTING, &way);
            whole.insert("in_frame".into(), list(exposure::IN_FRAME, &way));
            Value::Object(whole)
        })
        .collect()
}

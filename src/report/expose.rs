//! An exposure sheet, as a table and as JSON.

use super::{
    grid::{FAINT, Grid, STRONG, Side},
    json::rounded,
    words::{plural, shutter_text, stops},
};
use crate::{
    Figure,
    light::{Orientation, Panorama, Reach, Sheet, TrailLimit},
};
use serde_json::{Value, json};
use std::io::{self, Write};

fn orientation_word(orientation: Orientation) -> &'static str {
    match orientation {
        Orientation::Portrait => "portrait",
        Orientation::Landscape => "landscape",
    }
}

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

/// Writes the sheet for people.
///
/// # Errors
///
/// What `out` says.
pub fn write_table(out: &mut impl Write, sheet: &Sheet) -> io::Result<()> {
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
            "EV100 {:.1}, falls {} stops from mid-tone{reach}",
            Figure(exposure.sky_ev100),
            stops(exposure.sky_placement_stops)
        ),
    );
    row(
        "land",
        format!(
            "EV100 {:.1}, falls {} stops from mid-tone",
            Figure(exposure.land_ev100),
            stops(exposure.land_placement_stops)
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
        "beside it",
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
            "{:.0}° wide, {:.0}° high from {:+.0}°, {:.0}% overlap",
            span.width_deg,
            span.height_deg,
            Figure(span.bottom_deg),
            100.0 * sheet.question.overlap
        ),
    );
    for panorama in &sheet.panoramas {
        row(
            &format!("  {}", orientation_word(panorama.orientation)),
            panorama_words(panorama),
        );
    }
    grid.write(out)
}

/// The sheet as one JSON object.
pub fn object(sheet: &Sheet) -> Value {
    let exposure = &sheet.exposure;
    let (reached, stops_off) = match exposure.reach {
        Reach::Reached => (true, 0.0),
        Reach::TooDark { stops_short } => (false, -stops_short),
        Reach::TooBright { stops_over } => (false, stops_over),
    };
    json!({
        "f_number": exposure.f_number,
        "shutter_s": rounded(exposure.shutter_s, 6),
        "iso": exposure.iso,
        "exact_iso": rounded(exposure.exact_iso, 1),
        "placement_reached": reached,
        "placement_error_stops": rounded(stops_off, 2),
        "settings_ev100": rounded(exposure.settings_ev100, 3),
        "sky_ev100": rounded(exposure.sky_ev100, 3),
        "land_ev100": rounded(exposure.land_ev100, 3),
        "sky_placement_stops": rounded(exposure.sky_placement_stops, 2),
        "land_placement_stops": rounded(exposure.land_placement_stops, 2),
        "shutter_limit_s": rounded(sheet.longest_shutter_s, 3),
        "npf_s": rounded(sheet.npf_s, 3),
        "rule_500_s": rounded(sheet.rule_500_s, 3),
        "trail_px": rounded(sheet.trail_px, 2),
        "declination_deg": rounded(sheet.question.declination_deg, 3),
        "field_deg": sheet.field_deg.map(|side| rounded(side, 3)),
        "diagonal_deg": rounded(sheet.diagonal_deg, 3),
        "panorama": {
            "width_deg": rounded(sheet.question.panorama.width_deg, 2),
            "height_deg": rounded(sheet.question.panorama.height_deg, 2),
            "bottom_deg": rounded(sheet.question.panorama.bottom_deg, 2),
            "overlap": sheet.question.overlap,
            "plans": sheet.panoramas.iter().map(|panorama| json!({
                "orientation": orientation_word(panorama.orientation),
                "frames_per_row": panorama.frames_per_row,
                "rows": panorama.rows,
                "yaw_step_deg": rounded(panorama.yaw_step_deg, 2),
                "pitch_step_deg": rounded(panorama.pitch_step_deg, 2),
                "lowest_pitch_deg": rounded(panorama.lowest_pitch_deg, 2),
            })).collect::<Vec<_>>(),
        },
    })
}

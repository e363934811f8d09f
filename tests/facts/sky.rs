//! The sky at a window's best instant, for people and as JSON.

use super::{
    Case, core_told, differences,
    fact::{Row, Told, put_light, rows},
    out,
};
use crate::program::Run;
use serde_json::Value;

pub fn check(case: &Case) -> Vec<String> {
    let found = rows(&case.scan("csv"));
    let mut wrong = Vec::new();
    for row in found.iter().take(3) {
        let sky = |format: &str| {
            let time = ["--time", row.text("best_utc"), "--target", case.target];
            let how = ["--format", format, "--quiet"];
            out(
                Run::here(),
                &[&["sky"][..], &case.place, &time, &how].concat(),
            )
        };
        let text = sky("table");
        wrong.extend(core_told("sky", case, &text));
        let document: Value = serde_json::from_str(&sky("json")).expect("JSON");
        // A blend's row tells the light of its land.
        if !row.is_blend() {
            let row = std::slice::from_ref(row);
            wrong.extend(differences("sky", case, row, &[read(&text)]));
        }
        wrong.extend(unlike(row, &document));
    }
    wrong
}

fn read(text: &str) -> Told {
    let mut told = Told::new();
    for line in text.lines() {
        let first = || {
            line.split_whitespace().find_map(|word| {
                let plain = word.trim_end_matches(['°', '%', ',', ':']);
                plain.parse::<f64>().is_ok().then(|| plain.to_owned())
            })
        };
        if line.starts_with("Camera direction ") {
            told.insert("facing", first().expect("a bearing"));
            match line.split_once("moonlight from ") {
                Some((_, light)) => {
                    let light = light.split_once(',').expect("its light").0;
                    put_light(&mut told, light);
                }
                None => put_light(&mut told, "-"),
            }
        } else if line.starts_with("The land is ") {
            // `1.6 stops darker than the sky`, or `as bright as the sky`, which a
            // number of another meaning may follow.
            let stops = match first().filter(|_| !line.contains("as bright as")) {
                Some(stops) if line.contains("darker") => format!("-{stops}"),
                Some(stops) => stops,
                None => "0.0".to_owned(),
            };
            told.insert("stops", stops);
        } else if line.starts_with("Moon ") && line.contains("% lit") {
            told.insert("moon_percent", first().expect("a fraction"));
        }
    }
    assert_eq!(told.len(), 5, "{text}");
    told
}

/// Numbers of the document that are not the row's. The time of the row is
/// rounded to the second, in which nothing turns by more than 0.005 degrees but
/// azimuths near the zenith.
fn unlike(row: &Row, sky: &Value) -> Vec<String> {
    let mut wrong = Vec::new();
    for (column, pointer, near) in [
        ("target_altitude_deg", "/target/apparent_altitude_deg", 0.02),
        ("moon_altitude_deg", "/moon/apparent_altitude_deg", 0.02),
        ("moon_fraction", "/moon/moon_fraction", 1e-3),
        (
            "moon_target_separation_deg",
            "/moon_target_separation_deg",
            0.02,
        ),
        ("light_angle_deg", "/light/light_angle_deg", 0.2),
        ("moonlight_lux", "/light/moonlight_lux", 1e-4),
        ("sky_mag_arcsec2", "/light/sky_mag_arcsec2", 0.01),
        ("milky_way_contrast", "/light/milky_way_contrast", 0.02),
        ("contrast_kept", "/light/contrast_kept", 0.01),
        ("land_vs_sky_stops", "/light/land_vs_sky_stops", 0.05),
    ] {
        let told = sky.pointer(pointer).and_then(Value::as_f64);
        let has = row.text(column).parse::<f64>().ok();
        let same = match (told, has) {
            (Some(told), Some(has)) => (told - has).abs() <= near,
            (told, has) => told.is_none() == has.is_none(),
        };
        if !same {
            wrong.push(format!("sky {pointer} {told:?}, the CSV has {has:?}"));
        }
    }
    wrong
}

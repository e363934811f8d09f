//! Lenses side by side, as a table and in JSON.

use super::{
    grid::PLAIN,
    json::{document, list, object, query},
    record_grid::{self, Column},
    row::Importance,
    rows::{
        framing,
        lens::{FIELDS, Lenses, PLANNED},
    },
    shown::Common,
    words::framing_sentence,
    wrap::write_wrapped,
};
use crate::scene::North;
use serde_json::{Map, Value};
use std::io::{self, Write};

pub use super::rows::lens::LensRow;

/// Writes a row per lens; `assumed` says that sensor and f-number are those of the
/// default camera.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    lenses: &[LensRow],
    place: Option<&str>,
    assumed: bool,
    (target, north): (&str, North),
    width: usize,
) -> io::Result<()> {
    let planned = lenses.iter().any(|lens| lens.plan.is_some());
    let what = match place {
        Some(place) => {
            format!("{place}: land and {target} with each lens")
        }
        None => "How long each lens may expose".to_owned(),
    };
    write_wrapped(out, "", &what, width)?;
    if let Some(lens) = lenses.first() {
        let optics = &lens.sheet.question.optics;
        let camera = format!(
            "At f/{} on {} x {} mm{}",
            optics.f_number(),
            optics.sensor_width_mm(),
            optics.sensor_height_mm(),
            if assumed {
                " (assumed: no camera is given)"
            } else {
                ""
            }
        );
        write_wrapped(out, "", &camera, width)?;
    }
    let fields = FIELDS.iter().chain(if planned { PLANNED } else { &[] });
    let columns = record_grid::columns(fields, Importance::Further, Common::default());
    let records: Vec<&LensRow> = lenses.iter().collect();
    let grid = |columns: &[Column<Lenses>]| {
        record_grid::grid(columns, &records, false, str::to_owned, |_, _, _, text| {
            (text, PLAIN)
        })
    };
    record_grid::fitting(columns, width, grid).1.write(out)?;
    for lens in lenses {
        let plan = lens.plan.filter(|plan| !plan.is_possible());
        if let Some(plan) = plan {
            let focal_mm = lens.sheet.question.optics.focal_mm();
            let line = format!("{focal_mm} mm: {}", framing_sentence(&plan, target, north));
            write_wrapped(out, "", &line, width)?;
        }
    }
    Ok(())
}

/// The lenses as a JSON document.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_json(out: &mut impl Write, lenses: &[LensRow]) -> io::Result<()> {
    let rows = lenses.iter().map(|lens| {
        let mut row = object(FIELDS, &lens);
        let plan = lens.plan.as_ref();
        let plan = plan.map_or(Value::Null, |plan| list(framing::FIELDS, &plan));
        row.insert("framing".into(), plan);
        Value::Object(row)
    });
    let mut body = Map::new();
    body.insert("lenses".into(), rows.collect());
    let document = document(query("exposure"), Value::Object(body));
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

//! A night as one JSON document.

use super::{
    cell::Cell,
    json::{SCHEMA, list, object, rounded, site_object, window_object},
    rows::{
        night::{LINE, NightRow, STEP, TIME},
        night_facts as facts,
        window::Record,
    },
    words::{advice_sentence, caution_reason, caution_sentence, happening_words},
};
use crate::{
    ephemeris::EventKind,
    plan::{Caution, NightEvent, NightPlan},
    search::Interval,
};
use serde_json::{Map, Value, json};
use std::io::{self, Write};

/// The keys of `"events"`: each holds the first event of its kind.
const EVENTS: [EventKind; 13] = [
    EventKind::Sunset,
    EventKind::CivilDusk,
    EventKind::NauticalDusk,
    EventKind::AstronomicalDusk,
    EventKind::AstronomicalDawn,
    EventKind::NauticalDawn,
    EventKind::CivilDawn,
    EventKind::Sunrise,
    EventKind::Moonrise,
    EventKind::Moonset,
    EventKind::TargetRise,
    EventKind::TargetTransit,
    EventKind::TargetSet,
];

/// Writes the document. `query` says what was asked; `reasons`, if asked for,
/// say why the windows are as they are.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    query: &Value,
    reasons: Option<Value>,
) -> io::Result<()> {
    let mut document = to_json(plan, query);
    if let (Some(reasons), Some(fields)) = (reasons, document.as_object_mut()) {
        fields.insert("reasons".to_string(), reasons);
    }
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn to_json(plan: &NightPlan<'_>, query: &Value) -> Value {
    let site = plan.site;
    let events: Map<String, Value> = EVENTS
        .into_iter()
        .map(|kind| {
            let moment = plan.when(kind);
            let value = moment.map_or(Value::Null, |moment| Cell::Utc(moment).to_json());
            (NightEvent::Sky(kind).key().to_string(), value)
        })
        .collect();
    let all_events: Vec<Value> = plan
        .events
        .iter()
        .map(|event| {
            json!({
                "what": NightEvent::Sky(event.kind).key(),
                "time_utc": Cell::Utc(event.moment).to_json(),
            })
        })
        .collect();
    let windows: Vec<Value> = plan
        .windows
        .iter()
        .map(|window| window_object(&Record { site, window }))
        .collect();
    json!({
        "rakelight": env!("CARGO_PKG_VERSION"),
        "schema": SCHEMA,
        "query": query,
        "site": site_object(site),
        "night": list(facts::NIGHT, &plan),
        "darkness": list(facts::DARKNESS, &&plan.darkness),
        "compass": compass(plan),
        "camera": camera(plan),
        "events": events,
        "all_events": all_events,
        "timetable": plan.order.iter().map(|entry| {
            let row = NightRow { plan, entry: Some(entry), step: &entry.step };
            let mut object = object([TIME, LINE].into_iter().flatten(), &row);
            let target = plan.rules.target_name();
            let text = happening_words(entry.event, target, plan.windows.len());
            object.insert("text".into(), text.into());
            Value::Object(object)
        }).collect::<Vec<_>>(),
        "windows": windows,
        "periods": {
            "target_in_place": periods(&plan.periods.in_place),
            "moonlit_land": periods(&plan.periods.moonlit),
            "moonless_dark": periods(&plan.periods.dark),
        },
        "steps_below_sun_altitude_deg": plan.steps_below_sun_deg.map(|h| rounded(h, 3)),
        "steps": plan.steps.iter().map(|step| {
            let row = NightRow { plan, entry: None, step };
            Value::Object(object([TIME, STEP].into_iter().flatten(), &row))
        }).collect::<Vec<_>>(),
        "advice": plan.advice.iter().map(|a| advice_sentence(plan, a)).collect::<Vec<_>>(),
        "cautions": plan.cautions.iter().map(caution).collect::<Vec<_>>(),
    })
}

fn periods(periods: &[Interval]) -> Vec<Value> {
    let periods = periods.iter();
    periods.map(|period| list(facts::PERIOD, &period)).collect()
}

fn caution(caution: &Caution) -> Value {
    json!({
        "topic": caution.topic.key(),
        "text": caution_sentence(caution),
        "because": caution_reason(caution),
    })
}

fn compass(plan: &NightPlan<'_>) -> Value {
    match &plan.compass {
        Ok(field) => list(facts::COMPASS, &field),
        Err(error) => json!({
            "declination_deg": null,
            "reason": error.to_string(),
        }),
    }
}

fn camera(plan: &NightPlan<'_>) -> Value {
    let camera = &plan.lens.camera;
    let mut whole = object(facts::CAMERA_ASSUMED, &plan);
    whole.insert("sensor_mm".into(), json!(camera.sensor_mm));
    whole.insert("pixels".into(), json!(camera.pixels));
    whole.extend(object(facts::CAMERA, &plan));
    Value::Object(whole)
}

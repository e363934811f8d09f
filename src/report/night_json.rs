//! A night as one JSON document.

use super::{
    cell::Cell,
    json::{SCHEMA, document, list, object, rounded, site_object, window_object},
    rows::{
        night::{LINE, NightRow, STEP, TIME, WHICH},
        night_facts as facts,
        window::Record,
    },
    words::{LOG_SHOWN, advice_sentence, caution_reason, caution_sentence, happening_words},
};
use crate::{
    ephemeris::EventKind,
    plan::{Caution, NightEvent, NightPlan, place_lines},
    scene::LogEntry,
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
    let reasons = reasons.map(|reasons| ("reasons".to_owned(), reasons));
    write_with(out, plan, query, reasons.into_iter().collect())
}

/// Writes the document with what `more` adds to it.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_with(
    out: &mut impl Write,
    plan: &NightPlan<'_>,
    query: &Value,
    more: Map<String, Value>,
) -> io::Result<()> {
    let mut document = to_json(plan, query);
    if let Some(fields) = document.as_object_mut() {
        fields.extend(more);
    }
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

/// Writes the document of a place with several views: the timetable of the
/// place, then what each view has of its own, with what `more` adds to it, such
/// as its rules.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_views(
    out: &mut impl Write,
    plans: &[NightPlan<'_>],
    query: Map<String, Value>,
    more: &[Map<String, Value>],
) -> io::Result<()> {
    let Some(plan) = plans.first() else {
        return Ok(());
    };
    let mut place = plan.site.clone();
    place.view = None;
    place.subject = None;
    let mut body = Map::new();
    body.insert("site".into(), site_object(&place));
    body.extend(night_fields(plan));
    let lines = place_lines(plans, |plan| plan.order.iter());
    let lines = lines.iter().map(|line| {
        let row = NightRow::of_line(line);
        line_object(
            object([WHICH, TIME, LINE].into_iter().flatten(), &row),
            &row,
        )
    });
    body.insert("timetable".into(), lines.collect());
    let views = plans.iter().zip(more).map(|(plan, more)| {
        let mut view = Map::new();
        view.insert("view".into(), plan.site.view.clone().into());
        view.insert("site".into(), site_object(plan.site));
        view.extend(more.clone());
        view.extend(event_fields(plan));
        view.extend(window_fields(plan));
        Value::Object(view)
    });
    body.insert("views".into(), views.collect());
    let document = document(query, Value::Object(body));
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn to_json(plan: &NightPlan<'_>, query: &Value) -> Value {
    let mut whole = Map::new();
    whole.insert("rakelight".into(), env!("CARGO_PKG_VERSION").into());
    whole.insert("schema".into(), SCHEMA.into());
    whole.insert("query".into(), query.clone());
    whole.insert("site".into(), site_object(plan.site));
    whole.extend(night_fields(plan));
    whole.extend(event_fields(plan));
    let lines = plan.order.iter().map(|entry| {
        let row = NightRow {
            entry: Some(entry),
            ..NightRow::of_step(plan, &entry.step)
        };
        line_object(object([TIME, LINE].into_iter().flatten(), &row), &row)
    });
    whole.insert("timetable".into(), lines.collect());
    whole.extend(window_fields(plan));
    Value::Object(whole)
}

/// A line of the timetable with its words.
fn line_object(mut object: Map<String, Value>, row: &NightRow<'_>) -> Value {
    let (plan, target) = (row.plan, row.plan.rules.target_name());
    let text = row
        .entry
        .map(|entry| happening_words(entry.event, target, plan.windows.len()));
    object.insert("text".into(), text.into());
    Value::Object(object)
}

/// What is the same for every view of a place.
fn night_fields(plan: &NightPlan<'_>) -> Map<String, Value> {
    let mut fields = Map::new();
    fields.insert("night".into(), list(facts::NIGHT, &plan));
    fields.insert("darkness".into(), list(facts::DARKNESS, &&plan.darkness));
    fields.insert("compass".into(), compass(plan));
    fields
}

fn event_fields(plan: &NightPlan<'_>) -> Map<String, Value> {
    let events: Map<String, Value> = EVENTS
        .into_iter()
        .map(|kind| {
            let moment = plan.when(kind);
            let value = moment.map_or(Value::Null, |moment| Cell::Utc(moment).to_json());
            (NightEvent::Sky(kind).key().to_string(), value)
        })
        .collect();
    let all_events = plan.events.iter().map(|event| {
        json!({
            "what": NightEvent::Sky(event.kind).key(),
            "time_utc": Cell::Utc(event.moment).to_json(),
        })
    });
    let mut fields = Map::new();
    fields.insert("camera".into(), camera(plan));
    if let Some(log) = &plan.site.log {
        let entries = log.about(plan.site.view.as_deref()).take(LOG_SHOWN);
        fields.insert("log".into(), entries.map(log_entry).collect());
    }
    fields.insert("events".into(), Value::Object(events));
    fields.insert("all_events".into(), all_events.collect());
    fields
}

fn window_fields(plan: &NightPlan<'_>) -> Map<String, Value> {
    let site = plan.site;
    let windows = plan.windows.iter();
    let windows = windows.map(|window| window_object(&Record { site, window }));
    let steps = plan.steps.iter().map(|step| {
        let row = NightRow::of_step(plan, step);
        Value::Object(object([TIME, STEP].into_iter().flatten(), &row))
    });
    let below = plan.steps_below_sun_deg.map(|h| rounded(h, 3));
    let advice = plan.advice.iter().map(|a| advice_sentence(plan, a));
    let mut fields = Map::new();
    fields.insert("windows".into(), windows.collect());
    fields.insert(
        "periods".into(),
        json!({
            "target_in_place": periods(&plan.periods.in_place),
            "moonlit_land": periods(&plan.periods.moonlit),
            "moonless_dark": periods(&plan.periods.dark),
        }),
    );
    fields.insert("steps_below_sun_altitude_deg".into(), below.into());
    fields.insert("steps".into(), steps.collect());
    fields.insert("advice".into(), advice.collect());
    fields.insert(
        "cautions".into(),
        plan.cautions.iter().map(caution).collect(),
    );
    fields
}

fn log_entry(entry: &LogEntry) -> Value {
    let more = entry.more.iter();
    let more: Map<String, Value> = more
        .map(|(name, text)| (name.clone(), text.clone().into()))
        .collect();
    json!({
        "date": entry.date.to_string(),
        "view": entry.view,
        "found": entry.found,
        "more": more,
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

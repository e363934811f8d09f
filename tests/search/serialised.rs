//! What the library gives out is serialised: every number of it finite.

use chrono::NaiveDate;
use rakelight::{Brief, Dates, Planner, Site};
use serde_json::Value;

fn finite(value: &Value, path: &str, numbers: &mut usize) {
    match value {
        // What is not finite has no form in JSON and becomes null.
        Value::Number(number) => {
            *numbers += 1;
            assert!(number.as_f64().is_some_and(f64::is_finite), "{path}");
        }
        Value::Array(items) => items.iter().for_each(|item| finite(item, path, numbers)),
        Value::Object(fields) => fields
            .iter()
            .for_each(|(key, field)| finite(field, &format!("{path}/{key}"), numbers)),
        _ => {}
    }
}

#[test]
fn a_window_is_serialised_whole() {
    let day = |month, day| NaiveDate::from_ymd_opt(2027, month, day).expect("a day");
    let site = Site::new(-31.4, 139.2).expect("a place");
    let dates = Dates::new(day(5, 1), day(7, 31)).expect("dates");
    let planner = Planner::new(site, &Brief::default(), dates).expect("a planner");
    let windows = planner.windows();
    assert!(!windows.is_empty());
    for window in &windows {
        let text = serde_json::to_string(window).expect("JSON");
        let read: Value = serde_json::from_str(&text).expect("JSON");
        assert_eq!(read["night"], window.night.to_string());
        assert_eq!(read["rank"], window.rank);
        let mut numbers = 0;
        finite(&read, "", &mut numbers);
        assert!(numbers > 30, "{numbers}");
        let score = read["score"].as_f64().expect("a number");
        assert!((score - window.score).abs() < 1e-9);
        let sky = &read["best"]["sky"];
        assert_eq!(sky["moment"].as_str().map(str::len), Some(20), "{sky}");
        assert!(sky["moon"]["azimuth_deg"].is_number());
    }
}

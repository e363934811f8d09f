//! The map: what each feature of a window tells in its properties.

use super::fact::Told;
use serde_json::Value;

pub fn read(map: &Value) -> Vec<Told> {
    let features = map["features"].as_array().expect("features");
    let mut windows: Vec<Told> = Vec::new();
    for feature in features {
        let id = feature["id"].as_str().expect("an id");
        let what = id.rsplit('/').next().unwrap_or_default();
        let text = |key: &str| match &feature["properties"][key] {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        match what {
            "sector" => {
                let mut told = Told::new();
                for name in ["rank", "score", "night", "start_utc", "end_utc", "best_utc"] {
                    told.insert(name, text(name));
                }
                let view = feature["properties"].get("view").expect("a view");
                told.insert("view", view.as_str().unwrap_or_default().to_owned());
                for name in ["moon_stroke_azimuth", "moon_stroke_altitude"] {
                    told.insert(name, String::new());
                }
                windows.push(told);
            }
            "moon" => {
                let told = windows.last_mut().expect("a window before");
                assert_eq!(told["rank"], text("rank"));
                told.insert("moon_stroke_azimuth", text("azimuth_deg"));
                told.insert("moon_stroke_altitude", text("altitude_deg"));
            }
            _ => {}
        }
    }
    windows
}

//! What a question is asked under.

use crate::cli::wishes::Wishes;
use rakelight::{report::json, scene::Dates};
use serde_json::Value;

/// What a question is asked under.
pub struct Circumstances<'a> {
    pub wishes: &'a Wishes,
    pub dates: Dates,
    /// Whether nobody typed both ends of the range.
    pub open_range: bool,
    pub quiet: bool,
}

impl Circumstances<'_> {
    /// What was asked, and with which data it is answered.
    pub fn query(&self) -> Value {
        let rules: serde_json::Map<String, Value> = self
            .wishes
            .common()
            .entries()
            .into_iter()
            .map(|(key, text)| (key.to_string(), Value::from(text)))
            .collect();
        let mut query = json::query("scan");
        query.insert("from".into(), self.dates.first().to_string().into());
        query.insert("to".into(), self.dates.last().to_string().into());
        query.insert("rules".into(), Value::Object(rules));
        Value::Object(query)
    }
}

//! What applies to every question of a run.

use crate::cli::asked_rules::AskedRules;
use rakelight::{
    report::{CsvLayout, json},
    scene::Dates,
};
use serde_json::Value;

/// What applies to every question of a run.
pub struct Circumstances<'a> {
    pub asked_rules: &'a AskedRules,
    pub dates: Dates,
    /// Whether an end of the range was not given.
    pub open_range: bool,
    pub quiet: bool,
    /// Whether sites that cannot be read are left out.
    pub keep_going: bool,
    /// How CSV is written.
    pub csv: &'a CsvLayout,
}

impl Circumstances<'_> {
    /// What was asked, and which data the answer uses.
    pub fn query(&self) -> Value {
        let rules: serde_json::Map<String, Value> = self
            .asked_rules
            .first_common()
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

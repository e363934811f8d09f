//! The site file to start from.

use crate::rule::typed_rules;

/// A commented TOML site file with every key; valid once latitude and longitude
/// are filled in.
pub fn site_template() -> String {
    let mut text = include_str!("site_template.toml").to_owned();
    for (rule, typed) in typed_rules() {
        // A number is written without quotes, everything else is text.
        let value = match typed.example.parse::<f64>() {
            Ok(_) => typed.example.to_owned(),
            Err(_) => format!("\"{}\"", typed.example),
        };
        let line = format!("# {} = {value}", rule.key);
        match typed.remark {
            "" => text.push_str(&line),
            remark => text.push_str(&format!("{line:<31} # {remark}")),
        }
        text.push('\n');
    }
    text.push_str(include_str!("site_template_views.toml"));
    text
}

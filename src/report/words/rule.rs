//! Rules and their values in words a photographer can follow.

use crate::{
    Figure,
    rule::{Rule, Rules, Unit},
    scene::LightKind,
};

/// What a rule looks at, in words: `the Moon's altitude`.
pub fn rule_words(rule: &Rule, rules: &Rules) -> String {
    match &rule.limit {
        Some(limit) => (limit.words)(rules.target_name()),
        None => rule.key.replace('_', " "),
    }
}

/// A rule's option: `--moon-altitude`. The site's terrain has no option; the
/// result is its words.
pub fn rule_option(rule: &Rule, rules: &Rules) -> String {
    match rule.typed {
        Some(_) => format!("--{}", rule.option_name()),
        None => rule_words(rule, rules),
    }
}

/// An amount in a rule's unit: `2.1°`, `0.012`, `14 min`; a dash for words.
pub fn amount(rule: &Rule, value: Option<f64>) -> String {
    let Some(value) = value else {
        return "-".to_string();
    };
    match rule.unit() {
        Unit::Degrees => format!("{:.1}°", Figure(value)),
        Unit::Fraction => format!("{:.3}", Figure(value)),
        Unit::Minutes if value >= 120.0 => format!("{:.1} h", value / 60.0),
        Unit::Minutes => format!("{:.0} min", Figure(value)),
        Unit::Score => format!("{:.0}", Figure(value)),
        Unit::Word => "-".to_string(),
    }
}

/// The unit's name in machine formats.
pub fn unit_name(rule: &Rule) -> &'static str {
    match rule.unit() {
        Unit::Degrees => "deg",
        Unit::Fraction => "fraction",
        Unit::Minutes => "minutes",
        Unit::Score => "score",
        Unit::Word => "word",
    }
}

/// What a rule that leaves no time says of a night: `the Moon is too low or too
/// high`.
pub fn unmet_words(rule: &Rule, target: &str) -> String {
    match &rule.limit {
        Some(limit) => (limit.unmet)(target),
        None => String::new(),
    }
}

/// Why a night has no window: the first rule that leaves no time, as it is
/// typed.
pub fn no_window_words(rules: &Rules, unmet: Option<&'static Rule>) -> String {
    let none = match rules.light {
        LightKind::Any => "No window".to_owned(),
        kind => format!("No {kind} window"),
    };
    with_reason(none, rules, unmet)
}

/// The same where several kinds of light were asked for: the rule is one that all
/// of them have.
pub fn no_window_of_any_kind_words(rules: &Rules, unmet: Option<&'static Rule>) -> String {
    with_reason("No window of any kind".to_owned(), rules, unmet)
}

fn with_reason(none: String, rules: &Rules, unmet: Option<&'static Rule>) -> String {
    match unmet {
        Some(rule) => format!(
            "{none}: {} ({})",
            unmet_words(rule, rules.target_name()),
            rule_option(rule, rules)
        ),
        None => none,
    }
}

//! Rules and their values as a photographer says them.

use super::table::plural;
use crate::{
    Figure,
    ephemeris::Direction,
    scan::{Loosening, RuleName, Rules, Unit},
};
use chrono::NaiveDate;

/// What a rule looks at, in words: `the Moon's altitude`.
pub fn rule_words(rule: RuleName, rules: &Rules) -> String {
    let target = if rules.target == Direction::Core {
        "core"
    } else {
        "target"
    };
    match rule {
        RuleName::Weekdays => "the day of the week".to_string(),
        RuleName::Clock => "the clock".to_string(),
        RuleName::SunAltitude => "the Sun's altitude".to_string(),
        RuleName::MoonFraction => "the Moon's lit fraction".to_string(),
        RuleName::CoreAltitude => format!("the {target}'s altitude"),
        RuleName::MoonAltitude => "the Moon's altitude".to_string(),
        RuleName::CoreAzimuth => format!("the {target}'s azimuth"),
        RuleName::CoreOffset => format!("the {target}'s place in the frame"),
        RuleName::LightAngle => "the light angle".to_string(),
        RuleName::LightSide => "the side of the light".to_string(),
        RuleName::ArchAltitude => "the arch's altitude".to_string(),
        RuleName::ArchOffset => "the arch's place in the frame".to_string(),
        RuleName::Tilt => "the Milky Way's tilt".to_string(),
        RuleName::MinMinutes => "the shortest window".to_string(),
        RuleName::CoreRidge => format!("the land in front of the {target}"),
        RuleName::MoonRidge => "the land in front of the Moon".to_string(),
        // A rule that has no words of its own yet goes by its option.
        #[allow(unreachable_patterns, reason = "rules may be added")]
        other => other.key().replace('_', " "),
    }
}

/// A rule's option: `--moon-altitude`.
pub fn rule_option(rule: RuleName) -> String {
    match rule {
        // The site's terrain is no wish and has no option.
        RuleName::CoreRidge => "terrain, core".to_string(),
        RuleName::MoonRidge => "terrain, Moon".to_string(),
        _ => format!("--{}", rule.key().replace('_', "-")),
    }
}

/// How much of a rule's unit: `2.1°`, `0.012`, `14 min`; a dash for words.
pub fn amount(rule: RuleName, value: Option<f64>) -> String {
    let Some(value) = value else {
        return "-".to_string();
    };
    match rule.unit() {
        Unit::Degrees => format!("{:.1}°", Figure(value)),
        Unit::Fraction => format!("{:.3}", Figure(value)),
        Unit::Minutes if value >= 120.0 => format!("{:.1} h", value / 60.0),
        Unit::Minutes => format!("{:.0} min", Figure(value)),
        Unit::Word => "-".to_string(),
    }
}

/// The unit's name in machine formats.
pub fn unit_name(rule: RuleName) -> &'static str {
    match rule.unit() {
        Unit::Degrees => "deg",
        Unit::Fraction => "fraction",
        Unit::Minutes => "minutes",
        Unit::Word => "word",
    }
}

/// A loosening as an object: what to type, and how far that goes.
pub fn loosening_object(loosening: &Loosening) -> serde_json::Value {
    serde_json::json!({
        "rule": loosening.rule.key(),
        "value": loosening.value,
        "option": loosening.option(),
        "off_by": loosening.off.map(|off| super::json::rounded(off, 4)),
        "unit": unit_name(loosening.rule),
    })
}

/// `Sat 2027-06-05`.
pub fn night_words(night: NaiveDate) -> String {
    night.format("%a %Y-%m-%d").to_string()
}

/// `1 night`, `2 nights`.
pub fn nights_words(count: usize) -> String {
    plural(count as i64, "night", "nights")
}

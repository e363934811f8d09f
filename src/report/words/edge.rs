//! What opens and closes a window, and what a bar of rules is called.

use super::rule::rule_words;
use crate::{
    Figure,
    rule::{
        CLOCK, CONTRAST, DATES, FRAMING, LIGHT_ANGLE, LIGHT_SIDE, MOON_ALTITUDE, MOON_FRACTION,
        MOON_IN_FRAME, MOON_RIDGE, NOT_DATES, Rule, Rules, SUN_ALTITUDE, TARGET_ALTITUDE,
        TARGET_AZIMUTH, TARGET_OFFSET, TARGET_PLACE, TARGET_RIDGE, TIMES, WEEKDAYS,
    },
    scene::Band,
    why::{GroupThrough, RuleGroup, WindowEnds},
};

/// What begins a period: `Moon clears the ridge`; `None` at the night's
/// beginning.
pub fn opening_words(ends: &WindowEnds, rules: &Rules) -> Option<String> {
    Some(edge_words(ends.begun_by?, ends.begun_at, true, rules))
}

/// What ends a period: `astronomical dawn`; `None` at the night's end.
pub fn closing_words(ends: &WindowEnds, rules: &Rules) -> Option<String> {
    Some(edge_words(ends.ended_by?, ends.ended_at, false, rules))
}

/// What happens where a rule begins to hold or ceases to, measuring this much.
fn edge_words(rule: &Rule, value: Option<f64>, begins: bool, rules: &Rules) -> String {
    let target = rules.target_name();
    let band = rules.get::<Band>(rule);
    // The end of the band that is crossed is the nearer one.
    let (limit, now_above) = match band.zip(value) {
        Some((band, value)) if (value - band.low).abs() <= (band.high - value).abs() => {
            (band.low, begins)
        }
        Some((band, _)) => (band.high, !begins),
        None => (f64::NAN, begins),
    };
    let side = if now_above { "above" } else { "below" };
    let of_two = |one: &str, other: &str| if begins { one } else { other }.to_owned();
    match rule {
        rule if *rule == SUN_ALTITUDE => sun_words(limit, now_above),
        rule if *rule == MOON_ALTITUDE => match limit.abs() < 0.5 {
            true if now_above => "moonrise".to_owned(),
            true => "moonset".to_owned(),
            false => format!("Moon {side} {}°", Figure(limit)),
        },
        rule if *rule == TARGET_ALTITUDE => format!("{target} {side} {}°", Figure(limit)),
        rule if *rule == MOON_FRACTION => {
            let share = 100.0 * limit;
            let more = if now_above { "more" } else { "less" };
            format!("Moon {more} than {share:.0}% lit")
        }
        rule if *rule == MOON_RIDGE => {
            of_two("Moon clears the ridge", "Moon goes behind the ridge")
        }
        rule if *rule == TARGET_RIDGE => of_two(
            &format!("{target} clears the ridge"),
            &format!("{target} goes behind the ridge"),
        ),
        rule if *rule == TARGET_OFFSET || *rule == TARGET_AZIMUTH => of_two(
            &format!("{target} comes into your limits"),
            &format!("{target} leaves your limits"),
        ),
        rule if *rule == TARGET_PLACE => of_two(
            &format!("{target} takes its place at the subject"),
            &format!("{target} leaves its place at the subject"),
        ),
        rule if *rule == LIGHT_ANGLE || *rule == LIGHT_SIDE => {
            of_two("light comes from the side", "light no longer from the side")
        }
        rule if *rule == CONTRAST => of_two(
            &format!("{target} stands out"),
            &format!("{target} washed out"),
        ),
        rule if *rule == FRAMING => of_two(
            &format!("a frame holds land and {target}"),
            &format!("no frame holds land and {target}"),
        ),
        rule if *rule == MOON_IN_FRAME => of_two(
            "the frame holds what you ask of the Moon",
            "the frame holds no more what you ask of the Moon",
        ),
        rule if *rule == CLOCK || *rule == TIMES => of_two("your hours begin", "your hours end"),
        rule if [&WEEKDAYS, &DATES, &NOT_DATES].contains(&rule) => {
            of_two("your dates begin", "your dates end")
        }
        rule => {
            let words = rule_words(rule, rules);
            of_two(
                &format!("{words} comes into your limits"),
                &format!("{words} leaves your limits"),
            )
        }
    }
}

fn sun_words(limit_deg: f64, now_above: bool) -> String {
    let name = match (limit_deg, now_above) {
        (-18.0, false) => "astronomical dusk",
        (-18.0, true) => "astronomical dawn",
        (-12.0, false) => "nautical dusk",
        (-12.0, true) => "nautical dawn",
        (-6.0, false) => "civil dusk",
        (-6.0, true) => "civil dawn",
        (_, true) => return format!("Sun above {}°", Figure(limit_deg)),
        (_, false) => return format!("Sun below {}°", Figure(limit_deg)),
    };
    name.to_owned()
}

/// The name of a group of rules, as those of it that cost time have it: `core
/// placed`, `Moon low, clear`.
pub fn group_words(group: &GroupThrough<'_>, rules: &Rules) -> String {
    let target = rules.target_name();
    let has = |rule: &Rule| group.rules.iter().any(|through| through.rule == rule);
    match group.group {
        RuleGroup::Dark if rules.target.is_moon() => "twilight".to_owned(),
        RuleGroup::Dark => "dark".to_owned(),
        RuleGroup::Place if group.rules.iter().all(|one| *one.rule == TARGET_RIDGE) => {
            format!("{target} clear")
        }
        RuleGroup::Place => format!("{target} placed"),
        RuleGroup::Moon => {
            let band = rules.get::<Band>(&MOON_ALTITUDE).unwrap_or(Band::ANY);
            let height = match (band.low > 0.0, band.high) {
                (_, high) if high <= 0.5 => "no Moon",
                (_, high) if high < 90.0 => "Moon low",
                (true, _) => "Moon up",
                (false, _) => "Moon",
            };
            let mut words: Vec<&str> = Vec::new();
            if has(&MOON_ALTITUDE) {
                words.push(height);
            }
            for (rule, alone, added) in [
                (&MOON_RIDGE, "Moon clear", "clear"),
                (&MOON_FRACTION, "Moon's lit part", "lit part"),
            ] {
                if has(rule) {
                    words.push(if words.is_empty() { alone } else { added });
                }
            }
            words.join(", ")
        }
        RuleGroup::Side => "light from the side".to_owned(),
        RuleGroup::Contrast => format!("{target} stands out"),
        RuleGroup::Frame => "framed".to_owned(),
        RuleGroup::Hours => "your hours".to_owned(),
    }
}

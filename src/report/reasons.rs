//! One night rule by rule, as a table and in JSON.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    json::{list, object as object_of},
    rows::reasons as rows,
    words::{amount, clock, clocks, rule_option},
    wrap::{write_note, write_wrapped},
};
use crate::{
    Figure,
    ephemeris::Moment,
    rule::{CLOCK, Rule, Rules, Unit},
    scene::Site,
    search::{Interval, Intervals, Planner},
    why::{NightReasons, RuleThrough, WindowEnds},
};
use serde_json::{Value, json};
use std::io::{self, Write};

/// A measured value in words: altitudes and angles with their sign, the clock
/// as a time.
fn value_text(rule: &Rule, value: f64) -> String {
    match (rule, rule.unit()) {
        (rule, _) if *rule == CLOCK => {
            let minutes = (value.round() as i64).rem_euclid(1440);
            format!("{:02}:{:02}", minutes / 60, minutes % 60)
        }
        (_, Unit::Word) => format!("{:.0}°", Figure(value)),
        _ => amount(rule, Some(value)),
    }
}

/// A margin with its sign; a negative one that rounds to zero has none.
fn margin_text(rule: &Rule, margin: f64) -> String {
    let size = match rule.unit() {
        Unit::Word => format!("{:.1}°", margin.abs()),
        _ => amount(rule, Some(margin.abs())),
    };
    let is_zero = !size.contains(|c: char| matches!(c, '1'..='9'));
    let sign = match margin < 0.0 {
        true if is_zero => "",
        true => "-",
        false => "+",
    };
    format!("{sign}{size}")
}

/// When a rule holds while the Sun is down, since daytime does not matter; in a
/// night in which the Sun never sets, when it holds at all.
fn held_text(site: &Site, reasons: &NightReasons, through: &RuleThrough) -> String {
    let night = &reasons.night;
    let down = if reasons.sun_down.is_empty() {
        Intervals::one(night.start.seconds(), night.end.seconds())
    } else {
        reasons.sun_down.clone()
    };
    let held = through.held.and(&down);
    let seconds =
        |all: &Intervals| all.as_slice().iter().map(Interval::minutes).sum::<f64>() * 60.0;
    if held.is_empty() {
        return "never".to_string();
    }
    if seconds(&held) > seconds(&down) - 2.0 {
        return "all night".to_string();
    }
    let texts: Vec<String> = held
        .as_slice()
        .iter()
        .map(|interval| clocks(site, *interval))
        .collect();
    texts.join(" ")
}

fn end_words(end: Option<&Rule>, rules: &Rules, none: &str) -> String {
    end.map_or_else(|| none.to_string(), |rule| rule_option(rule, rules))
}

fn window_line(site: &Site, rules: &Rules, window: &WindowEnds) -> String {
    let short = if window.long_enough {
        String::new()
    } else {
        format!(", too short for --min-minutes {}", rules.min_minutes())
    };
    format!(
        "{} ({:.0} min{short}): begun by {}, ended by {}",
        clocks(site, window.interval),
        window.interval.minutes(),
        end_words(window.begun_by, rules, "the night's noon"),
        end_words(window.ended_by, rules, "the next noon"),
    )
}

const KEY: &str = "holds: when the rule is met; best: the value nearest to it, or furthest within it, while the \
     other rules hold, or in the whole night where they never do; margin: + within the rule, - \
     beyond it";

/// Writes every rule with the periods in which it holds and the best it
/// comes to while the others hold, then what begins and ends each window.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    rules: &Rules,
    reasons: &NightReasons,
    width: usize,
) -> io::Result<()> {
    let mut grid = Grid::new([
        Side::Left,
        Side::Left,
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Left,
    ]);
    grid.heading(["", "rule", "holds", "best", "margin", "at"]);
    for through in &reasons.rules {
        let style = if through.rejects_alone || through.held.is_empty() {
            STRONG
        } else {
            PLAIN
        };
        let best = through.best.as_ref();
        let of_best = |text: &dyn Fn(Moment, crate::rule::Measure) -> String| {
            best.map_or_else(String::new, |(moment, measure)| text(*moment, *measure))
        };
        let mark = if through.rejects_alone { "*" } else { "" };
        grid.styled_row([
            (mark.to_string(), STRONG),
            (
                format!("{} {}", rule_option(through.rule, rules), through.value),
                style,
            ),
            (held_text(site, reasons, through), PLAIN),
            (of_best(&|_, m| value_text(through.rule, m.value)), PLAIN),
            (of_best(&|_, m| margin_text(through.rule, m.margin)), PLAIN),
            (of_best(&|moment, _| clock(site, moment)), PLAIN),
        ]);
    }
    grid.shed(width, &[4, 5, 3]);
    grid.write(out)?;
    write_note(out, KEY, width)?;
    if reasons.rules.iter().any(|through| through.rejects_alone) {
        write_note(
            out,
            "*: without this rule alone the night would be found",
            width,
        )?;
    }
    if reasons.windows.is_empty() {
        return writeln!(out, "At no time do all the rules hold.");
    }
    for window in &reasons.windows {
        write_wrapped(out, "", &window_line(site, rules, window), width)?;
    }
    Ok(())
}

/// The rules with the periods in which they hold, their margins at `times`
/// in their own units, and the windows with what ends them.
pub fn object(planner: &Planner, reasons: &NightReasons, times: &[Moment]) -> Value {
    let instants: Vec<_> = times.iter().map(|time| planner.instant_at(*time)).collect();
    let rules: Vec<Value> = reasons
        .rules
        .iter()
        .map(|through| {
            let held = through.held.as_slice().iter();
            let margins = instants.iter().map(|instant| {
                let measure = through.measure(planner, instant);
                list(rows::MEASURE, &(instant.moment(), measure))
            });
            let best = through.best.as_ref().map(|(moment, measure)| {
                let mut best = object_of(rows::MEASURE, &(*moment, Some(*measure)));
                best.extend(object_of(rows::BEST, &through));
                Value::Object(best)
            });
            let mut whole = object_of(rows::RULE, &through);
            whole.insert("held".into(), held.map(|i| list(rows::HELD, &i)).collect());
            whole.extend(object_of(rows::COST, &through));
            whole.insert("best".into(), best.into());
            whole.insert("margins".into(), margins.collect());
            Value::Object(whole)
        })
        .collect();
    let windows = reasons.windows.iter();
    let windows: Vec<Value> = windows
        .map(|window| list(rows::RULES_HELD, &window))
        .collect();
    json!({"min_minutes": reasons.min_minutes, "rules": rules, "periods": windows})
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rule::{MIN_MINUTES, MOON_ALTITUDE};

    #[test]
    fn a_margin_of_nothing_has_no_minus() {
        let text = |margin| margin_text(&MOON_ALTITUDE, margin);
        assert_eq!(text(-0.04), "0.0°");
        assert_eq!(text(-0.06), "-0.1°");
        assert_eq!(text(0.04), "+0.0°");
        assert_eq!(margin_text(&MIN_MINUTES, -0.3), "0 min");
    }
}

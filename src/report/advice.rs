//! What to change when little or nothing is found: in sentences, as a table
//! and in JSON.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    json::{loosening_object, object, rounded},
    key::Key,
    rows::advice as rows,
    words::{hindrance_sentence, rule_option, sentences},
    wrap::write_wrapped,
};
use crate::{
    rule::Rules,
    scene::Site,
    why::{Admission, Advice, Hindrance},
};
use serde_json::{Map, Value, json};
use std::io::{self, Write};

/// Writes the sentences and, rule by rule, what each costs; `keyed` with what
/// the columns mean.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    advice: &Advice,
    site: &Site,
    rules: &Rules,
    width: usize,
    keyed: bool,
) -> io::Result<()> {
    writeln!(out, "{STRONG}What stands in the way{STRONG:#}")?;
    for line in sentences(advice, site, rules) {
        write_wrapped(out, "", &line, width.min(96))?;
    }
    let mut grid = Grid::new([Side::Left, Side::Right, Side::Right, Side::Left, Side::Left]);
    grid.heading(["", "lost", "", "one night", "five nights"]);
    grid.heading(["rule", "to it", "winnable", "with", "with"]);
    let costly = advice.rules.iter().filter(|rule| rule.nights_alone > 0);
    let mut any = false;
    for rule in costly {
        any = true;
        let value = |admission: &Option<Admission>| {
            admission
                .as_ref()
                .map_or_else(|| "-".to_string(), |a| a.loosening.value.clone())
        };
        grid.styled_row([
            (
                format!("{} {}", rule_option(rule.rule, rules), rule.value),
                PLAIN,
            ),
            (rule.nights_alone.to_string(), PLAIN),
            (rule.nights_in_reach.to_string(), STRONG),
            (value(&rule.one), PLAIN),
            (value(&rule.five), PLAIN),
        ]);
    }
    if any {
        grid.shed(width, &[4, 3]);
        grid.write(out)?;
        if keyed {
            Key::Advice.write(out, width)?;
        }
    }
    Ok(())
}

/// The advice as an array: one item that sums it up, one for each rule in use,
/// and one for each rule that can never be met.
pub fn array(advice: &Advice, site: &Site, rules: &Rules) -> Value {
    let admission = |admission: &Option<Admission>| {
        admission.as_ref().map(|admission| {
            let mut object = loosening_object(&admission.loosening);
            let nights: Vec<String> = admission.nights.iter().map(ToString::to_string).collect();
            object["nights"] = json!(nights);
            object
        })
    };
    let mut summary = Map::new();
    summary.insert("about".into(), "all".into());
    let text = sentences(advice, site, rules).join(" ");
    summary.insert("text".into(), text.into());
    summary.extend(object(rows::ALL, &advice));
    summary.insert("one_night".into(), admission(&advice.one).into());
    summary.insert("five_nights".into(), admission(&advice.five).into());
    let of_rules = advice.rules.iter().map(|rule| {
        let mut whole = Map::new();
        whole.insert("about".into(), "rule".into());
        whole.extend(object(rows::RULE, &rule));
        whole.insert("one_night".into(), admission(&rule.one).into());
        whole.insert("five_nights".into(), admission(&rule.five).into());
        Value::Object(whole)
    });
    let hindrances = advice.hindrances.iter().map(|hindrance| {
        let mut object = json!({
            "about": "limit",
            "rule": hindrance.rule().key,
            "text": hindrance_sentence(hindrance, site, rules),
        });
        match hindrance {
            Hindrance::TargetTooLow {
                declination_deg,
                greatest_altitude_deg,
                latitudes_deg,
                ..
            } => {
                object["declination_deg"] = rounded(*declination_deg, 2);
                object["greatest_altitude_deg"] = rounded(*greatest_altitude_deg, 2);
                object["northern_limit_deg"] = rounded(latitudes_deg.0, 2);
                object["southern_limit_deg"] = rounded(latitudes_deg.1, 2);
            }
            Hindrance::SunTooHigh {
                lowest_altitude_deg,
                night,
                ..
            } => {
                object["lowest_altitude_deg"] = rounded(*lowest_altitude_deg, 2);
                object["night"] = json!(night.to_string());
            }
            Hindrance::NeverHolds {
                longest_minutes, ..
            } => object["longest_minutes"] = rounded(*longest_minutes, 1),
        }
        object
    });
    std::iter::once(Value::Object(summary))
        .chain(of_rules)
        .chain(hindrances)
        .collect()
}

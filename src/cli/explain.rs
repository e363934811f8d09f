//! The rules in use and where each came from.

use super::{
    asked_rules::AskedRules,
    manners::{Failure, wrapped},
};
use rakelight::{
    report::{
        grid::{FAINT, Grid, PLAIN, STRONG, Side},
        words::height_words,
    },
    rule::Brief,
    rule::Rules,
    scene::{Site, shown},
    search::{Planner, SitePlanners},
};
use serde_json::{Value, json};
use std::{
    io::{self, Write},
    sync::{Arc, Mutex, PoisonError},
};

/// Why a blend gets no reasons: its two periods have different rules.
pub const BLEND: &str =
    "is not worked out for --light blend; try --light any and --light dark by themselves";

/// Which of several rules these are: their kind of light, what it is worth, and
/// their brief.
pub fn asked_words(rules: &Rules) -> String {
    let brief = rules.brief.as_deref();
    let brief = brief.map_or_else(String::new, |brief| format!(", brief {}", shown(brief)));
    let worth = match rules.preference {
        1.0 => String::new(),
        worth => format!(", score times {worth:.2}"),
    };
    format!("{}{brief}{worth}", rules.light)
}

/// Writes the rules in use at a site; of several they are told apart.
pub fn write(
    out: &mut impl Write,
    asked_rules: &AskedRules,
    site: &Site,
    rules: &Rules,
    one_of_several: bool,
    width: usize,
) -> Result<(), Failure> {
    let asked = match one_of_several {
        true => format!(": {}", asked_words(rules)),
        false => String::new(),
    };
    writeln!(out, "{STRONG}{}{STRONG:#}{asked}", site.title())?;
    let entries = rules.to_brief().entries();
    let mut grid = Grid::new([Side::Left, Side::Left, Side::Left]);
    grid.heading(["rule", "from", "in use"]);
    let origins = asked_rules.origins(site, rules);
    for key in Brief::keys() {
        let text = entries
            .iter()
            .find(|(given, _)| *given == key)
            .map_or("any", |(_, text)| text);
        let origin = origins.of(key);
        let style = if origin == "default" { FAINT } else { PLAIN };
        let option = format!("--{}", key.replace('_', "-"));
        grid.styled_row([
            (option, PLAIN),
            (origin.to_string(), style),
            (text.to_string(), style),
        ]);
    }
    grid.wrap_last(width);
    grid.write(out)?;
    if let Some(note) = assumed_width_note(site) {
        writeln!(out, "{}", wrapped(&note, width))?;
    }
    Ok(())
}

/// What `target_place` and the frame assume of a subject without a width.
fn assumed_width_note(site: &Site) -> Option<String> {
    let shape = site.subject_shape()?;
    let (width_m, assumed) = site.subject_width_m()?;
    (assumed && shape.is_solid()).then(|| {
        let width = height_words(site.conventions.units, width_m, 1);
        format!("The subject has no width_m: it counts as {width} wide, half its height.")
    })
}

/// A field of JSON: its name and its text.
type Field = (&'static str, Arc<[u8]>);

/// The rules in use at a site as they stand in JSON. Most sites of a table have
/// the same: those of the last site are kept.
#[derive(Default)]
pub struct RulesTold(Mutex<Option<Told>>);

/// The rules of a site, with what they and their origins depend on.
struct Told {
    rules: Vec<Rules>,
    standing: Vec<(&'static str, String)>,
    fields: Vec<Field>,
}

impl RulesTold {
    /// The fields: the rules of the first brief and kind of light, and where
    /// there are several, those of each.
    pub fn fields(
        &self,
        asked_rules: &AskedRules,
        planners: &SitePlanners,
    ) -> io::Result<Vec<Field>> {
        let site = planners.site();
        let mut last = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(told) = last.as_ref().filter(|told| {
            told.standing == site.standing_rules
                && planners.iter().map(Planner::rules).eq(&told.rules)
        }) {
            return Ok(told.fields.clone());
        }
        let fields = written(asked_rules, planners)?;
        *last = Some(Told {
            rules: planners
                .iter()
                .map(|planner| planner.rules().clone())
                .collect(),
            standing: site.standing_rules.clone(),
            fields: fields.clone(),
        });
        Ok(fields)
    }
}

fn written(asked_rules: &AskedRules, planners: &SitePlanners) -> io::Result<Vec<Field>> {
    let of = |planner: &Planner| object(asked_rules, planner.site(), planner.rules());
    let mut fields = vec![("rules", text_of(&of(planners.first()))?)];
    if planners.are_several() {
        let each = planners.iter().map(|planner| {
            let rules = planner.rules();
            json!({"brief": rules.brief.as_deref(), "light": rules.light.word(), "preference": rules.preference, "rules": of(planner)})
        });
        fields.push(("rules_of_each", text_of(&each.collect())?));
    }
    Ok(fields)
}

/// The text of a value.
pub fn text_of(value: &Value) -> io::Result<Arc<[u8]>> {
    Ok(serde_json::to_vec(value)?.into())
}

/// The rules in use at a site, as they can be typed, with their origins.
pub fn object(asked_rules: &AskedRules, site: &Site, rules: &Rules) -> Value {
    let entries = rules.to_brief().entries();
    let origins = asked_rules.origins(site, rules);
    Value::Object(
        entries
            .into_iter()
            .map(|(key, text)| {
                let origin = origins.of(key);
                (key.to_string(), json!({"value": text, "from": origin}))
            })
            .collect(),
    )
}

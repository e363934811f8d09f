//! The nights asked for side by side, with the best value of each row marked.

use super::{
    blocks::write_starred,
    grid::STRONG,
    record_grid::beside,
    rows::window::{Record, fields_of},
    sites_on_night::array,
    table::ends_past_midnight,
    words::{NAMED_BY_EVENING, common_of, heading_for, night_words, target_of},
    wrap::{write_note, write_wrapped},
};
use crate::{
    scene::{Site, Weights},
    search::Window,
    why::Compared,
};
use serde_json::{Value, json};
use std::{
    io::{self, Write},
    ops::Range,
};

/// Writes the nights side by side, `*` at the best value of each row, then
/// what decides between them.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    nights: &[Compared],
    weights: &Weights,
    width: usize,
) -> io::Result<()> {
    writeln!(out, "{STRONG}{}{STRONG:#}", site.title())?;
    let windows: Vec<&Window> = nights.iter().filter_map(|n| n.window.as_ref()).collect();
    let common = common_of(windows.iter().copied());
    let target = target_of(windows.iter().copied());
    let heading = |title: &str| heading_for(title, target);
    let records: Vec<Record<'_>> = windows
        .iter()
        .map(|window| Record { site, window })
        .collect();
    // Best among all the nights, not only those of a block.
    let grid_of = |some: Range<usize>| {
        let some = records.get(some).unwrap_or_default();
        let names = some.iter().map(|record| night_words(record.window.night));
        let heads = [std::iter::once(String::new()).chain(names).collect()];
        beside(fields_of(&records), some, &records, common, heading, heads)
    };
    write_starred(out, records.len(), width, grid_of)?;
    let past_midnight = windows
        .iter()
        .any(|window| ends_past_midnight(site, window.night, window.interval));
    if past_midnight {
        write_note(out, NAMED_BY_EVENING, width)?;
    }
    for night in nights.iter().filter(|night| night.window.is_none()) {
        let line = format!("{}: {}.", night_words(night.night), night.lacking_words());
        write_wrapped(out, "", &line, width)?;
    }
    write_wrapped(out, "", &verdict_of_nights(&windows, weights), width)
}

impl Compared {
    /// What is said of a night without a window: that, and which option would
    /// give it one.
    pub(super) fn lacking_words(&self) -> String {
        let needs = self.needs.as_ref().map_or_else(
            || "and no change of one rule includes it".to_string(),
            |needs| format!("but {} includes it", needs.option()),
        );
        format!("no window, {needs}")
    }
}

/// The factors of a window's score by name, with their weights.
fn parts(window: &Window, weights: &Weights) -> [(&'static str, Option<f64>, f64); 6] {
    let factors = &window.factors;
    let balance = match window.best.target.is_moon() {
        true => "the balance of the Moon's disc and the land",
        false => "the balance of land and sky",
    };
    [
        (
            "the Milky Way's contrast",
            factors.contrast,
            weights.contrast,
        ),
        (balance, factors.balance, weights.balance),
        ("how the light rakes", factors.raking, weights.raking),
        ("one frame or a panorama", factors.framing, weights.framing),
        (
            "where the target stands",
            factors.position,
            weights.position,
        ),
        ("the length of the window", factors.length, weights.length),
    ]
}

/// One of those that a sentence compares.
pub(super) struct Contender<'a> {
    /// What it is called.
    pub name: String,
    /// Its window.
    pub window: &'a Window,
    /// How its score weighs its parts.
    pub weights: &'a Weights,
}

/// One sentence on what decides between the two best of some nights.
fn verdict_of_nights(windows: &[&Window], weights: &Weights) -> String {
    let contenders: Vec<Contender<'_>> = windows
        .iter()
        .map(|window| Contender {
            name: night_words(window.night),
            window,
            weights,
        })
        .collect();
    verdict(&contenders, "None of these nights has a window.")
}

/// One sentence on what decides between the two best; `none` is what is said
/// where there is nothing to compare.
pub(super) fn verdict(of: &[Contender<'_>], none: &str) -> String {
    let mut ranked: Vec<&Contender<'_>> = of.iter().collect();
    ranked.sort_by(|a, b| b.window.score.total_cmp(&a.window.score));
    let (one, other) = match ranked.as_slice() {
        [] => return none.to_owned(),
        [only] => return format!("Only {} has a window.", only.name),
        [one, other, ..] => (one, other),
    };
    let (first, second, weights) = (one.window, other.window, one.weights);
    let gain = |a: Option<f64>, b: Option<f64>, weight: f64| {
        a.zip(b)
            .map_or(0.0, |(a, b)| weight * (a.max(1e-9) / b.max(1e-9)).ln())
    };
    let gains: Vec<(&str, f64, f64, f64)> = parts(first, weights)
        .into_iter()
        .zip(parts(second, weights))
        .map(|((name, a, weight), (_, b, _))| {
            (name, gain(a, b, weight), a.unwrap_or(0.0), b.unwrap_or(0.0))
        })
        .collect();
    // A lead that rounding would hide is given to the tenth.
    let decimals = usize::from(first.score.round() == second.score.round());
    let lead = format!(
        "{} leads {} by {:.decimals$} to {:.decimals$}",
        one.name, other.name, first.score, second.score
    );
    if one.weights != other.weights {
        return format!("{lead}; their scores weigh the parts differently.");
    }
    let Some((name, most, a, b)) = gains.iter().max_by(|x, y| x.1.total_cmp(&y.1)) else {
        return format!("{lead}.");
    };
    if *most < 1e-3 {
        return format!("{lead}: they are as good as equal.");
    }
    let against = gains.iter().min_by(|x, y| x.1.total_cmp(&y.1));
    let but = match against {
        Some((name, loss, a, b)) if *loss < -0.25 * most => {
            format!(", though it loses on {name} ({a:.2} against {b:.2})")
        }
        _ => String::new(),
    };
    format!("{lead}, decided by {name} ({a:.2} against {b:.2}){but}.")
}

/// The nights as an object: each night with its best window or with what it
/// lacks, and the sentence on what decides.
pub fn object(site: &Site, nights: &[Compared], weights: &Weights) -> Value {
    let windows: Vec<&Window> = nights.iter().filter_map(|n| n.window.as_ref()).collect();
    let text = verdict_of_nights(&windows, weights);
    json!({"nights": array(site, nights), "text": text})
}

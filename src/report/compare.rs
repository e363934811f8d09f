//! Named nights side by side, the best value of each row marked.

use super::{
    columns::Record,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    json::window_object,
    table::ends_past_midnight,
    words::{
        NAMED_BY_EVENING, clock, clocks, heading_for, light_cell, light_words, loosening_object,
        night_words, stops, target_of,
    },
};
use crate::{
    Figure,
    scene::{Site, Weights},
    search::{Factors, Window},
    why::Compared,
};
use serde_json::{Value, json};
use std::io::{self, Write};

/// Nights beside each other in 80 columns.
const ACROSS: usize = 4;

/// How a row is written, and how good its value is where one can be better
/// than another.
struct Row {
    name: &'static str,
    text: fn(&Site, &Window) -> String,
    good: Option<fn(&Window) -> f64>,
}

fn factor(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_string(), |value| format!("{value:.2}"))
}

const ROWS: &[Row] = &[
    Row {
        name: "score",
        text: |_, w| format!("{:.0}", w.score),
        good: Some(|w| w.score),
    },
    Row {
        name: "window",
        text: |s, w| clocks(s, w.interval),
        good: None,
    },
    Row {
        name: "minutes",
        text: |_, w| format!("{:.0}", w.interval.minutes()),
        good: Some(|w| w.interval.minutes()),
    },
    Row {
        name: "best at",
        text: |s, w| clock(s, w.best.moment()),
        good: None,
    },
    Row {
        name: "Moon lit",
        text: |_, w| format!("{:.0}%", 100.0 * w.lit().sky.phase.illuminated_fraction),
        good: None,
    },
    Row {
        name: "Moon up",
        text: |_, w| format!("{:.1}°", Figure(w.lit().sky.moon.apparent_altitude_deg)),
        good: None,
    },
    Row {
        name: "light from",
        text: |_, w| light_cell(w.lit(), light_words),
        good: None,
    },
    Row {
        name: "moonlight",
        text: |_, w| format!("{:.1} mlx", 1000.0 * w.lit().light.moonlight_lux),
        good: None,
    },
    Row {
        name: "core up",
        text: |_, w| format!("{:.1}°", Figure(w.best.sky.target.apparent_altitude_deg)),
        good: None,
    },
    Row {
        name: "core off centre",
        text: |_, w| format!("{:+.0}°", Figure(w.best.core_offset_deg())),
        good: Some(|w| -w.best.core_offset_deg().abs()),
    },
    Row {
        name: "Moon to core",
        text: |_, w| format!("{:.0}°", w.best.sky.moon_target_separation_deg),
        good: Some(|w| w.best.sky.moon_target_separation_deg),
    },
    Row {
        name: "arch top",
        text: |_, w| {
            let arch = w.best.sky.arch;
            arch.map_or_else(
                || "-".to_string(),
                |a| format!("{:.0}°", Figure(a.top_altitude_deg)),
            )
        },
        good: None,
    },
    Row {
        name: "sky mag/arcsec2",
        text: |_, w| format!("{:.2}", w.best.light.sky_mag_arcsec2),
        good: Some(|w| w.best.light.sky_mag_arcsec2),
    },
    Row {
        name: "contrast kept",
        text: |_, w| format!("{:.0}%", 100.0 * w.best.light.contrast_kept),
        good: Some(|w| w.best.light.contrast_kept),
    },
    Row {
        name: "land stops",
        text: |_, w| match w.factors.balance {
            Some(_) => stops(w.best.light.balance_stops),
            None => "-".to_string(),
        },
        good: Some(|w| w.factors.balance.unwrap_or(f64::NAN)),
    },
    Row {
        name: "shadow x height",
        text: |_, w| {
            let length = w.lit().light.shadow_length_per_height;
            length.map_or_else(|| "-".to_string(), |length| format!("{length:.1}"))
        },
        good: None,
    },
    Row {
        name: "of the score: contrast",
        text: |_, w| factor(w.factors.contrast),
        good: Some(|w| w.factors.contrast.unwrap_or(f64::NAN)),
    },
    Row {
        name: "  balance",
        text: |_, w| factor(w.factors.balance),
        good: Some(|w| w.factors.balance.unwrap_or(f64::NAN)),
    },
    Row {
        name: "  raking",
        text: |_, w| factor(w.factors.raking),
        good: Some(|w| w.factors.raking.unwrap_or(f64::NAN)),
    },
    Row {
        name: "  position",
        text: |_, w| factor(w.factors.position),
        good: Some(|w| w.factors.position.unwrap_or(f64::NAN)),
    },
    Row {
        name: "  length",
        text: |_, w| factor(w.factors.length),
        good: Some(|w| w.factors.length.unwrap_or(f64::NAN)),
    },
];

/// Writes the nights side by side, `*` at the best value of each row, then
/// what decides between them.
///
/// # Errors
///
/// What `out` says.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    nights: &[Compared],
    weights: &Weights,
) -> io::Result<()> {
    writeln!(out, "{STRONG}{}{STRONG:#}", site.name)?;
    let windows: Vec<&Window> = nights.iter().filter_map(|n| n.window.as_ref()).collect();
    let target = target_of(windows.iter().copied());
    let mut starred = false;
    for some in windows.chunks(ACROSS) {
        let sides: Vec<Side> = std::iter::once(Side::Left)
            .chain(some.iter().map(|_| Side::Right))
            .collect();
        let mut grid = Grid::new(sides);
        let names = some.iter().map(|window| night_words(window.night));
        grid.heading(std::iter::once(String::new()).chain(names));
        for row in ROWS {
            let best = best_text(row, site, &windows);
            let cells = some.iter().map(|window| {
                let text = (row.text)(site, window);
                if best.as_ref() == Some(&text) {
                    starred = true;
                    (format!("*{text}"), STRONG)
                } else {
                    (text, PLAIN)
                }
            });
            grid.styled_row(std::iter::once((heading_for(row.name, target), FAINT)).chain(cells));
        }
        grid.write(out)?;
        writeln!(out)?;
    }
    if starred {
        writeln!(out, "{FAINT}* the best of its row{FAINT:#}")?;
    }
    let past_midnight = windows
        .iter()
        .any(|window| ends_past_midnight(site, window.night, window.interval));
    if past_midnight {
        writeln!(out, "{FAINT}{NAMED_BY_EVENING}{FAINT:#}")?;
    }
    for night in nights.iter().filter(|night| night.window.is_none()) {
        let needs = night.needs.as_ref().map_or_else(
            || "and no loosening of one rule admits it".to_string(),
            |needs| format!("but {} admits it", needs.option()),
        );
        writeln!(out, "{}: no window, {needs}.", night_words(night.night))?;
    }
    writeln!(out, "{}", verdict(&windows, weights))
}

/// The text of the best value among all the nights; `None` where all read the
/// same, so that none is better to the eye.
fn best_text(row: &Row, site: &Site, windows: &[&Window]) -> Option<String> {
    let good = row.good?;
    let best = windows
        .iter()
        .filter(|window| good(window).is_finite())
        .max_by(|a, b| good(a).total_cmp(&good(b)))?;
    let text = (row.text)(site, best);
    let is_other = |window: &&Window| (row.text)(site, window) != text;
    windows.iter().any(is_other).then_some(text)
}

/// The factors of a score by name, with their weights.
fn parts(factors: &Factors, weights: &Weights) -> [(&'static str, Option<f64>, f64); 5] {
    [
        (
            "the Milky Way's contrast",
            factors.contrast,
            weights.contrast,
        ),
        (
            "the balance of land and sky",
            factors.balance,
            weights.balance,
        ),
        ("how the light rakes", factors.raking, weights.raking),
        (
            "where the target stands",
            factors.position,
            weights.position,
        ),
        ("the length of the window", factors.length, weights.length),
    ]
}

/// One sentence on what decides between the two best.
fn verdict(windows: &[&Window], weights: &Weights) -> String {
    let mut ranked = windows.to_vec();
    ranked.sort_by(|a, b| b.score.total_cmp(&a.score));
    let (first, second) = match ranked.as_slice() {
        [] => return "None of these nights has a window.".to_string(),
        [only] => {
            return format!("Only {} has a window.", night_words(only.night));
        }
        [first, second, ..] => (first, second),
    };
    let gain = |a: Option<f64>, b: Option<f64>, weight: f64| {
        a.zip(b)
            .map_or(0.0, |(a, b)| weight * (a.max(1e-9) / b.max(1e-9)).ln())
    };
    let gains: Vec<(&str, f64, f64, f64)> = parts(&first.factors, weights)
        .into_iter()
        .zip(parts(&second.factors, weights))
        .map(|((name, a, weight), (_, b, _))| {
            (name, gain(a, b, weight), a.unwrap_or(0.0), b.unwrap_or(0.0))
        })
        .collect();
    // A lead that rounding hides is told to the tenth.
    let decimals = usize::from(first.score.round() == second.score.round());
    let lead = format!(
        "{} leads {} by {:.decimals$} to {:.decimals$}",
        night_words(first.night),
        night_words(second.night),
        first.score,
        second.score
    );
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

/// The nights as an object: each with its best window or what it needs, and
/// the sentence.
pub fn object(site: &Site, nights: &[Compared], weights: &Weights) -> Value {
    let windows: Vec<&Window> = nights.iter().filter_map(|n| n.window.as_ref()).collect();
    let each: Vec<Value> = nights
        .iter()
        .map(|night| {
            json!({
                "night": night.night.to_string(),
                "window": night.window.as_ref().map(|window| window_object(&Record { site, window })),
                "needs": night.needs.as_ref().map(loosening_object),
            })
        })
        .collect();
    json!({"nights": each, "text": verdict(&windows, weights)})
}

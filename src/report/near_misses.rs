//! Nights that just miss, as a table and in JSON.

use super::{
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    json::{loosening_object, unranked_object},
    key::Key,
    rows::window::Record,
    table::ends_past_midnight,
    words::{NAMED_BY_EVENING, amount, clocks, night_words},
    wrap::write_note,
};
use crate::{scene::Site, why::NearMiss};
use serde_json::{Value, json};
use std::io::{self, Write};

/// Writes the near misses of a site: the window each would have, how far off
/// it is and the option that includes it; `keyed` with what the columns mean.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    site: &Site,
    misses: &[NearMiss],
    width: usize,
    keyed: bool,
) -> io::Result<()> {
    if misses.is_empty() {
        return writeln!(out, "No near misses: no night comes close to these rules.");
    }
    let most = misses.iter().map(|miss| miss.loosenings.len()).max();
    let what = match most {
        Some(2) => "nights that fail one rule or two",
        _ => "nights that fail one rule only",
    };
    writeln!(out, "{STRONG}Near misses{STRONG:#}: {what}, closest first")?;
    let mut grid = Grid::new([Side::Left, Side::Left, Side::Right, Side::Right, Side::Left]);
    grid.heading(["night", "window", "score", "off by", "found with"]);
    for miss in misses {
        let window = &miss.window;
        for (index, loosening) in miss.loosenings.iter().enumerate() {
            let lead = if index == 0 {
                [
                    night_words(window.night),
                    clocks(site, window.interval),
                    format!("{:.0}", window.score),
                ]
            } else {
                [String::new(), String::new(), "and".to_string()]
            };
            let [night, when, score] = lead;
            let score_style = if index == 0 { STRONG } else { FAINT };
            grid.styled_row([
                (night, PLAIN),
                (when, PLAIN),
                (score, score_style),
                (amount(loosening.rule, loosening.off), PLAIN),
                (loosening.option(), PLAIN),
            ]);
        }
    }
    grid.shed(width, &[3, 1]);
    grid.write(out)?;
    let past_midnight = misses
        .iter()
        .any(|miss| ends_past_midnight(site, miss.window.night, miss.window.interval));
    if past_midnight {
        write_note(out, NAMED_BY_EVENING, width)?;
    }
    if keyed {
        Key::NearMisses.write(out, width)?;
    }
    Ok(())
}

/// The near misses as an array: what each lacks, and the window it would have,
/// with the names of the CSV columns.
pub fn array(site: &Site, misses: &[NearMiss]) -> Value {
    misses
        .iter()
        .map(|miss| {
            let loosenings: Vec<Value> = miss.loosenings.iter().map(loosening_object).collect();
            let window = unranked_object(&Record {
                site,
                window: &miss.window,
            });
            json!({
                "night": miss.window.night.to_string(),
                "loosenings": loosenings,
                "window": window,
            })
        })
        .collect()
}

//! Nights side by side: each column below its night.

use super::{
    Case, core_told, differences,
    fact::{Row, Told, millilux, put_hours, put_light, rows},
    out,
};
use crate::program::Run;
use serde_json::Value;

/// The best window of each night in the CSV of the nights from the first to the
/// last, over which the sky is fitted alike.
fn best_of(case: &Case, nights: &[String]) -> Vec<Row> {
    let range = ["--from", &nights[0], "--to", &nights[nights.len() - 1]];
    let all = ["--all", "--format", "csv", "--quiet"];
    let ranked = rows(&out(
        Run::here(),
        &[&["scan"][..], &case.rules(), &range, &all].concat(),
    ));
    let best = |night: &String| {
        let of_night = ranked.iter().find(|row| row.text("night") == night);
        of_night.expect("its window").clone()
    };
    nights.iter().map(best).collect()
}

pub fn check(case: &Case) -> Vec<String> {
    let mut nights: Vec<String> = rows(&case.scan("csv"))
        .iter()
        .map(|row| row.text("night").to_owned())
        .collect();
    nights.sort();
    nights.dedup();
    nights.truncate(4);
    if nights.len() < 2 {
        return Vec::new();
    }
    let best = best_of(case, &nights);
    let list = nights.join(",");
    let compare = |format: &str| {
        let asked = ["--compare", &list, "--format", format, "--quiet"];
        // Wide enough for all the nights in one block.
        out(
            Run::here().wide(100),
            &[&["scan"][..], &case.rules(), &asked].concat(),
        )
    };
    let text = compare("table");
    let mut wrong = differences("compare", case, &best, &read(&text, &nights));
    wrong.extend(core_told("compare", case, &text));
    let document: Value = serde_json::from_str(&compare("json")).expect("JSON");
    let told = &document["sites"][0]["compare"]["nights"];
    for (index, row) in best.iter().enumerate() {
        let window = &told[index]["window"];
        let unlike = row
            .unlike_json(window)
            // A night's rank there is that within the night.
            .filter(|name| !name.starts_with("rank: "))
            .map(|name| format!("compare json: {name}"));
        wrong.extend(unlike);
    }
    wrong
}

fn read(text: &str, nights: &[String]) -> Vec<Told> {
    let lines: Vec<Vec<char>> = text.lines().map(|line| line.chars().collect()).collect();
    let head: String = lines[1].iter().collect();
    // A column goes from the end of the one before to the end of its night.
    let ends: Vec<usize> = nights
        .iter()
        .map(|night| head.find(night.as_str()).expect("its column") + night.len())
        .collect();
    let first = head.find(char::is_alphabetic).expect("a weekday");
    let mut windows = vec![Told::new(); nights.len()];
    for line in lines[2..].iter().take_while(|line| !line.is_empty()) {
        let cut = |from: usize, to: usize| -> String {
            let cell = line.get(from..to.min(line.len())).unwrap_or_default();
            cell.iter().collect::<String>().trim().to_owned()
        };
        let name = cut(0, first);
        for (index, end) in ends.iter().enumerate() {
            let from = index.checked_sub(1).map_or(first, |before| ends[before]);
            put(
                &mut windows[index],
                &name,
                cut(from, *end).trim_start_matches('*'),
            );
        }
    }
    windows
}

fn put(told: &mut Told, name: &str, text: &str) {
    let plain = text.trim_end_matches(" lux").trim_end_matches(['%', '°']);
    let name = match name {
        "window" | "dark" => return put_hours(told, ["start", "end"], text),
        "light from" => return put_light(told, text),
        "score" => "score",
        "minutes" => "minutes",
        "best at" => "best",
        "moonlit land" => return put_hours(told, ["moonlit_start", "moonlit_end"], text),
        "Moon lit" => "moon_percent",
        "Moon altitude" => "moon_up",
        "moonlight" => {
            told.insert("moonlight_mlx", millilux(plain));
            return;
        }
        "core altitude" | "target altitude" => "target_up",
        "core off centre" | "target off centre" => "target_offset",
        "Moon to core" | "Moon to target" => "separation",
        "arch top" => "arch_top",
        "sky mag/arcsec2" => "sky_mag",
        "Milky Way contrast" => "contrast",
        "contrast kept" => "kept_percent",
        "land vs sky, stops" => "stops",
        "shadow x height" => "shadow",
        "of the score: contrast" => "score_contrast",
        "balance" => "score_balance",
        "raking" => "score_raking",
        "framing" => "score_framing",
        "frame" => "frame",
        "position" => "score_position",
        "length" => "score_length",
        other => panic!("what is {other}?"),
    };
    told.insert(name, plain.to_owned());
}

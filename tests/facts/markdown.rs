//! Pipe tables by the names of their columns.

use super::{
    Case,
    fact::{Told, doubt_words, put_hours, put_light},
};

/// The first pipe table of a text: heads and rows.
pub fn pipe_table(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let cells = |line: &str| -> Vec<String> {
        let inner = line.trim().trim_start_matches('|').trim_end_matches('|');
        inner
            .split('|')
            .map(|cell| cell.trim().to_owned())
            .collect()
    };
    let mut lines = text
        .lines()
        .skip_while(|line| !line.starts_with('|'))
        .take_while(|line| line.starts_with('|'));
    let heads = lines.next().map(cells).unwrap_or_default();
    (heads, lines.skip(1).map(cells).collect())
}

pub fn read(text: &str, case: &Case) -> Vec<Told> {
    let (heads, rows) = pipe_table(text);
    let target = case.target_word();
    rows.iter()
        .map(|row| {
            let mut told = Told::new();
            for (head, cell) in heads.iter().zip(row) {
                let plain = cell.trim_end_matches(['%', '°']).to_owned();
                let name = match head.as_str() {
                    "#" => "rank",
                    "score" => "score",
                    "best at" => "best",
                    "UTC" => "utc_offset",
                    "Moon lit" => "moon_percent",
                    "Moon altitude" => "moon_up",
                    "land vs sky, stops" => "stops",
                    "frame" => {
                        told.insert("frame_words", cell.to_owned());
                        continue;
                    }
                    "night" => {
                        let (_, date) = cell.split_once(' ').expect("a weekday");
                        told.insert("night", date.to_owned());
                        continue;
                    }
                    "window" | "dark" => {
                        put_hours(&mut told, ["start", "end"], cell);
                        continue;
                    }
                    "moonlit land" => {
                        put_hours(&mut told, ["moonlit_start", "moonlit_end"], cell);
                        continue;
                    }
                    "light from" => {
                        put_light(&mut told, cell);
                        continue;
                    }
                    "doubtful" => {
                        told.insert("doubts", doubt_words(cell));
                        continue;
                    }
                    // Another word for the target is told elsewhere.
                    head if head == format!("{target} altitude") || head == "core altitude" => {
                        "target_up"
                    }
                    head if head == format!("{target} azimuth") || head == "core azimuth" => {
                        "target_azimuth"
                    }
                    head => panic!("what is {head}?"),
                };
                told.insert(name, plain);
            }
            told
        })
        .collect()
}

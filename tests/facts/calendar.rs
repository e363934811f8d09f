//! The calendar, read by another library; its description line by line.

use super::{
    Case,
    fact::{Told, doubt_words, put_light},
};
use ical::{IcalParser, parser::ical::component::IcalEvent};

fn value(event: &IcalEvent, name: &str) -> String {
    let property = event.properties.iter().find(|p| p.name == name);
    let value = property.and_then(|property| property.value.clone());
    let value = value.unwrap_or_else(|| panic!("no {name}"));
    value
        .replace("\\n", "\n")
        .replace("\\,", ",")
        .replace("\\;", ";")
}

/// `2027-06-29 18:47 +09:30`: the time of day.
fn clock(text: &str) -> String {
    text.split(' ').nth(1).unwrap_or_default().to_owned()
}

fn span(told: &mut Told, [start, end]: [&'static str; 2], text: &str) {
    let (from, to) = text.split_once(" to ").expect("two times");
    told.insert(start, clock(from));
    told.insert(end, clock(to));
}

pub fn read(text: &str, case: &Case) -> Vec<Told> {
    // The reader drops blanks before a fold (against RFC 5545, 3.1).
    let unfolded = text.replace("\r\n ", "");
    let calendar = IcalParser::new(unfolded.as_bytes()).next();
    let events = calendar.expect("a calendar").expect("a calendar").events;
    events.iter().map(|event| window(event, case)).collect()
}

fn window(event: &IcalEvent, case: &Case) -> Told {
    let mut told = Told::new();
    let summary = value(event, "SUMMARY");
    let (rest, score) = summary.rsplit_once(", score ").expect("a score");
    told.insert("score", score.to_owned());
    told.insert("doubts_of_the_night", String::new());
    let (title, light) = rest.rsplit_once(": ").expect("the light");
    told.insert("title", title.to_owned());
    for line in value(event, "DESCRIPTION").lines() {
        let (what, rest) = line.split_once(": ").unwrap_or((line, ""));
        match what {
            "Window" | "Dark sky" => span(&mut told, ["start", "end"], rest),
            "Best" => {
                told.insert("best", clock(rest));
            }
            "Moonlit land" => span(&mut told, ["moonlit_start", "moonlit_end"], rest),
            "Best for the land" => {
                let (time, light) = rest.split_once(", light ").expect("its light");
                told.insert("moonlit_best", clock(time));
                put_light(&mut told, light);
            }
            "Doubtful" => {
                told.insert("doubts_of_the_night", doubt_words(rest));
            }
            _ => places(&mut told, line),
        }
    }
    if light.contains("moonlit land") {
        assert_eq!(case.light, "blend", "{light}");
        told.insert("order", light.to_owned());
    } else if light == "dark sky" {
        put_light(&mut told, "-");
    } else {
        let words = light
            .strip_suffix(", no light on the land")
            .unwrap_or(light);
        let (_, words) = words.split_once(' ').expect("its light");
        put_light(&mut told, words);
    }
    if let Some(date) = value(event, "DESCRIPTION").strip_prefix("Night of ") {
        told.insert("night", date[..10].to_owned());
    }
    told
}

/// `Core 32° up at 107°, camera toward 128°` and `Moon 28% lit, 11° up; land
/// -3.4 stops against the sky`.
fn places(told: &mut Told, line: &str) {
    let numbers: Vec<&str> = line
        .split(|c: char| !(c.is_ascii_digit() || matches!(c, '-' | '+' | '.')))
        .filter(|word| word.parse::<f64>().is_ok())
        .collect();
    if line.contains("° up at ") && line.contains(", camera toward ") {
        for (name, text) in ["target_up", "target_azimuth", "facing"]
            .into_iter()
            .zip(numbers)
        {
            told.insert(name, text.to_owned());
        }
    } else if line.starts_with("Moon ") && line.contains("% lit, ") {
        let mut names = vec!["moon_percent"];
        if line.contains("below the horizon") {
            told.insert("moon_up", String::new());
        } else {
            names.push("moon_up");
        }
        if line.contains(" stops against the sky") {
            names.push("stops");
        }
        assert_eq!(numbers.len(), names.len(), "{line}");
        for (name, text) in names.into_iter().zip(numbers) {
            told.insert(name, text.to_owned());
        }
    }
}

//! A window as the CSV tells it, and the facts that other formats tell.

use serde_json::Value;
use std::collections::BTreeMap;

/// A row of CSV by the names of its columns.
#[derive(Debug, Clone)]
pub struct Row(BTreeMap<String, String>);

/// What a format tells of a window: a fact's name and its text. A fact that is
/// left out for this window is empty or a dash; one that the format never
/// gives is not there.
pub type Told = BTreeMap<&'static str, String>;

/// What the CSV has for a fact.
enum Fact {
    Nothing,
    Text(String),
    /// A number, and half a unit of its last decimal.
    Number(f64, f64),
    /// The same, where 360 is 0.
    Azimuth(f64, f64),
    /// A local time to the second, of the day.
    Clock(i64),
}

pub fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("a header").clone();
    reader
        .records()
        .map(|record| {
            let record = record.expect("a row");
            let fields = header.iter().zip(&record);
            Row(fields.map(|(a, b)| (a.to_owned(), b.to_owned())).collect())
        })
        .collect()
}

/// Whether a format leaves a fact out.
fn is_left_out(told: &str) -> bool {
    matches!(told, "" | "-")
}

/// Half a unit of the last decimal of a number as it is written.
fn half_unit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, rest)| rest.len());
    0.5 * 10_f64.powi(-(decimals as i32))
}

fn seconds_of_day(time: &str) -> Option<i64> {
    let mut parts = time.split(':').map(|part| part.parse::<i64>().ok());
    let (hours, minutes) = (parts.next()??, parts.next()??);
    let seconds = parts.next().flatten().unwrap_or(0);
    Some(hours * 3600 + minutes * 60 + seconds)
}

impl Row {
    pub fn text(&self, name: &str) -> &str {
        self.0
            .get(name)
            .unwrap_or_else(|| panic!("no column {name}"))
    }

    pub fn is_blend(&self) -> bool {
        !self.text("moonlit_start_utc").is_empty()
    }

    fn number(&self, name: &str, scale: f64) -> Fact {
        let text = self.text(name);
        match text.parse::<f64>() {
            Ok(value) => Fact::Number(scale * value, scale * half_unit(text)),
            Err(_) => Fact::Nothing,
        }
    }

    fn azimuth(&self, name: &str) -> Fact {
        match self.number(name, 1.0) {
            Fact::Number(value, unsure) => Fact::Azimuth(value, unsure),
            other => other,
        }
    }

    fn words(&self, name: &str) -> Fact {
        match self.text(name) {
            "" => Fact::Nothing,
            text => Fact::Text(text.to_owned()),
        }
    }

    fn clock(&self, name: &str) -> Fact {
        let time = self.text(name).split_once(' ');
        time.and_then(|(_, time)| seconds_of_day(time))
            .map_or(Fact::Nothing, Fact::Clock)
    }

    /// A column of the moonlight: that of a blend's moonlit land, which stands
    /// for the whole window.
    fn lit(&self, name: &str) -> String {
        let land = if self.is_blend() { "moonlit_" } else { "" };
        format!("{land}{name}")
    }

    fn panorama(&self, by: &str) -> String {
        format!(
            "{}{by}{}",
            self.text("frame_columns"),
            self.text("frame_rows")
        )
    }

    fn doubts(&self) -> Vec<&str> {
        self.text("doubts").split_whitespace().collect()
    }

    fn fact(&self, name: &str) -> Fact {
        match name {
            "rank" | "score" | "minutes" => self.number(name, 1.0),
            "night" | "utc_offset" | "eclipse" | "view" => self.words(name),
            // What people read: place, then view.
            "title" => Fact::Text(match self.text("view") {
                "" => self.text("site").to_owned(),
                view => format!("{}, {view}", self.text("site")),
            }),
            "start_utc" | "end_utc" | "best_utc" => self.words(name),
            "start" | "end" | "best" | "moonlit_start" | "moonlit_end" | "moonlit_best" => {
                self.clock(&format!("{name}_local"))
            }
            "moon_percent" => self.number(&self.lit("moon_fraction"), 100.0),
            "moon_up" => self.number(&self.lit("moon_altitude_deg"), 1.0),
            "light_angle" => self.number(&self.lit("light_angle_deg"), 1.0),
            "light_side" => self.words(&self.lit("light_side")),
            "moonlight_mlx" => self.number(&self.lit("moonlight_lux"), 1000.0),
            "moon_stroke_azimuth" | "moon_stroke_altitude" => {
                // No light, no stroke toward where it comes from.
                if self.text(&self.lit("light_angle_deg")).is_empty() {
                    return Fact::Nothing;
                }
                let what = name.trim_start_matches("moon_stroke_");
                self.azimuth(&self.lit(&format!("moon_{what}_deg")))
            }
            "target_up" => self.number("target_altitude_deg", 1.0),
            "target_azimuth" => self.azimuth("target_azimuth_deg"),
            "target_offset" => self.number("target_offset_deg", 1.0),
            "separation" => self.number("moon_target_separation_deg", 1.0),
            "facing" => self.azimuth("facing_deg"),
            "arch_top" => self.number("arch_altitude_deg", 1.0),
            "sky_mag" => self.number("sky_mag_arcsec2", 1.0),
            "contrast" => self.number("milky_way_contrast", 1.0),
            "kept_percent" => self.number("contrast_kept", 100.0),
            // Two exposures: each of them is set for itself.
            "stops" if self.is_blend() => Fact::Nothing,
            "stops" => self.number("land_vs_sky_stops", 1.0),
            "order" => {
                // RFC 3339 in one zone sorts as time does.
                let land_first = self.text("moonlit_start_utc") < self.text("start_utc");
                let order = match land_first {
                    true => "moonlit land, then dark sky",
                    false => "dark sky, then moonlit land",
                };
                Fact::Text(order.to_owned())
            }
            "shadow" => self.number("shadow_length_per_height", 1.0),
            "score_contrast" | "score_balance" | "score_raking" | "score_position"
            | "score_framing" | "score_length" => self.number(name, 1.0),
            "frame" => match (self.text("framing"), self.text("frame_holding")) {
                ("one", "landscape") => Fact::Text("lands".to_owned()),
                ("one", _) => Fact::Text("portr".to_owned()),
                ("panorama", _) => Fact::Text(self.panorama("x")),
                ("neither", _) => Fact::Text("none".to_owned()),
                _ => Fact::Nothing,
            },
            "frame_words" => {
                let held = self.text("frame_holding");
                let bearing = self.number("frame_bearing_deg", 1.0);
                let toward = match bearing {
                    // A half that the CSV prints is told as halves are: away from 0.
                    Fact::Number(degrees, _) => format!("{:.0}°", degrees.round()),
                    _ => String::new(),
                };
                let pitch: f64 = self.text("frame_pitch_deg").parse().unwrap_or(0.0);
                let pitch = match pitch {
                    p if p > 0.0 => format!("pitched {p}° up"),
                    p if p < 0.0 => format!("pitched {}° down", -p),
                    _ => "level".to_owned(),
                };
                match self.text("framing") {
                    "one" => Fact::Text(format!("{held}, {pitch}, {toward}")),
                    "panorama" => {
                        let frames = self.panorama(" by ");
                        Fact::Text(format!("panorama {frames} {held}, {toward}"))
                    }
                    "neither" => Fact::Text("none".to_owned()),
                    _ => Fact::Nothing,
                }
            }
            "marked" => {
                let by = ["moon_near_horizon", "target_low"];
                let marked = self.doubts().iter().any(|doubt| by.contains(doubt));
                Fact::Text(marked.to_string())
            }
            "doubts" => self.words(name),
            // A meter is read at a site, and not for one night.
            "doubts_of_the_night" => {
                let of_night = |doubt: &&str| *doubt != "sky_guessed";
                let doubts: Vec<&str> = self.doubts().into_iter().filter(of_night).collect();
                match doubts.join(" ") {
                    none if none.is_empty() => Fact::Nothing,
                    doubts => Fact::Text(doubts),
                }
            }
            _ => panic!("what is {name}?"),
        }
    }

    /// How what a format tells differs from the row.
    pub fn differences(&self, told: &Told) -> Vec<String> {
        let differs = |(name, told): (&&'static str, &String)| -> Option<String> {
            // The CSV has no shadow of a blend's land.
            if *name == "shadow" && self.is_blend() {
                return None;
            }
            // For people the light comes from nowhere where no moonlight
            // reaches the land (the CSV has no lit side then), and a Moon that
            // is down has no height.
            let unlit = !self.is_blend() && self.text("lit_side").is_empty();
            let down = self.number(&self.lit("moon_altitude_deg"), 1.0);
            let down = matches!(down, Fact::Number(altitude, _) if altitude <= 0.0);
            if is_left_out(told)
                && (name.starts_with("light_") && unlit || *name == "moon_up" && down)
            {
                return None;
            }
            let has = match self.fact(name) {
                Fact::Nothing if is_left_out(told) => return None,
                Fact::Nothing => "nothing".to_owned(),
                Fact::Text(text) if text == *told => return None,
                Fact::Text(text) => text,
                Fact::Number(value, unsure) => {
                    let near = |n: f64| (n - value).abs() <= half_unit(told) + unsure + 1e-9;
                    if told.parse().is_ok_and(near) {
                        return None;
                    }
                    value.to_string()
                }
                Fact::Azimuth(value, unsure) => {
                    let near = |n: f64| {
                        let away = (n - value + 180.0).rem_euclid(360.0) - 180.0;
                        away.abs() <= half_unit(told) + unsure + 1e-9
                    };
                    if told.parse().is_ok_and(near) {
                        return None;
                    }
                    value.to_string()
                }
                Fact::Clock(seconds) => {
                    // To the minute, from a time that was not rounded before.
                    let near = |n: i64| {
                        let away = (n - seconds + 43_200).rem_euclid(86_400) - 43_200;
                        away.abs() <= 30
                    };
                    if seconds_of_day(told).is_some_and(near) {
                        return None;
                    }
                    format!("second {seconds} of the day")
                }
            };
            let night = self.text("night");
            Some(format!("{night}: {name} {told:?}, the CSV has {has}"))
        };
        told.iter().filter_map(differs).collect()
    }

    /// Columns whose value in an object of JSON is another.
    pub fn unlike_json<'a>(&'a self, object: &'a Value) -> impl Iterator<Item = String> + 'a {
        self.0
            .iter()
            .filter(|(name, text)| match &object[name.as_str()] {
                Value::Null => !text.is_empty() || object.get(name.as_str()).is_none(),
                Value::String(told) => told != *text,
                Value::Bool(told) => told.to_string() != **text,
                told => text.parse().ok() != told.as_f64(),
            })
            .map(|(name, text)| format!("{name}: {} for {text:?}", object[name.as_str()]))
    }
}

/// An angle and its side as they are printed: `79°L`, `79° left`, or nothing.
pub fn put_light(told: &mut Told, text: &str) {
    let (angle, side) = text.split_once('°').unwrap_or((text, ""));
    let side = match side.trim() {
        "L" | "left" => "left",
        "R" | "right" => "right",
        other => other,
    };
    told.insert("light_angle", angle.trim().to_owned());
    told.insert("light_side", side.to_owned());
}

/// Lux as they are printed, in thousandths: there the decimals that count stand
/// before what a comparison allows.
pub fn millilux(lux: &str) -> String {
    lux.parse::<f64>()
        .map_or_else(|_| lux.to_owned(), |lux| format!("{:.1}", 1000.0 * lux))
}

/// Hours as they are printed: `18:47-23:06`, or nothing.
pub fn put_hours(told: &mut Told, [start, end]: [&'static str; 2], text: &str) {
    let (from, to) = text.split_once('-').unwrap_or(("", ""));
    told.insert(start, from.to_owned());
    told.insert(end, to.to_owned());
}

/// Doubts as phrases, as the words of the CSV.
pub fn doubt_words(phrases: &str) -> String {
    let words = phrases.split(", ").filter(|phrase| !phrase.is_empty());
    let words: Vec<&str> = words
        .map(|phrase| match phrase {
            "the Moon is within 3° of the horizon" => "moon_near_horizon",
            "the target is below 5°" | "the core is below 5°" => "target_low",
            "the dark sky is an estimate" => "sky_guessed",
            other => panic!("what is {other}?"),
        })
        .collect();
    words.join(" ")
}

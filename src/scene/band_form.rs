//! How a band is read from text, and what to write where the text is no band.

use super::band::Band;
use super::number::{Mended, mended, number};
use super::value_error::ValueError;
use std::str::FromStr;

/// What the text of a band may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Form {
    /// The least that an end may be.
    pub lowest: f64,
    /// The most that an end may be.
    pub highest: f64,
    /// Whether ends may be percentages.
    pub is_fraction: bool,
    /// A band of this form.
    pub example: &'static str,
}

const BAND: &str = "a band A..B, A.. or ..B";
const FRACTION: &str = "a band of fractions from 0 to 1, or of percentages";
/// The reason where no similar text is valid.
const NOTHING_NEAR: &str = "nothing near it is valid";
const LOWER_FIRST: &str = "the lower end comes first: ";

impl Band {
    /// The band in `text`, whose ends must lie from `lowest` to `highest`.
    ///
    /// # Errors
    ///
    /// Text that is no band, runs backwards, or leaves those limits.
    pub fn parse_within(text: &str, lowest: f64, highest: f64) -> Result<Self, ValueError> {
        Form {
            lowest,
            highest,
            is_fraction: false,
            example: "10..60",
        }
        .parse(text)
    }

    /// The band of a ratio of two lights, 0 to `highest`, in `text`.
    ///
    /// # Errors
    ///
    /// Text that is no band, runs backwards or leaves 0 to `highest`.
    pub fn parse_ratio(text: &str, highest: f64) -> Result<Self, ValueError> {
        Form {
            lowest: 0.0,
            highest,
            is_fraction: false,
            example: "0.3..",
        }
        .parse(text)
    }

    /// The band of a fraction from 0 to 1 in `text`; `3%..50%` is `0.03..0.5`.
    ///
    /// # Errors
    ///
    /// Text that is no band, runs backwards, leaves 0 to 1, or has a percent
    /// sign at only one of its two ends.
    pub fn parse_fraction(text: &str) -> Result<Self, ValueError> {
        Form {
            lowest: 0.0,
            highest: 1.0,
            is_fraction: true,
            example: "3%..50%",
        }
        .parse(text)
    }
}

impl FromStr for Band {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        Self::parse_within(text, f64::NEG_INFINITY, f64::INFINITY)
    }
}

impl Form {
    /// The band in `text`.
    pub(super) fn parse(&self, text: &str) -> Result<Band, ValueError> {
        let text = text.trim();
        self.read(text).ok_or_else(|| self.refusal(text))
    }

    fn read(&self, text: &str) -> Option<Band> {
        let (low, high) = text.split_once("..")?;
        let (low, high) = (low.trim(), high.trim());
        if low.is_empty() && high.is_empty() {
            return None;
        }
        let both = !low.is_empty() && !high.is_empty();
        if both && low.contains('%') != high.contains('%') {
            return None;
        }
        let end = |typed: &str, open: f64| match typed {
            "" => Some(open),
            _ => self
                .end(typed)
                .filter(|end| (self.lowest..=self.highest).contains(end)),
        };
        let low = end(low, f64::NEG_INFINITY)?;
        let high = end(high, f64::INFINITY)?;
        (low <= high).then_some(Band { low, high })
    }

    /// One end, whatever its size.
    fn end(&self, text: &str) -> Option<f64> {
        match text.strip_suffix('%').filter(|_| self.is_fraction) {
            // Dividing keeps 7% at the 0.07 that typing 0.07 gives.
            Some(percent) => number(percent.trim_end()).map(|value| value / 100.0),
            None => number(text),
        }
    }

    /// Why `text`, which is no band of this form, is refused.
    fn refusal(&self, text: &str) -> ValueError {
        let (outside, remedy) = self.remedy(text);
        let expected = match (self.is_fraction, outside) {
            (true, _) => FRACTION.to_owned(),
            (false, true) => format!("a band within {}..{}", self.lowest, self.highest),
            (false, false) => BAND.to_owned(),
        };
        ValueError::new(text, expected).with_remedy(remedy)
    }

    /// Whether `text` is a band that only leaves the limits, and what to do
    /// about it.
    fn remedy(&self, text: &str) -> (bool, String) {
        let example = || match self.is_fraction {
            true => "for example 3%..50%".to_owned(),
            false => format!("for example {}", self.example),
        };
        // With three dots it is unclear which belong to a number.
        if text.contains("...") || text.matches("..").count() > 1 {
            return (false, example());
        }
        let Some((low, high)) = text.split_once("..") else {
            return (false, self.without_dots(text).unwrap_or_else(example));
        };
        let (low, high) = (low.trim(), high.trim());
        if low.is_empty() && high.is_empty() {
            let remedy = "give at least one end, or leave the rule out";
            return (false, remedy.to_owned());
        }
        let mut why = String::new();
        let mut ends = [low, high].map(str::to_owned);
        for end in &mut ends {
            if end.is_empty() || self.end(end).is_some() {
                continue;
            }
            match mended(end) {
                Some(Mended::Write(reason, meant)) => {
                    reason.clone_into(&mut why);
                    *end = meant;
                }
                Some(Mended::Refused(reason)) => return (false, reason.to_owned()),
                None => return (false, example()),
            }
        }
        let typed_so = ends == [low, high];
        let (outside, reason, choices) = self.near(ends);
        if !reason.is_empty() {
            reason.clone_into(&mut why);
        }
        let remedy = self.write(&why, &choices);
        (outside && typed_so, remedy)
    }

    /// What to write for a text without dots.
    fn without_dots(&self, text: &str) -> Option<String> {
        let alone = |why: &str, end: &str| {
            let open = [[end, ""], ["", end]].map(|ends| self.near(ends.map(str::to_owned)).2);
            self.write(why, &open.concat())
        };
        if self.end(text).is_some() {
            return Some(alone("", text));
        }
        for separator in ["-", "\u{2013}", ":", " to "] {
            // The first character may be a minus sign.
            let skip = text.chars().next().map_or(0, char::len_utf8);
            let Some(at) = text.get(skip..).and_then(|rest| rest.find(separator)) else {
                continue;
            };
            let low = text.get(..skip + at).unwrap_or_default().trim();
            let high = text.get(skip + at + separator.len()..).unwrap_or_default();
            let ends = [low, high.trim()];
            if ends.iter().all(|end| self.end(end).is_some()) {
                let (_, why, choices) = self.near(ends.map(str::to_owned));
                return Some(self.write(why, &choices));
            }
        }
        match mended(text)? {
            Mended::Refused(why) => Some(why.to_owned()),
            Mended::Write(why, end) => Some(alone(why, &end)),
        }
    }

    /// Whether the ends only leave the limits, why they are no band, and the
    /// bands they may mean; each end is empty or readable.
    fn near(&self, ends: [String; 2]) -> (bool, &'static str, Vec<String>) {
        let mut ends = ends;
        let mut why = "";
        let value = |end: &String| self.end(end);
        if self.is_fraction {
            let percent = ends.each_ref().map(|end| end.contains('%'));
            let numbers = ends.each_ref().map(value);
            let large = numbers.iter().flatten().any(|value| *value > 1.0);
            if percent.contains(&true) || large {
                let given = ends.iter().filter(|end| !end.is_empty()).count();
                let mixed = given == 2 && percent[0] != percent[1];
                if mixed {
                    why = "both ends are percentages or neither: ";
                }
                for end in &mut ends {
                    if !end.is_empty() && !end.contains('%') {
                        end.push('%');
                    }
                }
            }
        }
        let [low, high] = ends.each_ref().map(value);
        let limits = self.lowest..=self.highest;
        let outside = [low, high]
            .iter()
            .flatten()
            .any(|end| !limits.contains(end));
        let half = 0.5 * (self.highest - self.lowest);
        if let [Some(low), Some(high)] = [low, high] {
            // An offset that passes behind the camera, where it jumps from 180
            // to -180: the shorter way is meant.
            let around = self.lowest == -180.0 && self.highest == 180.0;
            let turned =
                |angle: f64| super::number::tidy((angle + 180.0).rem_euclid(360.0) - 180.0);
            let (from, to) = (turned(low), turned(high));
            let near = low.abs() < 360.0 && high.abs() < 360.0 && (high - low).abs() < 360.0;
            if around && near && from > to && from - to > half {
                let choices = vec![format!("{from}..180"), format!("-180..{to}")];
                return (outside, "behind the camera it is two bands: ", choices);
            }
            if low > high {
                // With two slips in one band it is unclear what was meant.
                if outside && !self.is_fraction {
                    return (outside, why, Vec::new());
                }
                ends.swap(0, 1);
                why = LOWER_FIRST;
            }
        }
        let [low, high] = ends.each_ref().map(value);
        let whole = self.is_fraction && [low, high].iter().flatten().any(|end| *end > 1.0);
        let bound = |end: Option<f64>, open: f64| end.unwrap_or(open);
        let kept = Band {
            low: bound(low, f64::NEG_INFINITY).max(self.lowest),
            high: bound(high, f64::INFINITY).min(self.highest),
        };
        if kept.low > kept.high || (kept.low == kept.high && low != high) {
            return (outside, why, Vec::new());
        }
        let shown = |end: &str, value: Option<f64>| match value {
            None => String::new(),
            Some(value) if (self.lowest..=self.highest).contains(&value) => end.to_owned(),
            Some(value) if self.is_fraction && end.contains('%') => {
                let limit = |value: f64| format!("{}%", 100.0 * value);
                limit(value.clamp(self.lowest, self.highest))
            }
            Some(value) => value.clamp(self.lowest, self.highest).to_string(),
        };
        let text = format!("{}..{}", shown(&ends[0], low), shown(&ends[1], high));
        if whole && why.is_empty() {
            why = "the whole is 1, or 100%: ";
        }
        (outside, why, vec![text])
    }

    /// The accepted choices, in words.
    fn write(&self, why: &str, choices: &[String]) -> String {
        let taken: Vec<&str> = choices
            .iter()
            .map(String::as_str)
            .filter(|choice| self.read(choice).is_some())
            .collect();
        match taken.is_empty() {
            true => NOTHING_NEAR.to_owned(),
            false => format!("{why}write {}", taken.join(" or ")),
        }
    }
}

//! Numbers with names: `contrast=2,length=0`.

use super::{nearest::nearest, number::number_within, value_error::ValueError};

/// What names and numbers are expected.
pub(super) struct NamedNumbers<'a> {
    /// The names.
    pub names: &'a [&'static str],
    /// The greatest number; the least is 0.
    pub most: f64,
    /// What is expected, in words.
    pub expected: &'static str,
    /// What each may be given once: `weight`.
    pub what: &'static str,
    /// Something that can be typed.
    pub example: &'static str,
}

impl NamedNumbers<'_> {
    /// The numbers in a text, each with its name; no name twice.
    pub fn read(&self, text: &str) -> Result<Vec<(&'static str, f64)>, ValueError> {
        let mut all: Vec<(&'static str, f64)> = Vec::new();
        for part in text.split(',') {
            let (name, value) = part.split_once('=').ok_or_else(|| {
                let remedy = format!("for example {}", self.example);
                ValueError::new(text, self.expected).with_remedy(remedy)
            })?;
            let (name, value) = (name.trim(), number_within(value.trim(), 0.0, self.most)?);
            let known = self.names.iter().find(|known| **known == name);
            let known = *known.ok_or_else(|| {
                let meant = nearest(name, self.names.iter().copied());
                ValueError::new(name, self.expected)
                    .with_hint(meant.map(|meant| format!("did you mean {meant}?")))
            })?;
            if all.iter().any(|(before, _)| *before == known) {
                let expected = format!("each {} once", self.what);
                let error = ValueError::new(&format!("{name} again"), expected);
                return Err(error.with_remedy("keep one of the two"));
            }
            all.push((known, value));
        }
        Ok(all)
    }
}

/// Names and numbers as they are typed.
pub(super) fn named_numbers_text(entries: &[(&'static str, f64)]) -> String {
    let parts = entries
        .iter()
        .map(|(name, value)| format!("{name}={value}"));
    parts.collect::<Vec<_>>().join(",")
}

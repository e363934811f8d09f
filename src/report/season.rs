//! A season by lunar months in plain characters.

use super::{
    words::{a_kind_of_night, unmet_words},
    wrap::write_wrapped,
};
use crate::{
    rule::Rule,
    scene::{LightKind, Site},
    search::{Lunation, NightMark},
};
use std::{
    collections::BTreeSet,
    io::{self, Write},
};

/// The letter of a rule that leaves no time.
pub fn unmet_letter(rule: &Rule) -> char {
    rule.limit.as_ref().map_or('?', |limit| limit.letter)
}

/// The letters of some nights with their words, each once, in the order in
/// which the rules are checked.
pub fn unmet_key<'a>(nights: impl Iterator<Item = &'a NightMark>, target: &str) -> Vec<String> {
    let unmet: BTreeSet<&Rule> = nights.filter_map(|mark| mark.unmet).collect();
    let mut key: Vec<String> = Vec::new();
    for rule in unmet {
        let line = format!("{} {}", unmet_letter(rule), unmet_words(rule, target));
        if !key.contains(&line) {
            key.push(line);
        }
    }
    key
}

/// One site's season as text.
#[derive(Debug, Clone)]
pub struct SeasonText<'a> {
    /// The site.
    pub site: &'a Site,
    /// What the target is called.
    pub target: &'a str,
    /// The kinds of night asked for, in order of preference.
    pub kinds: &'a [LightKind],
    /// Its lunations.
    pub lunations: &'a [Lunation],
    /// Columns of the terminal.
    pub width: usize,
}

/// Columns before the first night.
const NAMES: usize = 12;
/// The widest row with two characters a night, up to the last heading.
const FULL_WIDTH: usize = 74;
/// Phases at their mean ages in nights, long and short.
const PHASES: [(f64, &str, &str); 5] = [
    (0.0, "new", "new"),
    (7.5, "first qu.", "first"),
    (15.0, "full", "full"),
    (22.0, "last qu.", "last"),
    (29.5, "new", "new"),
];

/// Nights in the longest lunation.
const NIGHTS: usize = 30;

fn sign(kind: LightKind) -> char {
    match kind {
        LightKind::Raking => '/',
        LightKind::Dark => '#',
        LightKind::Blend => '%',
        LightKind::Any => '+',
    }
}

/// Two characters per night: the kind's sign and the score's tens, or the
/// letter of the rule that failed.
fn cell(mark: &NightMark) -> [char; 2] {
    match (&mark.found, mark.unmet) {
        (Some((kind, window)), _) => {
            let tens = (window.score / 10.0).round().clamp(0.0, 9.0) as u8;
            [sign(*kind), char::from(b'0' + tens)]
        }
        (None, Some(rule)) => [unmet_letter(rule), ' '],
        (None, None) => [' ', ' '],
    }
}

impl SeasonText<'_> {
    /// Writes rows of at most 74 columns with their key below; on a narrower
    /// terminal of 45, with the signs alone.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "{}", self.site.title())?;
        writeln!(out, "{}", self.heading())?;
        for lunation in self.lunations {
            let mut cells = vec![[' ', ' ']; NIGHTS];
            for mark in &lunation.nights {
                let age = (mark.middle().seconds() - lunation.start.seconds()) / 86_400.0;
                if let Some(slot) = cells.get_mut(age.floor().max(0.0) as usize) {
                    *slot = cell(mark);
                }
            }
            let new = self.site.zone.local(lunation.start);
            let nights = cells.iter().flat_map(|cell| &cell[..self.characters()]);
            let nights: String = nights.collect();
            let line = format!("{:<NAMES$}{nights}", new.format("%-d %b %Y"));
            writeln!(out, "{}", line.trim_end())?;
        }
        self.write_key(out)
    }

    /// Characters per night.
    fn characters(&self) -> usize {
        if self.width < FULL_WIDTH { 1 } else { 2 }
    }

    /// Each phase above the night of its mean age.
    fn heading(&self) -> String {
        let mut line = format!("{:<NAMES$}", "new Moon");
        for (age, long, short) in PHASES {
            let (at, word) = match self.characters() {
                1 => (NAMES + age as usize, short),
                _ => (NAMES + (2.0 * age) as usize, long),
            };
            line = format!("{line:<at$}{word}");
        }
        line
    }

    fn write_key(&self, out: &mut impl Write) -> io::Result<()> {
        let kinds: Vec<String> = self
            .kinds
            .iter()
            .map(|kind| format!("{} {}", sign(*kind), kind))
            .collect();
        let digit = match self.characters() {
            1 => "",
            _ => "; the digit is a tenth of the score",
        };
        let marks = format!("Marks: {}{digit}.", kinds.join(", "));
        write_wrapped(out, "", &marks, self.width)?;
        let nights = self.lunations.iter().flat_map(|lunation| &lunation.nights);
        let unmet = unmet_key(nights, self.target);
        if let (Some(kind), false) = (self.kinds.first(), unmet.is_empty()) {
            let night = a_kind_of_night(*kind);
            let letters = format!("Letters: the first rule of {night} that leaves no time.");
            write_wrapped(out, "", &letters, self.width)?;
            for line in unmet {
                writeln!(out, "  {line}")?;
            }
        }
        Ok(())
    }
}

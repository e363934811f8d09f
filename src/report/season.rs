//! A season by lunar months in plain characters.

use super::words::a_kind_of_night;
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

/// What that letter means, in words.
pub fn unmet_words(rule: &Rule, target: &str) -> String {
    match &rule.limit {
        Some(limit) => (limit.unmet)(target),
        None => String::new(),
    }
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
}

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
fn cell(mark: &NightMark) -> String {
    match (&mark.found, mark.unmet) {
        (Some((kind, window)), _) => {
            let tens = (window.score / 10.0).round().clamp(0.0, 9.0);
            format!("{}{tens:.0}", sign(*kind))
        }
        (None, Some(rule)) => format!("{} ", unmet_letter(rule)),
        (None, None) => "  ".to_owned(),
    }
}

impl SeasonText<'_> {
    /// Writes rows of at most 72 columns with their key below.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "{}", self.site.name)?;
        // Each night has two characters; phases are at their mean ages.
        writeln!(
            out,
            "{:<12}new            first qu.      full          last qu.       new",
            "new Moon"
        )?;
        for lunation in self.lunations {
            let mut cells = vec!["  ".to_owned(); NIGHTS];
            for mark in &lunation.nights {
                let age = (mark.middle().seconds() - lunation.start.seconds()) / 86_400.0;
                if let Some(slot) = cells.get_mut(age.floor().max(0.0) as usize) {
                    *slot = cell(mark);
                }
            }
            let new = self.site.zone.local(lunation.start);
            let line = format!("{:<12}{}", new.format("%-d %b %Y"), cells.concat());
            writeln!(out, "{}", line.trim_end())?;
        }
        self.write_key(out)
    }

    fn write_key(&self, out: &mut impl Write) -> io::Result<()> {
        let kinds: Vec<String> = self
            .kinds
            .iter()
            .map(|kind| format!("{} {}", sign(*kind), kind))
            .collect();
        writeln!(
            out,
            "Marks: {}; the digit is a tenth of the score.",
            kinds.join(", ")
        )?;
        let nights = self.lunations.iter().flat_map(|lunation| &lunation.nights);
        let unmet = unmet_key(nights, self.target);
        if let (Some(kind), false) = (self.kinds.first(), unmet.is_empty()) {
            writeln!(
                out,
                "Letters: the first rule of {} that leaves no time.",
                a_kind_of_night(*kind)
            )?;
            for line in unmet {
                writeln!(out, "  {line}")?;
            }
        }
        Ok(())
    }
}

//! A season by lunations in plain characters.

use crate::{
    scan::{Lunation, NightMark, RuleName},
    scene::{LightKind, Site},
};
use std::{
    collections::BTreeSet,
    io::{self, Write},
};

/// The word that asks for a kind of night.
pub fn kind_word(kind: LightKind) -> &'static str {
    match kind {
        LightKind::Raking => "raking",
        LightKind::Dark => "dark",
        LightKind::Blend => "blend",
        LightKind::Any => "any",
    }
}

/// The letter of a rule that leaves no time.
pub fn unmet_letter(rule: RuleName) -> char {
    match rule {
        RuleName::Weekdays => 'w',
        RuleName::Clock => 'h',
        RuleName::SunAltitude => 's',
        RuleName::MoonFraction => 'f',
        RuleName::CoreAltitude => 'c',
        RuleName::MoonAltitude => 'm',
        RuleName::CoreAzimuth | RuleName::CoreOffset => 'd',
        RuleName::LightAngle | RuleName::LightSide => 'l',
        RuleName::ArchAltitude | RuleName::ArchOffset => 'a',
        RuleName::Tilt => 't',
        RuleName::CoreRidge | RuleName::MoonRidge => 'r',
        RuleName::MinMinutes => 'b',
    }
}

/// What that rule finds, in words.
pub fn unmet_words(rule: RuleName, target: &str) -> String {
    match rule {
        RuleName::Weekdays => "not one of the weekdays".to_owned(),
        RuleName::Clock => "not within the hours".to_owned(),
        RuleName::SunAltitude => "the Sun is not low enough".to_owned(),
        RuleName::MoonFraction => "the Moon is lit too much or too little".to_owned(),
        RuleName::CoreAltitude => format!("the {target} is too low or too high"),
        RuleName::MoonAltitude => "the Moon is too low or too high".to_owned(),
        RuleName::CoreAzimuth | RuleName::CoreOffset => {
            format!("the {target} stands in another direction")
        }
        RuleName::LightAngle | RuleName::LightSide => {
            "the light falls from the wrong side".to_owned()
        }
        RuleName::ArchAltitude | RuleName::ArchOffset => "the arch stands elsewhere".to_owned(),
        RuleName::Tilt => "the Milky Way's tilt does not suit".to_owned(),
        RuleName::CoreRidge => format!("terrain hides the {target}"),
        RuleName::MoonRidge => "terrain hides the Moon".to_owned(),
        RuleName::MinMinutes => "too brief".to_owned(),
    }
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

/// Two characters a night: the kind's sign and the score's tens, or the letter
/// of the rule that failed.
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
    /// Writes rows of at most 72 columns with their key beneath.
    ///
    /// # Errors
    ///
    /// What `out` answers.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "{}", self.site.name)?;
        // Columns of two characters a night: phases at their mean ages.
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
            .map(|kind| format!("{} {}", sign(*kind), kind_word(*kind)))
            .collect();
        writeln!(
            out,
            "Marks: {}; the digit is a tenth of the score.",
            kinds.join(", ")
        )?;
        let unmet: BTreeSet<RuleName> = self
            .lunations
            .iter()
            .flat_map(|lunation| &lunation.nights)
            .filter_map(|mark| mark.unmet)
            .collect();
        if let (Some(kind), false) = (self.kinds.first(), unmet.is_empty()) {
            writeln!(
                out,
                "Letters: the first rule of {} night that leaves no time.",
                match kind {
                    LightKind::Any => "any".to_owned(),
                    kind => format!("a {}", kind_word(*kind)),
                }
            )?;
            for rule in unmet {
                writeln!(
                    out,
                    "  {} {}",
                    unmet_letter(rule),
                    unmet_words(rule, self.target)
                )?;
            }
        }
        Ok(())
    }
}

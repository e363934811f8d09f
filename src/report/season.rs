//! A season by lunar months in plain characters.

use super::{
    emphasis::{Emphasis, FAINT, PLAIN},
    words::{a_kind_of_night, hours_text, is_marked, unmet_words},
    wrap::write_wrapped,
};
use crate::{
    rule::Rule,
    scene::{LightKind, Site},
    search::{Lunation, NightMark, best_shown},
};
use chrono::{Datelike, NaiveDate, Weekday};
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
fn unmet_key<'a>(nights: impl Iterator<Item = &'a NightMark>, target: &str) -> Vec<String> {
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
    /// Whether the scores of the kinds were weighed to be compared.
    pub weighed: bool,
    /// Its lunations.
    pub lunations: &'a [Lunation],
    /// Columns of the terminal.
    pub width: usize,
}

/// Columns before the first night.
const NAMES: usize = 12;
/// Columns from which on a night takes two: its sign and its score.
const PAIRS_WIDTH: usize = 73;
/// Columns from which on the scores stand somewhere.
const SCORES_WIDTH: usize = 60;
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

/// The sign of a kind: the more moonlight on the land, the bolder.
fn sign(kind: LightKind) -> char {
    match kind {
        LightKind::Raking => '#',
        LightKind::Blend => '%',
        LightKind::Dark => ':',
        LightKind::Any => '+',
    }
}

/// A night in characters: the kind's sign and the tens of its score, or the
/// letter of the rule that failed.
#[derive(Clone, Copy)]
struct Cell {
    signs: [char; 2],
    emphasis: Emphasis,
}

impl Cell {
    const BLANK: Self = Self {
        signs: [' ', ' '],
        emphasis: PLAIN,
    };

    fn of(mark: &NightMark) -> Self {
        match (&mark.found, mark.unmet) {
            (Some((kind, window)), _) => {
                let tens = (window.score / 10.0).round().clamp(0.0, 9.0) as u8;
                Self {
                    signs: [sign(*kind), char::from(b'0' + tens)],
                    emphasis: Emphasis::strong_if(*kind == LightKind::Raking),
                }
            }
            (None, Some(rule)) => Self {
                signs: [unmet_letter(rule), ' '],
                emphasis: FAINT,
            },
            (None, None) => Self::BLANK,
        }
    }
}

/// Cells in a line of text, with what the eye should find first standing out.
fn set(cells: &[Cell], characters: impl Fn(&Cell) -> String) -> String {
    let mut text = String::new();
    for cell in cells {
        let (emphasis, of_cell) = (cell.emphasis, characters(cell));
        match of_cell.trim().is_empty() || emphasis == PLAIN {
            true => text += &of_cell,
            false => text += &format!("{emphasis}{of_cell}{emphasis:#}"),
        }
    }
    text
}

/// Writes a text over a line from a column on.
fn put(line: &mut Vec<char>, column: usize, text: &str) {
    for (index, c) in text.chars().enumerate() {
        if line.len() <= column + index {
            line.resize(column + index + 1, ' ');
        }
        if let Some(slot) = line.get_mut(column + index) {
            *slot = c;
        }
    }
}

fn trimmed(line: Vec<char>) -> String {
    let text: String = line.into_iter().collect();
    text.trim_end().to_owned()
}

impl SeasonText<'_> {
    /// Writes two lines for each lunation, dates above nights, with their key
    /// below: from 73 columns on with sign and score side by side, from 100 on
    /// with the best night; from 60 on with the scores in a line of their own;
    /// else, in 45, with the signs alone.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        writeln!(out, "{}", self.site.title())?;
        writeln!(out, "{}", self.heading())?;
        for lunation in self.lunations {
            self.write_row(out, lunation)?;
        }
        self.write_key(out)
    }

    /// A lunation: its dates, its nights, and where there is no room beside the
    /// signs the tens of the scores.
    fn write_row(&self, out: &mut impl Write, lunation: &Lunation) -> io::Result<()> {
        let mut cells = [Cell::BLANK; NIGHTS];
        let mut dates = Vec::new();
        for mark in &lunation.nights {
            let age = (mark.middle().seconds() - lunation.start.seconds()) / 86_400.0;
            let slot = age.floor().max(0.0) as usize;
            if let Some(cell) = cells.get_mut(slot) {
                *cell = Cell::of(mark);
                dates.push((slot, mark.night.date));
            }
        }
        writeln!(out, "{}", self.ruler(&dates))?;
        let first = dates.first().map_or(String::new(), |(_, date)| {
            date.format("%-d %b %Y").to_string()
        });
        let best = self.best(lunation);
        let last = cells.iter().rposition(|cell| cell.signs != [' ', ' ']);
        let used = match best {
            Some(_) => NIGHTS,
            None => last.map_or(0, |last| last + 1),
        };
        let row = cells.get(..used).unwrap_or_default();
        let characters = self.characters();
        let nights = set(row, |cell| cell.signs.iter().take(characters).collect());
        let best = best.map_or(String::new(), |best| format!(" {best}"));
        let line = format!("{first:<NAMES$}{nights}{best}");
        writeln!(out, "{}", line.trim_end())?;
        if characters == 1 && self.width >= SCORES_WIDTH {
            let scores = |cell: &Cell| cell.signs.iter().skip(1).collect::<String>();
            let tens = set(cells.get(..used).unwrap_or_default(), scores);
            if !tens.trim().is_empty() {
                writeln!(out, "{:NAMES$}{}", "", tens.trim_end())?;
            }
        }
        Ok(())
    }

    /// The dates above some nights: those of Saturdays, with Friday and Saturday
    /// underlined, and the name of each month from its first night on.
    fn ruler(&self, dates: &[(usize, NaiveDate)]) -> String {
        let n = self.characters();
        let mut line = Vec::new();
        for (slot, date) in dates {
            let column = NAMES + n * slot;
            match date.weekday() {
                Weekday::Fri => put(&mut line, column, &"_".repeat(n)),
                Weekday::Sat => {
                    let text = format!("{:_>2}", date.day());
                    put(&mut line, column + n - 2, &text);
                }
                _ => (),
            }
        }
        for (slot, date) in dates.iter().filter(|(_, date)| date.day() == 1) {
            put(&mut line, NAMES + n * slot, &date.format("%b").to_string());
        }
        trimmed(line)
    }

    /// The best night of a lunation, where there is room for it.
    fn best(&self, lunation: &Lunation) -> Option<String> {
        let room = self
            .width
            .checked_sub(NAMES + NIGHTS * self.characters() + 1)?;
        let marks = lunation.nights.iter().map(|mark| ((), mark));
        let (_, window) = best_shown(self.kinds, self.weighed, marks)?;
        let date = window.night.format("%a %-d %b");
        let doubt = if is_marked(window.doubts) { "~" } else { "" };
        let score = format!("{}{:.0}{doubt}", sign(window.light), window.score);
        let hours = hours_text(self.site.zone, window.interval, false);
        let texts = [format!("{date} {hours} {score}"), format!("{date} {score}")];
        texts.into_iter().find(|text| text.len() <= room)
    }

    /// Characters per night.
    fn characters(&self) -> usize {
        if self.width < PAIRS_WIDTH { 1 } else { 2 }
    }

    /// Each phase above the night of its mean age.
    fn heading(&self) -> String {
        let mut line = Vec::new();
        put(&mut line, 0, "from");
        let n = self.characters();
        for (age, long, short) in PHASES {
            let word = if n == 1 { short } else { long };
            put(&mut line, NAMES + (n as f64 * age) as usize, word);
        }
        trimmed(line)
    }

    fn write_key(&self, out: &mut impl Write) -> io::Result<()> {
        let kinds: Vec<String> = self
            .kinds
            .iter()
            .map(|kind| format!("{} {}", sign(*kind), kind))
            .collect();
        let digit = match (self.characters(), self.width >= SCORES_WIDTH) {
            (1, false) => "",
            (1, true) => "; below, a tenth of the score",
            _ => "; the digit is a tenth of the score",
        };
        let marks = format!("Marks: {}{digit}.", kinds.join(", "));
        write_wrapped(out, "", &marks, self.width)?;
        let dates = "Above the nights: the dates of Saturdays (_ from Friday on), each month at its first night.";
        write_wrapped(out, "", dates, self.width)?;
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

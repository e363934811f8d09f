//! What a season's picture says.

use super::{
    head::Head,
    season::{SeasonChart, SeasonPanel},
    season_blocks::{Block, commonest_unmet},
};
use crate::{
    report::words::{
        NAMED_BY_EVENING, cloud_note, haze_note, hours_text, is_marked,
        no_window_of_any_kind_words, no_window_words, unmet_words,
    },
    scene::LightKind,
    search::{Caveats, Window, best_shown},
};
use chrono::{Datelike, NaiveDate};
use std::collections::BTreeMap;

/// The most lunar months without a window that are named one by one.
const FEW: usize = 4;

/// A kind of night in a few words.
pub fn kind_words(kind: LightKind) -> &'static str {
    match kind {
        LightKind::Raking => "raking: a low Moon from the side",
        LightKind::Dark => "dark: no Moon",
        LightKind::Blend => "blend: raking and dark, one after the other",
        LightKind::Any => "any light",
    }
}

/// `score 77`, with ` ~` if haze or cloud make it doubtful.
fn score_words(window: &Window) -> String {
    let mark = if is_marked(window.doubts) { " ~" } else { "" };
    format!("score {:.0}{mark}", window.score)
}

/// The hours of a window; of a blend those of its dark period.
fn hours_words(panel: &SeasonPanel<'_>, window: &Window) -> String {
    hours_text(panel.site.zone, window.interval, false)
}

/// The moonlit hours of a blend.
fn moonlit_words(panel: &SeasonPanel<'_>, window: &Window) -> Option<String> {
    let land = window.land.as_ref()?;
    let hours = hours_text(panel.site.zone, land.interval, false);
    Some(format!("dark; moonlit {hours}"))
}

impl SeasonChart<'_> {
    /// The picture's name.
    pub(super) fn title(&self) -> String {
        let what = match self.panels.as_slice() {
            [one] => one.site.title().into_owned(),
            [one, ..] if self.are_views() => {
                format!("{}, {} views", one.site.name, self.panels.len())
            }
            several => match (self.places(), several.len()) {
                (places, views) if places < views => format!("{places} sites, {views} views"),
                (places, _) => format!("{places} sites"),
            },
        };
        let whole = (self.first.month0(), self.first.day0()) == (0, 0)
            && (self.last.month(), self.last.day()) == (12, 31);
        let (first, last) = (self.first.year(), self.last.year());
        match (whole, first == last) {
            (true, true) => format!("{what}, the nights of {first}"),
            (true, false) => format!("{what}, the nights of {first} to {last}"),
            _ => format!("{what}, {} to {}", self.first, self.last),
        }
    }

    /// What a site is called.
    pub(super) fn name(&self, panel: &SeasonPanel<'_>) -> String {
        match &panel.site.view {
            Some(view) if self.are_views() => view.clone(),
            _ => panel.site.title().into_owned(),
        }
    }

    /// A night with its date, in a picture of several years with its year.
    fn date(&self, date: NaiveDate) -> String {
        let years = self.first.year() != self.last.year();
        date.format(if years { "%a %-d %b %Y" } else { "%a %-d %b" })
            .to_string()
    }

    fn marks(&self) -> impl Iterator<Item = (&SeasonPanel<'_>, &crate::search::NightMark)> {
        self.panels.iter().flat_map(|panel| {
            let nights = panel.lunations.iter().flat_map(|lunation| &lunation.nights);
            nights.map(move |mark| (panel, mark))
        })
    }

    /// What stands above it.
    pub(super) fn head(&self, blocks: &[Block<'_>]) -> Head {
        let best = best_shown(&self.kinds, self.weighed, self.marks());
        let answer = match best {
            Some((panel, window)) => {
                // Scores that were not weighed cannot be compared: the best is one
                // of the first kind that there is.
                let night = match window.light {
                    kind if !self.weighed && kind != LightKind::Any => format!("{kind} night"),
                    _ => "night".to_owned(),
                };
                let mut parts = vec![
                    format!("Best {night}: {}", self.date(window.night)),
                    hours_words(panel, window),
                ];
                parts.extend(moonlit_words(panel, window));
                if self.panels.len() > 1 {
                    parts.push(self.name(panel));
                }
                parts.extend(self.weighed.then(|| window.light.to_string()));
                parts.push(score_words(window));
                parts.join(", ")
            }
            None => match self.panels.first() {
                Some(panel) => {
                    let marks = self.marks().map(|(_, mark)| mark);
                    let unmet = commonest_unmet(&self.kinds, marks);
                    match self.kinds.len() {
                        0 | 1 => no_window_words(panel.rules, unmet),
                        _ => no_window_of_any_kind_words(panel.rules, unmet),
                    }
                }
                None => "No site".to_owned(),
            },
        };
        let mut facts = Vec::new();
        if best.is_some() {
            let mut counts = vec![self.counts(), self.months_without(blocks)];
            counts.extend(self.order());
            facts.push(counts.join(" "));
            let mut last = vec![NAMED_BY_EVENING.to_owned()];
            let blend = |block: &Block<'_>| {
                let best = block.best.first();
                best.is_some_and(|(_, window)| window.light == LightKind::Blend)
            };
            if blocks.iter().any(blend) {
                last.push("The hours of a blend are its dark ones.".to_owned());
            }
            last.extend(self.doubts());
            facts.push(last.join(" "));
        }
        Head {
            title: self.title(),
            answer: vec![answer],
            facts,
        }
    }

    /// How many nights have each kind of light: those of several sites count for
    /// the first kind that one of them has.
    fn counts(&self) -> String {
        let mut nights: BTreeMap<NaiveDate, usize> = BTreeMap::new();
        for (_, mark) in self.marks() {
            let found = mark.found.as_ref();
            let kind = found.and_then(|(kind, _)| self.kinds.iter().position(|of| of == kind));
            let rank = nights.entry(mark.night.date).or_insert(usize::MAX);
            *rank = (*rank).min(kind.unwrap_or(usize::MAX));
        }
        let counts = self.kinds.iter().enumerate().map(|(rank, kind)| {
            let count = nights.values().filter(|of| **of == rank).count();
            format!("{count} {}", plain(*kind))
        });
        let counts = counts.collect::<Vec<_>>();
        let (of, between) = match self.panels.len() {
            0 | 1 => ("", ", "),
            _ if self.are_views() => (", in one view or more", ", else "),
            _ => (", at one site or more", ", else "),
        };
        let (nights, counts) = (nights.len(), counts.join(between));
        format!("Of {nights} nights{of}: {counts}.")
    }

    /// Why the best need not have the highest score, where several kinds are found.
    fn order(&self) -> Option<String> {
        if self.weighed {
            return None;
        }
        let is_found = |kind: &&LightKind| {
            let mut found = self.marks().filter_map(|(_, mark)| mark.found.as_ref());
            found.any(|(of, _)| of == *kind)
        };
        let kinds = self.kinds.iter().filter(is_found);
        let kinds: Vec<String> = kinds.map(LightKind::to_string).collect();
        let before = kinds.windows(2).map(|pair| pair.join(" before "));
        let before: Vec<String> = before.collect();
        let order = before.join(", ");
        (!order.is_empty()).then(|| format!("In rank, whatever the scores: {order}."))
    }

    /// The lunar months without the kind of night that is wanted first.
    fn months_without(&self, blocks: &[Block<'_>]) -> String {
        let Some(kind) = self.kinds.first() else {
            return String::new();
        };
        let lacks = |block: &&Block<'_>| {
            let mut lines = block.lines.iter().flat_map(|line| &line.nights);
            !lines.any(|(_, mark)| mark.found.as_ref().is_some_and(|(of, _)| of == kind))
        };
        let without: Vec<&Block<'_>> = blocks.iter().filter(lacks).collect();
        let night = match kind {
            LightKind::Any => "night".to_owned(),
            kind => format!("{kind} night"),
        };
        match without.len() {
            0 => format!("Each lunar month has a {night}."),
            few if few <= FEW => {
                let begins = |block: &&Block<'_>| {
                    let first = block.columns.first();
                    first.map(|column| column.date.format("%-d %b").to_string())
                };
                let dates: Vec<String> = without.iter().filter_map(begins).collect();
                let months = if few == 1 { "month" } else { "months" };
                format!(
                    "No {night} in the lunar {months} from {}.",
                    dates.join(", ")
                )
            }
            many => format!("No {night} in {many} of {} lunar months.", blocks.len()),
        }
    }

    /// What `~` means, if a window has it.
    fn doubts(&self) -> Vec<String> {
        let windows = self.marks().filter_map(|(_, mark)| mark.found.as_ref());
        let add = |all: Caveats, (_, window): &(LightKind, Window)| all.or(window.doubts);
        let doubts = windows.fold(Caveats::default(), add);
        let target = self.panels.first();
        let target = target.map_or("target", |panel| panel.rules.target_name());
        let haze = haze_note(doubts, target);
        haze.into_iter().chain(cloud_note(doubts)).collect()
    }

    /// The `most` best nights of a lunar month: first when, then what.
    pub(super) fn best_lines(&self, block: &Block<'_>, most: usize) -> Vec<(String, bool)> {
        let when = |panel: &SeasonPanel<'_>, window: &Window| {
            let date = window.night.format("%a %-d %b");
            format!("{date}, {}", hours_words(panel, window))
        };
        let Some((panel, window)) = block.best.first() else {
            return Vec::new();
        };
        let mut lines = vec![(when(panel, window), true)];
        let what = format!("{}, {}", window.light, score_words(window));
        if self.panels.len() > 1 {
            // What may be cut is the end of a long name.
            lines.push((format!("{what}, {}", self.name(panel)), false));
        } else {
            let moonlit = moonlit_words(panel, window).filter(|_| most > 1);
            lines.extend(moonlit.map(|text| (text, false)));
            lines.push((what, false));
        }
        // Dark nights are much alike.
        let alike = window.light == LightKind::Dark && self.kinds.len() > 1;
        let more = if alike { 1 } else { most };
        for (panel, window) in block.best.iter().take(more).skip(1) {
            let mark = if is_marked(window.doubts) { " ~" } else { "" };
            let score = format!("{:.0}{mark}", window.score);
            lines.push((format!("{}, {score}", when(panel, window)), false));
        }
        lines
    }

    /// Why a lunar month has no night.
    pub(super) fn none_words(&self, block: &Block<'_>) -> Option<String> {
        if !block.best.is_empty() {
            return None;
        }
        let target = self.panels.first()?.rules.target_name();
        Some(match block.unmet {
            Some(rule) => format!("no night: {}", unmet_words(rule, target)),
            None => "no night".to_owned(),
        })
    }

    /// The nights found, for those who hear the picture; without dark ones if
    /// other kinds are asked for too.
    pub(super) fn found_words(&self) -> String {
        let mut text = String::new();
        for panel in &self.panels {
            let nights = panel.lunations.iter().flat_map(|lunation| &lunation.nights);
            let found: Vec<String> = nights
                .filter_map(|mark| {
                    let (kind, window) = mark.found.as_ref()?;
                    (*kind != LightKind::Dark || self.kinds.len() == 1)
                        .then(|| format!("{} {} {:.0}", mark.night.date, kind, window.score))
                })
                .collect();
            text.push_str(&format!(
                "{}: {}. ",
                panel.site.title(),
                if found.is_empty() {
                    let with = match self.kinds.as_slice() {
                        [LightKind::Any | LightKind::Dark] => "",
                        _ => " with moonlight",
                    };
                    format!("no night{with} keeps every rule")
                } else {
                    found.join(", ")
                }
            ));
        }
        text.trim_end().to_owned()
    }
}

/// A kind of light after a number of nights.
fn plain(kind: LightKind) -> String {
    match kind {
        LightKind::Any => "in any light".to_owned(),
        kind => kind.to_string(),
    }
}

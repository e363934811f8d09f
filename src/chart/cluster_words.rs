//! What a picture of neighbouring evenings says.

use super::{Size, cluster::ClusterChart, head::Head, sheet::Type, text_width::wrapped_as};
use crate::{
    report::words::{
        NAMED_BY_EVENING, best_and_spare_words, clear_nights_line, cluster_window_words,
        evening_name, evenings_words, nights_words, no_window_words, umbral_eclipse_words,
    },
    scene::{Dates, LightKind},
    search::{BestAndSpare, NightHours, Window, best_and_spare, windows_of_nights},
};

impl ClusterChart<'_> {
    fn dates(&self) -> Option<Dates> {
        let first = self.nights.first()?.night.date;
        Dates::new(first, self.nights.last()?.night.date).ok()
    }

    /// What stands above the evenings.
    pub(super) fn head(&self) -> Head {
        let when = self.dates().map_or_else(String::new, |dates| {
            format!(": {}", evenings_words(dates.first(), dates.last()))
        });
        let windows = windows_of_nights(self.nights);
        let found = best_and_spare(&windows);
        let kinds = found.as_ref().and_then(|found| self.kinds_words(found));
        let answer = match (found, self.dates()) {
            (Some(found), Some(dates)) => best_and_spare_words(dates, self.site.zone, &found),
            _ => {
                let kind = match self.kinds.as_slice() {
                    [LightKind::Any] | [_, _, ..] | [] => String::new(),
                    [kind] => format!("{kind} "),
                };
                format!(
                    "No {kind}window on these {}",
                    nights_words(self.nights.len())
                )
            }
        };
        let mut facts = Vec::new();
        let first = self.nights.first();
        facts.extend(first.and_then(|night| clear_nights_line(self.site, night.night.date)));
        facts.extend(kinds);
        if !windows.is_empty() {
            facts.push(NAMED_BY_EVENING.to_owned());
            let blend = windows.iter().any(|window| window.land.is_some());
            let moonlit = if blend {
                "; broken: the moonlit hours of a blend"
            } else {
                ""
            };
            facts.push(format!("Upright in a window: its best instant{moonlit}."));
        }
        Head {
            title: format!("{}{when}", self.site.title()),
            answer: vec![answer],
            facts,
        }
    }

    /// The kinds of light of the best window and its spare, where several were
    /// asked for.
    fn kinds_words(&self, found: &BestAndSpare<'_>) -> Option<String> {
        let several = self.kinds.len() > 1;
        let best = format!("The best is {}", found.best.light);
        several.then(|| match found.spare.or(found.earlier) {
            Some(other) if found.spare.is_some() => format!("{best}, the spare {}.", other.light),
            Some(other) => format!("{best}, the one before it {}.", other.light),
            None => format!("{best}."),
        })
    }

    /// What an evening is called, with its part in the answer.
    pub(super) fn name(&self, night: &NightHours) -> String {
        let name = evening_name(night.night.date);
        let windows = windows_of_nights(self.nights);
        let found = best_and_spare(&windows);
        let is =
            |window: Option<&Window>| window.is_some_and(|window| window.night == night.night.date);
        match found {
            Some(found) if is(Some(found.best)) => format!("{name}: best"),
            Some(found) if is(found.spare) => format!("{name}: spare"),
            Some(found) if found.spare.is_none() && is(found.earlier) => {
                format!("{name}: best of those before it")
            }
            _ => name,
        }
    }

    /// What is said of an evening, in lines of the sheet's width.
    pub(super) fn lines(&self, night: &NightHours, size: Size) -> Vec<String> {
        let mut said: Vec<String> = night
            .windows
            .iter()
            .map(|window| {
                let words = cluster_window_words(self.site, window);
                match self.kinds.len() {
                    0 | 1 => words,
                    _ => format!("{}: {words}", window.light),
                }
            })
            .collect();
        if said.is_empty() {
            let none = no_window_words(self.rules, night.unmet);
            said.push(match self.kinds.len() {
                0 | 1 => none,
                // The rule is that of the first kind.
                _ => format!("{none}; no other either"),
            });
        }
        said.extend(
            night
                .eclipse
                .as_ref()
                .map(|eclipse| umbral_eclipse_words(self.site.zone, eclipse)),
        );
        let width = size.right() - size.left();
        said.iter()
            .flat_map(|text| wrapped_as(text, Type::SMALL, width))
            .collect()
    }
}

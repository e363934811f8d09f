//! The names beside the lines of a season's picture.

use super::{
    season::{SeasonChart, SeasonPanel},
    season_blocks::Line,
    season_layout::SeasonLayout,
    sheet::Type,
    text_width::shortened,
};
use crate::scene::Site;
use std::collections::BTreeMap;

/// How many of some sites' places have several views among them: each has its
/// name above them.
pub fn places_with_views<'a>(sites: impl IntoIterator<Item = &'a Site>) -> usize {
    let mut places: Vec<(&Site, bool)> = Vec::new();
    for site in sites {
        match places.iter_mut().find(|(of, _)| of.shares_place(site)) {
            Some((_, several)) => *several = true,
            None => places.push((site, false)),
        }
    }
    places.iter().filter(|(_, several)| *several).count()
}

impl SeasonChart<'_> {
    /// Whether all sites are views of one place.
    pub(super) fn are_views(&self) -> bool {
        self.places() == 1
    }

    /// The number of places.
    pub(super) fn places(&self) -> usize {
        let sites = self.panels.iter().map(|panel| panel.site).enumerate();
        let new = sites.filter(|(index, site)| {
            let mut before = self.panels.iter().take(*index);
            !before.any(|panel| panel.site.shares_place(site))
        });
        new.count()
    }

    /// Whether a site's place is named above it.
    fn is_below_place(&self, panel: &SeasonPanel<'_>) -> bool {
        let mut others = self.panels.iter();
        let shares = others.any(|other| {
            !std::ptr::eq(other.site, panel.site) && other.site.shares_place(panel.site)
        });
        shares && !self.are_views()
    }

    /// The name of a place with several views, above the first of them that has a
    /// line of a lunar month.
    pub(super) fn place_above<'a>(
        &self,
        before: Option<&Line<'_>>,
        line: &Line<'a>,
    ) -> Option<&'a str> {
        let site = line.panel.site;
        let is_first = before.is_none_or(|before| !before.panel.site.shares_place(site));
        (is_first && self.is_below_place(line.panel)).then_some(site.name.as_str())
    }

    /// How many rows some lines take with the names of their places.
    pub(super) fn rows(&self, lines: &[Line<'_>]) -> usize {
        let mut before = None;
        let rows = lines.iter().map(|line| {
            let place = self.place_above(before.replace(line), line);
            1 + usize::from(place.is_some())
        });
        rows.sum()
    }

    /// What is written beside the lines of the sites, in their order: no two that
    /// stand below the same place are equal.
    pub(super) fn labels(&self, at: &SeasonLayout) -> Vec<String> {
        let (style, width) = (at.small, at.names - at.size.left());
        let cut = |name: &str| shortened(name, style.size, style.bold, width);
        let full: Vec<(Option<&str>, String)> = self
            .panels
            .iter()
            .map(|panel| match &panel.site.view {
                Some(view) if self.is_below_place(panel) => {
                    (Some(panel.site.name.as_str()), view.clone())
                }
                _ => (None, self.name(panel)),
            })
            .collect();
        let ends = only(&full, full.iter().map(|(_, name)| cut(name)));
        let both = only(
            &full,
            full.iter().map(|(_, name)| both_ends(name, style, width)),
        );
        let labels = ends.into_iter().zip(both).zip(&full).enumerate();
        labels
            .map(|(index, ((end, both), (_, name)))| {
                let numbered = || cut(&format!("{} {name}", index + 1));
                end.or(both).unwrap_or_else(numbered)
            })
            .collect()
    }
}

/// The labels that are the only ones below their place, `None` for the others.
fn only(
    names: &[(Option<&str>, String)],
    labels: impl Iterator<Item = String>,
) -> Vec<Option<String>> {
    let labels: Vec<(Option<&str>, String)> =
        names.iter().map(|(place, _)| *place).zip(labels).collect();
    let mut counts: BTreeMap<&(Option<&str>, String), usize> = BTreeMap::new();
    for label in &labels {
        *counts.entry(label).or_default() += 1;
    }
    let is_only = |label| counts.get(label).is_some_and(|count| *count == 1);
    let labels = labels
        .iter()
        .map(|label| is_only(label).then(|| label.1.clone()));
    labels.collect()
}

/// The text cut to a width in its middle, with three dots if something is missing.
fn both_ends(text: &str, style: Type, width: f64) -> String {
    if style.width(text) <= width {
        return text.to_owned();
    }
    let chars: Vec<char> = text.chars().collect();
    let cut = (0..chars.len()).rev().map(|kept| {
        let head = chars.iter().take(kept / 2).collect::<String>();
        let tail = chars.iter().skip(chars.len() - kept.div_ceil(2));
        let tail = tail.collect::<String>();
        format!("{}...{}", head.trim_end(), tail.trim_start())
    });
    let mut fitting = cut.filter(|cut| style.width(cut) <= width);
    fitting.next().unwrap_or_default()
}

//! The seasons of several sites, put together by lunar month and date.

use super::season::{SeasonChart, SeasonPanel};
use crate::{
    ephemeris::{EclipseKind, Moment, Quarter},
    rule::Rule,
    scene::LightKind,
    search::{NightMark, Window, best_shown},
};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A date within a lunar month.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The night.
    pub date: NaiveDate,
    /// The Moon's age in the middle of that night, the mean of the sites, days.
    pub age_days: f64,
    /// The deepest eclipse that a site sees in it, if the umbra is met.
    pub eclipse: Option<EclipseKind>,
}

/// The nights of a site within a lunar month, each with its column.
#[derive(Debug, Clone)]
pub struct Line<'a> {
    /// The site.
    pub panel: &'a SeasonPanel<'a>,
    /// Its nights.
    pub nights: Vec<(Column, &'a NightMark)>,
}

/// A lunar month.
#[derive(Debug, Clone)]
pub struct Block<'a> {
    /// Its new Moon.
    pub start: Moment,
    /// Its other quarters.
    pub quarters: &'a [(Quarter, Moment)],
    /// Its nights within the range asked for.
    pub columns: Vec<Column>,
    /// The sites that have a window in it, or the only site.
    pub lines: Vec<Line<'a>>,
    /// Its windows by rank: the best of each night, the best night first.
    pub best: Vec<(&'a SeasonPanel<'a>, &'a Window)>,
    /// Without a window: the rule that most nights fail.
    pub unmet: Option<&'static Rule>,
}

/// An eclipse that can be seen: the outer shadow hardly dims the Moon.
pub fn seen(eclipse: Option<EclipseKind>) -> Option<EclipseKind> {
    eclipse.filter(|kind| *kind != EclipseKind::Penumbral)
}

/// The rule that most of some nights without a window fail, of several the one
/// that is checked first. Where nights without moonlight were looked for too, it
/// is none about moonlight: that would not have kept them out.
pub fn commonest_unmet<'a>(
    kinds: &[LightKind],
    nights: impl Iterator<Item = &'a NightMark>,
) -> Option<&'static Rule> {
    let moonless = kinds.iter().any(|kind| !kind.is_sidelit());
    let mut counts: BTreeMap<&'static Rule, usize> = BTreeMap::new();
    for rule in nights.filter_map(|mark| mark.unmet) {
        *counts.entry(rule).or_default() += 1;
    }
    if moonless && counts.keys().any(|rule| !rule.of_moonlight) {
        counts.retain(|rule, _| !rule.of_moonlight);
    }
    let most = counts.values().copied().max()?;
    let mut rules = counts.into_iter();
    rules
        .find(|(_, count)| *count == most)
        .map(|(rule, _)| rule)
}

/// The most nights of a lunar month that are written out.
pub const MOST_NAMED: usize = 4;

/// Nights of one date, each with the number of its site.
type Dated<'a> = Vec<(usize, &'a NightMark)>;

/// The lunar months of a season in order. A date belongs to the month that holds
/// the mean of its nights' middles at all sites, so that each date has one column
/// wherever the sites are.
pub fn blocks<'a>(chart: &'a SeasonChart<'a>) -> Vec<Block<'a>> {
    let mut months: BTreeMap<i64, Block<'a>> = BTreeMap::new();
    let mut dates: BTreeMap<NaiveDate, Dated<'a>> = BTreeMap::new();
    for (number, panel) in chart.panels.iter().enumerate() {
        for lunation in panel.lunations {
            months
                .entry(lunation.start.seconds().floor() as i64)
                .or_insert_with(|| Block {
                    start: lunation.start,
                    quarters: &lunation.quarters,
                    columns: Vec::new(),
                    lines: Vec::new(),
                    best: Vec::new(),
                    unmet: None,
                });
            for mark in &lunation.nights {
                let of_date = dates.entry(mark.night.date).or_default();
                of_date.push((number, mark));
            }
        }
    }
    let mut months: Vec<(Block<'a>, Vec<Dated<'a>>)> = months
        .into_values()
        .map(|block| (block, Vec::new()))
        .collect();
    for (date, nights) in dates {
        let seconds: f64 = nights.iter().map(|(_, mark)| mark.middle().seconds()).sum();
        let mean = seconds / nights.len() as f64;
        let after = months.partition_point(|(block, _)| block.start.seconds() <= mean);
        let Some((block, of_block)) = months.get_mut(after.saturating_sub(1)) else {
            continue;
        };
        let eclipses = nights.iter().filter_map(|(_, mark)| seen(mark.eclipse));
        block.columns.push(Column {
            date,
            age_days: (mean - block.start.seconds()) / 86_400.0,
            eclipse: eclipses.max(),
        });
        of_block.push(nights);
    }
    let filled = months.into_iter().filter(|(_, dates)| !dates.is_empty());
    filled
        .map(|(block, dates)| fill(chart, block, &dates))
        .collect()
}

/// A lunar month with the nights of its dates.
fn fill<'a>(chart: &'a SeasonChart<'a>, mut block: Block<'a>, dates: &[Dated<'a>]) -> Block<'a> {
    let mut of_site: BTreeMap<usize, Vec<(Column, &'a NightMark)>> = BTreeMap::new();
    for (column, nights) in block.columns.iter().zip(dates) {
        for (number, mark) in nights {
            of_site.entry(*number).or_default().push((*column, *mark));
        }
    }
    let lines = chart.panels.iter().enumerate().map(|(number, panel)| Line {
        panel,
        nights: of_site.remove(&number).unwrap_or_default(),
    });
    let lines: Vec<Line<'a>> = lines.collect();
    let mut taken: Vec<NaiveDate> = Vec::new();
    while block.best.len() < MOST_NAMED {
        let shown = lines.iter().flat_map(|line| {
            let nights = line.nights.iter().map(|(_, mark)| (line.panel, *mark));
            nights.filter(|(_, mark)| !taken.contains(&mark.night.date))
        });
        let Some(next) = best_shown(&chart.kinds, chart.weighed, shown) else {
            break;
        };
        taken.push(next.1.night);
        // Those behind the best are of its kind.
        let alike = |first: &(&SeasonPanel<'_>, &Window)| first.1.light == next.1.light;
        if !block.best.first().is_none_or(alike) {
            break;
        }
        block.best.push(next);
    }
    if block.best.is_empty() {
        let nights = dates.iter().flatten().map(|(_, mark)| *mark);
        block.unmet = commonest_unmet(&chart.kinds, nights);
    }
    let alone = lines.len() == 1;
    block.lines = lines;
    block
        .lines
        .retain(|line| alone || line.nights.iter().any(|(_, mark)| mark.found.is_some()));
    block
}

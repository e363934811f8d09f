//! The answers of all sites, to be ranked together: of their windows those are
//! kept that may still be shown.

use super::layout::Answer;
use crate::cli::args::Format;
use rakelight::{
    report::Apart,
    scene::Site,
    search::{Order, Selection, Window, order_together, places_that_stand_in, rank_together},
};
use std::{cmp::Ordering, collections::HashSet, ptr};

/// Windows that are kept before the first choice among them.
const MANY: usize = 1024;

/// The answers of all sites, in their order.
pub struct Together {
    choice: Selection,
    format: Format,
    /// Whether windows that can stand in for others are shown.
    spare: bool,
    /// Those of every site where each has a part of the output, else of the sites
    /// whose windows are kept.
    pub answers: Vec<Answer>,
    /// What their windows must be told apart by.
    pub apart: Apart,
    /// How many sites there are.
    pub sites: usize,
    /// How many windows were found.
    pub found: usize,
    kept: usize,
    /// How many windows are kept before the next choice among them.
    most: usize,
    /// The place of every window found, where those shown may not be the first.
    marks: Vec<Mark>,
}

/// What decides the rank of a window among those of all sites.
#[derive(Clone, Copy)]
struct Mark {
    score: f64,
    site: usize,
    /// Its rank at its site.
    rank: usize,
}

impl Mark {
    fn of(answer: &Answer, window: &Window) -> Self {
        Self {
            score: window.score,
            site: answer.number,
            rank: window.rank,
        }
    }

    /// The best score first; equal scores in the order of the sites.
    fn order(&self, other: &Self) -> Ordering {
        let by_score = other.score.total_cmp(&self.score);
        by_score.then((self.site, self.rank).cmp(&(other.site, other.rank)))
    }
}

impl Together {
    /// None yet; of their windows these will be shown in this format, with what
    /// can stand in for them if `spare` is asked for.
    pub fn new(choice: Selection, format: Format, spare: bool) -> Self {
        Self {
            choice,
            format,
            spare,
            answers: Vec::new(),
            apart: Apart::default(),
            sites: 0,
            found: 0,
            kept: 0,
            most: MANY,
            marks: Vec::new(),
        }
    }

    /// Adds the next site.
    pub fn add(&mut self, mut answer: Answer) {
        answer.number = self.sites;
        self.sites += 1;
        self.found += answer.count;
        self.kept += answer.windows.len();
        self.apart = self.apart.or(Apart::of(&answer.planners));
        if !self.shows_the_first() {
            let marks = answer
                .windows
                .iter()
                .map(|window| Mark::of(&answer, window));
            self.marks.extend(marks);
        }
        self.answers.push(answer);
        if self.is_bounded() && self.kept > self.most {
            self.choose();
        }
    }

    /// Whether what is shown does not grow with the sites.
    fn is_bounded(&self) -> bool {
        self.choice.top.is_some() || self.choice.per_month.is_some()
    }

    /// Whether the windows shown are the first ones, so that those kept have the
    /// ranks that they have among all.
    fn shows_the_first(&self) -> bool {
        let of_all = self.choice.order != Order::Next && self.choice.per_month.is_none();
        !self.is_bounded() || of_all && !self.spare
    }

    /// Whether each site has a part of the output, windows or not.
    fn has_site_parts(&self) -> bool {
        !matches!(
            self.format,
            Format::Table | Format::Csv | Format::Ndjson | Format::Markdown
        )
    }

    /// Lets go of the windows that cannot be shown, whatever follows.
    fn choose(&mut self) {
        let kept = self.kept_windows();
        let mut keeps: Vec<Vec<bool>> = Vec::with_capacity(self.answers.len());
        for answer in &self.answers {
            let is_kept = |window: &Window| kept.contains(&ptr::from_ref(window));
            keeps.push(answer.windows.iter().map(is_kept).collect());
        }
        self.kept = kept.len();
        self.most = MANY.max(2 * self.kept);
        for (answer, keeps) in self.answers.iter_mut().zip(keeps) {
            let mut keeps = keeps.into_iter();
            answer.windows.retain(|_| keeps.next().unwrap_or(false));
            answer.windows.shrink_to_fit();
        }
        // Spare places stand in the order of all sites.
        if !self.has_site_parts() && !self.spare {
            self.answers.retain(|answer| !answer.windows.is_empty());
        }
    }

    fn kept_windows(&self) -> HashSet<*const Window> {
        let ranked: Vec<(&Answer, &Window)> = order_together(&self.answers)
            .into_iter()
            .filter_map(|(site, window)| {
                let answer = self.answers.get(site)?;
                Some((answer, answer.windows.get(window)?))
            })
            .collect();
        let chosen = self.choice.of(ranked, |(_, window)| window);
        let mut kept: HashSet<*const Window> = HashSet::new();
        for (answer, window) in &chosen {
            match self.format {
                // An entry's id counts the windows of its night at the site.
                Format::Ical => {
                    let of_night = |other: &&Window| other.night == window.night;
                    let windows = answer.windows.iter().filter(of_night);
                    kept.extend(windows.map(ptr::from_ref));
                }
                _ => {
                    kept.insert(ptr::from_ref(*window));
                }
            }
        }
        if self.format == Format::Geojson {
            // A site shows its best.
            let best = self
                .answers
                .iter()
                .filter_map(|answer| answer.windows.first());
            kept.extend(best.map(ptr::from_ref));
        }
        if self.spare {
            let spare = places_that_stand_in(&self.with_sites());
            kept.extend(spare.into_iter().map(ptr::from_ref));
        }
        kept
    }

    /// The sites with the windows that are kept.
    pub fn with_sites(&self) -> Vec<(&Site, &[Window])> {
        self.answers
            .iter()
            .map(|answer| (answer.site(), answer.windows.as_slice()))
            .collect()
    }

    /// Gives the windows their ranks among all; gives the indices of answer and
    /// window, best score first.
    pub fn rank(&mut self) -> Vec<(usize, usize)> {
        let mut marks = std::mem::take(&mut self.marks);
        marks.sort_by(Mark::order);
        let mut ranks: Vec<Vec<usize>> = Vec::new();
        if !marks.is_empty() {
            let rank = |mark: &Mark| marks.partition_point(|other| other.order(mark).is_lt()) + 1;
            for answer in &self.answers {
                let of_window = |window| rank(&Mark::of(answer, window));
                ranks.push(answer.windows.iter().map(of_window).collect());
            }
        }
        let mut windows: Vec<&mut [Window]> = self
            .answers
            .iter_mut()
            .map(|answer| answer.windows.as_mut_slice())
            .collect();
        let order = rank_together(&mut windows);
        for (windows, ranks) in windows.iter_mut().zip(ranks) {
            for (window, rank) in windows.iter_mut().zip(ranks) {
                window.rank = rank;
            }
        }
        order
    }
}

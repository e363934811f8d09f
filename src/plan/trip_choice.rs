//! Which trips are the best, with as few searches as that takes.

use super::trip_search::TripPath;
use crate::parallel;
use std::cmp::Ordering;

/// First nights that are searched at once, so that each thread has some.
const AT_ONCE: usize = 8;

/// What is known of the trips that begin on a night.
#[derive(Debug)]
enum Known {
    /// None is worth more than this.
    AtMost(f64),
    /// The best of them.
    Best(TripPath),
    /// There is none, or it shares a night with one that was chosen.
    Nothing,
}

/// The best trips, the best first, no two of which share one of their `nights`
/// nights, `most` of them at most. `bounds` has for each first night what none
/// of its trips exceeds, if there may be one; `search` gives the best of them.
///
/// A first night is searched only if its bound is not below the best trip that
/// is known, and never if its trips share a night with a better one. The answer
/// is that of a search of all.
pub(super) fn choose(
    bounds: impl Iterator<Item = Option<f64>>,
    nights: usize,
    most: usize,
    search: impl Fn(usize) -> Option<TripPath> + Sync,
) -> Vec<TripPath> {
    let mut starts: Vec<Known> = bounds
        .map(|bound| bound.map_or(Known::Nothing, Known::AtMost))
        .collect();
    let mut chosen: Vec<TripPath> = Vec::new();
    while chosen.len() < most {
        let best = best_known(&starts);
        let open = open_starts(&starts, best.map(|best| best.worth));
        if open.is_empty() {
            let Some(best) = best.cloned() else { break };
            let from = (best.first + 1).saturating_sub(nights);
            let shared = starts
                .iter_mut()
                .skip(from)
                .take(best.first + nights - from);
            shared.for_each(|start| *start = Known::Nothing);
            chosen.push(best);
            continue;
        }
        let found = parallel::map(open.len(), 1, |index| search(*open.get(index)?));
        for (first, path) in open.iter().zip(found) {
            if let Some(start) = starts.get_mut(*first) {
                *start = path.map_or(Known::Nothing, Known::Best);
            }
        }
    }
    chosen
}

/// The trip worth most of those that were found; among equals the one with the
/// shorter drive, then the earlier.
fn best_known(starts: &[Known]) -> Option<&TripPath> {
    let mut best: Option<&TripPath> = None;
    for start in starts {
        if let Known::Best(path) = start
            && best.is_none_or(|best| path.is_better(best))
        {
            best = Some(path);
        }
    }
    best
}

/// The first nights with the highest bounds that may have a trip as good as the
/// best known.
fn open_starts(starts: &[Known], worth: Option<f64>) -> Vec<usize> {
    let mut open: Vec<(f64, usize)> = Vec::new();
    for (first, start) in starts.iter().enumerate() {
        if let Known::AtMost(bound) = start
            && worth.is_none_or(|worth| *bound >= worth)
        {
            open.push((*bound, first));
        }
    }
    open.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    open.truncate(AT_ONCE);
    open.into_iter().map(|(_, first)| first).collect()
}

impl TripPath {
    /// Worth more, or as much for a shorter drive.
    fn is_better(&self, other: &Self) -> bool {
        is_better([self.worth, self.km], [other.worth, other.km])
    }
}

/// Whether something with a worth and kilometres is worth more than another, or
/// as much for a shorter drive.
pub(super) fn is_better([worth, km]: [f64; 2], other: [f64; 2]) -> bool {
    let [other_worth, other_km] = other;
    let by_worth = worth.total_cmp(&other_worth);
    by_worth.then(other_km.total_cmp(&km)) == Ordering::Greater
}

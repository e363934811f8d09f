//! Sites that are computed at once, on all cores, before their results are
//! written.

use super::{
    batch::Writer,
    manners::{Failure, Sites, progress::Progress, record_of_progress::sum_of},
};
use rakelight::{report::SiteId, rule::Rules, scene::Site};
use rayon::prelude::*;
use std::sync::Arc;

/// Sites read before they are computed, so that memory does not grow with the
/// number of sites.
pub const MOST_SITES: usize = 256;
/// Nights computed before their results are written: enough to keep every core
/// busy, few enough that memory grows neither with the sites nor the years.
const NIGHTS_AT_ONCE: usize = 64 * 366;
/// The most of them, where every thread is to have a site of its own. Where not
/// all can, they share the nights of a site.
const MOST_NIGHTS_AT_ONCE: usize = 512 * 366;

/// A site with its rules.
pub struct Ready {
    pub site: Arc<Site>,
    /// Those of each brief and each kind of light; one at least.
    pub rules: Vec<Arc<Rules>>,
    /// What distinguishes its records from those of other sites.
    pub id: SiteId,
    /// Its number among all sites given, from 1.
    pub number: usize,
    /// Whether no other is computed with it: its answer may be long, and need
    /// not be kept for those before it.
    pub is_alone: bool,
}

impl Ready {
    /// A sum of everything that its answer depends on.
    pub fn sum(&self) -> u32 {
        sum_of(&(&self.site, &self.rules))
    }
}

/// How many sites are computed before their results are written, with so many
/// nights each.
pub fn sites_at_once(nights: usize, threads: usize) -> usize {
    let nights = nights.max(1);
    let for_threads = threads.min(MOST_NIGHTS_AT_ONCE / nights);
    (NIGHTS_AT_ONCE / nights)
        .max(for_threads)
        .clamp(1, MOST_SITES)
}

/// A site with what was found there.
pub struct Answered<A> {
    pub site: Arc<Site>,
    pub rules: Vec<Arc<Rules>>,
    pub number: usize,
    /// That of the site and its rules, where it is asked for.
    pub sum: u32,
    pub answer: Result<A, Failure>,
}

/// The answers at some sites, computed on all cores, with their sums if they are
/// `summed`.
pub fn answers<W: Writer>(
    sites: Vec<Ready>,
    progress: &Progress,
    summed: bool,
    answer: &(impl Fn(Ready) -> Result<W::Answer, Failure> + Sync),
) -> Vec<Answered<W::Answer>> {
    let of_site = |ready: Ready| {
        let (site, rules) = (Arc::clone(&ready.site), ready.rules.clone());
        let (number, sum) = (ready.number, summed.then(|| ready.sum()));
        let answer = answer(ready);
        if let Ok(answer) = &answer {
            progress.site_done(W::windows(answer));
        }
        Answered {
            site,
            rules,
            number,
            sum: sum.unwrap_or_default(),
            answer,
        }
    };
    sites.into_par_iter().map(of_site).collect()
}

/// Takes the sites that were done before out of the next ones; `last` if no
/// others come.
pub fn pass_over(
    chunk: &mut Vec<Ready>,
    last: bool,
    sites: &Sites,
    progress: &Progress,
) -> Result<(), Failure> {
    let before = sites.before.sites;
    let mut done = sites.now();
    if done.sites >= before {
        return Ok(());
    }
    let rest = chunk.partition_point(|ready| ready.number <= before);
    let rest = chunk.split_off(rest);
    let summed = |ready: &Ready| (ready.number, ready.sum());
    let sums: Vec<(usize, u32)> = chunk.par_iter().map(summed).collect();
    for (number, sum) in sums {
        done = done.with(number, sum);
        progress.site_done(0);
    }
    sites.set(done);
    *chunk = rest;
    match chunk.is_empty() && !last {
        true => Ok(()),
        false => sites.check(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn memory_is_bounded_by_nights_and_every_core_has_work() {
        for (nights, threads, expected) in [
            (1, 1, 256),
            (31, 2, 256),
            (365, 2, 64),
            (365, 128, 128),
            (3653, 2, 6),
            (3653, 16, 16),
            (10_958, 2, 2),
            (10_958, 128, 17),
            (73_050, 1, 1),
            (73_050, 128, 2),
            (1_000_000, 128, 1),
            (0, 1, 256),
        ] {
            let sites = sites_at_once(nights, threads);
            assert_eq!(sites, expected, "{nights} nights, {threads} threads");
        }
    }
}

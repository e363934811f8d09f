//! Work shared among threads, or done in turn if there are none.

use rayon::{ThreadBuilder, ThreadPoolBuildError, ThreadPoolBuilder, prelude::*};
use std::{
    io,
    sync::{
        OnceLock,
        mpsc::{self, Sender},
    },
    thread,
};

/// Nights that are worth a task of their own, some 0.1 ms.
pub(crate) const NIGHTS_A_TASK: usize = 60;

/// Whether there is a pool of threads to share the work.
static POOL: OnceLock<bool> = OnceLock::new();

/// How many of `threads` have something to do at so many sites with so many
/// nights each.
pub fn useful(threads: u32, sites: usize, nights: usize) -> u32 {
    let tasks = sites.saturating_mul(tasks(nights));
    threads.min(u32::try_from(tasks).unwrap_or(u32::MAX)).max(1)
}

/// The tasks that nights make, which are halved as long as both halves are worth
/// one.
fn tasks(nights: usize) -> usize {
    match nights / 2 {
        half @ NIGHTS_A_TASK.. => tasks(half) + tasks(nights - half),
        _ => 1,
    }
}

/// How many threads there are to share the work.
pub fn threads() -> usize {
    if has_pool() {
        rayon::current_num_threads()
    } else {
        1
    }
}

/// Makes a pool of up to `threads` threads, including the calling one, which
/// does all the work if the system refuses others. This is for a program, whose
/// first thread lasts as long as the program.
///
/// # Errors
///
/// There is a pool already.
pub fn start(threads: u32) -> Result<(), ThreadPoolBuildError> {
    let idle = idle(threads.saturating_sub(1));
    let builder = ThreadPoolBuilder::new()
        .num_threads(idle.len() + 1)
        .use_current_thread();
    build(builder, idle)?;
    let _ = POOL.set(true);
    Ok(())
}

/// Both results, computed in parallel if there are threads.
pub(crate) fn join<A: Send, B: Send>(
    a: impl FnOnce() -> A + Send,
    b: impl FnOnce() -> B + Send,
) -> (A, B) {
    if has_pool() {
        rayon::join(a, b)
    } else {
        (a(), b())
    }
}

/// The results for `0..count`, in order; each task computes `least` of them or
/// more, to be worth a thread.
pub(crate) fn map<T: Send>(count: usize, least: usize, of: impl Fn(usize) -> T + Sync) -> Vec<T> {
    if has_pool() {
        let indices = (0..count).into_par_iter().with_min_len(least);
        indices.map(&of).collect()
    } else {
        (0..count).map(of).collect()
    }
}

/// The results of all items, in order; each task takes `least` items or more,
/// to be worth a thread.
pub(crate) fn flat_map<I: Sync, T: Send>(
    items: &[I],
    least: usize,
    of: impl Fn(&I) -> Vec<T> + Sync,
) -> Vec<T> {
    if has_pool() {
        let items = items.par_iter().with_min_len(least);
        items.flat_map_iter(&of).collect()
    } else {
        items.iter().flat_map(of).collect()
    }
}

/// Does work inside the pool: a caller outside it would sleep and wake for each
/// share.
pub(crate) fn inside<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    if has_pool() {
        rayon::scope(|_| work())
    } else {
        work()
    }
}

/// Whether there is a pool; the first call makes one, unless the program has
/// done so. A pool that cannot start its threads would panic, so the threads
/// start first.
fn has_pool() -> bool {
    *POOL.get_or_init(|| {
        let cores = thread::available_parallelism().map_or(1, usize::from);
        let idle = idle(u32::try_from(cores).unwrap_or(u32::MAX));
        if idle.is_empty() {
            return false;
        }
        // This fails if the program has made a pool of its own.
        let _ = build(ThreadPoolBuilder::new().num_threads(idle.len()), idle);
        true
    })
}

fn build(
    builder: ThreadPoolBuilder,
    mut idle: Vec<Sender<ThreadBuilder>>,
) -> Result<(), ThreadPoolBuildError> {
    builder
        .spawn_handler(move |work| {
            let refused = || io::Error::other("no thread is left");
            let thread = idle.pop().ok_or_else(refused)?;
            thread.send(work).map_err(|_| refused())
        })
        .build_global()
}

/// Up to `count` threads that wait for work. They start before the pool: if a
/// pool cannot start one thread, there is no pool, and none can be made later.
fn idle(count: u32) -> Vec<Sender<ThreadBuilder>> {
    let mut idle = Vec::new();
    for _ in 0..count {
        let (sender, work) = mpsc::channel::<ThreadBuilder>();
        let started = thread::Builder::new().spawn(move || {
            if let Ok(work) = work.recv() {
                work.run();
            }
        });
        if started.is_err() {
            // The system has run out of something, perhaps memory. Give back
            // half of the threads, so that the work itself has room.
            idle.truncate(idle.len() / 2);
            break;
        }
        idle.push(sender);
    }
    idle
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicU32, Ordering};

    /// A task has 60 nights or more, and nights are halved.
    #[test]
    fn no_more_threads_than_there_are_tasks() {
        for (threads, sites, nights, expected) in [
            (128, 1, 0, 1),
            (128, 1, 1, 1),
            (128, 1, 119, 1),
            (128, 1, 120, 2),
            (128, 1, 365, 4),
            (128, 1, 36_525, 128),
            (2, 1, 365, 2),
            (128, 3, 365, 12),
            (128, 40, 1, 40),
            (128, 256, 365, 128),
            (0, 1, 365, 1),
            (128, usize::MAX, 365, 128),
        ] {
            let useful = useful(threads, sites, nights);
            assert_eq!(useful, expected, "{threads} {sites} {nights}");
        }
    }

    /// The rule knows how the work is shared.
    #[test]
    fn nights_are_halved_as_the_rule_has_it() {
        for nights in [1, 59, 60, 119, 120, 239, 240, 365, 366, 480, 1000] {
            let tasks = AtomicU32::new(0);
            let count = || {
                tasks.fetch_add(1, Ordering::Relaxed);
            };
            (0..nights)
                .into_par_iter()
                .with_min_len(NIGHTS_A_TASK)
                .fold(count, |(), _| ())
                .collect::<Vec<()>>();
            let most = useful(u32::MAX, 1, nights);
            assert!(tasks.load(Ordering::Relaxed) <= most, "{nights}");
        }
    }
}

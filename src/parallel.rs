//! Work shared out among threads, or done in turn where none is to be had.

use rayon::{ThreadBuilder, ThreadPoolBuildError, ThreadPoolBuilder, prelude::*};
use std::{
    io,
    sync::{
        OnceLock,
        mpsc::{self, Sender},
    },
    thread,
};

/// Whether there is a pool of threads to share work with.
static POOL: OnceLock<bool> = OnceLock::new();

/// Makes a pool of up to `threads` threads, of which the calling one is one:
/// where the system refuses others, it does their work. For a program, whose
/// first thread lasts as long as it does.
///
/// # Errors
///
/// A pool that was made before.
pub fn start(threads: u32) -> Result<(), ThreadPoolBuildError> {
    let idle = idle(threads.saturating_sub(1));
    let builder = ThreadPoolBuilder::new()
        .num_threads(idle.len() + 1)
        .use_current_thread();
    build(builder, idle)?;
    let _ = POOL.set(true);
    Ok(())
}

/// Both results, worked out side by side where there are threads.
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

/// The results for `0..count`, in order; tasks of `least` of them are worth a
/// thread.
pub(crate) fn map<T: Send>(count: usize, least: usize, of: impl Fn(usize) -> T + Sync) -> Vec<T> {
    if has_pool() {
        let indices = (0..count).into_par_iter().with_min_len(least);
        indices.map(&of).collect()
    } else {
        (0..count).map(of).collect()
    }
}

/// What each item comes to, in order; tasks of `least` of them are worth a
/// thread.
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

/// Does work inside the pool: a caller outside it would otherwise be put to
/// sleep and woken for each share.
pub(crate) fn inside<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    if has_pool() {
        rayon::scope(|_| work())
    } else {
        work()
    }
}

/// Whether there is a pool; the first who asks makes one, unless the program
/// has. A pool that is refused its threads would panic, so they come first.
fn has_pool() -> bool {
    *POOL.get_or_init(|| {
        let cores = thread::available_parallelism().map_or(1, usize::from);
        let idle = idle(u32::try_from(cores).unwrap_or(u32::MAX));
        if idle.is_empty() {
            return false;
        }
        // Where this is refused the program has made a pool of its own.
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

/// Up to `count` threads that wait for work. They are started before the pool
/// is: a pool that is refused one thread is no pool at all, and none can follow
/// it.
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
            // Nothing is left of what threads are made of, memory perhaps.
            // Half goes back, so that the work itself has room.
            idle.truncate(idle.len() / 2);
            break;
        }
        idle.push(sender);
    }
    idle
}

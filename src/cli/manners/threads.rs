//! The threads that compute, as many as are to be had.

use super::{failure::Failure, interruption};
use anyhow::anyhow;
use rayon::{ThreadBuilder, ThreadPoolBuilder};
use std::{
    io,
    sync::mpsc::{self, Sender},
    thread,
};

/// No more are ever started, whoever asks.
pub const MOST: u32 = 1024;

/// The environment's word on their number, where `--jobs` says nothing.
pub const VARIABLE: &str = "RAYON_NUM_THREADS";

/// Makes ready to compute with `jobs` threads, else with as many as the
/// environment or the machine names. This thread is one of them; where the
/// system refuses others, it does their work.
pub fn start(jobs: Option<u32>) -> Result<(), Failure> {
    // Whoever takes away half-made files needs a thread before all others.
    interruption::watch();
    let mut idle = idle(jobs.unwrap_or_else(usual).clamp(1, MOST) - 1);
    ThreadPoolBuilder::new()
        .num_threads(idle.len() + 1)
        .use_current_thread()
        .spawn_handler(move |work| {
            let refused = || io::Error::other("no thread is left");
            let thread = idle.pop().ok_or_else(refused)?;
            thread.send(work).map_err(|_| refused())
        })
        .build_global()
        .map_err(|error| Failure::Reported(anyhow!("cannot compute with threads: {error}")))
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

/// As many as the environment names, else as the machine has cores for us.
fn usual() -> u32 {
    let told = std::env::var(VARIABLE).ok();
    let told = told.and_then(|text| text.trim().parse::<u128>().ok());
    let cores = || thread::available_parallelism().map_or(1, |cores| cores.get() as u128);
    let count = told.filter(|count| *count > 0).unwrap_or_else(cores);
    u32::try_from(count).unwrap_or(MOST)
}

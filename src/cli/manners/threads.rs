//! The number of threads that compute.

use super::{failure::Failure, interruption};
use anyhow::anyhow;
use rakelight::parallel;
use std::thread;

/// The most threads that are ever started.
pub const MOST: u32 = 1024;

/// The environment variable with their number, used without `--jobs`.
pub const VARIABLE: &str = "RAYON_NUM_THREADS";

/// Prepares `jobs` threads to compute, else as many as the environment or the
/// machine gives.
pub fn start(jobs: Option<u32>) -> Result<(), Failure> {
    start_for(jobs, usize::MAX, 1)
}

/// The same, but no more than have something to do at so many sites with so many
/// nights each.
pub fn start_for(jobs: Option<u32>, sites: usize, nights: usize) -> Result<(), Failure> {
    // The thread that removes partial files must start before all others.
    interruption::watch();
    let threads = jobs.unwrap_or_else(usual).clamp(1, MOST);
    parallel::start(parallel::useful(threads, sites, nights))
        .map_err(|error| Failure::Reported(anyhow!("cannot compute with threads: {error}")))
}

/// The number in the environment, else the number of available cores.
fn usual() -> u32 {
    let told = std::env::var(VARIABLE).ok();
    let told = told.and_then(|text| text.trim().parse::<u128>().ok());
    let cores = || thread::available_parallelism().map_or(1, |cores| cores.get() as u128);
    let count = told.filter(|count| *count > 0).unwrap_or_else(cores);
    u32::try_from(count).unwrap_or(MOST)
}

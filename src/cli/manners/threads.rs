//! The threads that compute, as many as are to be had.

use super::{failure::Failure, interruption};
use anyhow::anyhow;
use rakelight::parallel;
use std::thread;

/// No more are ever started, whoever asks.
pub const MOST: u32 = 1024;

/// The environment's word on their number, where `--jobs` says nothing.
pub const VARIABLE: &str = "RAYON_NUM_THREADS";

/// Makes ready to compute with `jobs` threads, else with as many as the
/// environment or the machine names.
pub fn start(jobs: Option<u32>) -> Result<(), Failure> {
    // Whoever takes away half-made files needs a thread before all others.
    interruption::watch();
    parallel::start(jobs.unwrap_or_else(usual).clamp(1, MOST))
        .map_err(|error| Failure::Reported(anyhow!("cannot compute with threads: {error}")))
}

/// As many as the environment names, else as the machine has cores for us.
fn usual() -> u32 {
    let told = std::env::var(VARIABLE).ok();
    let told = told.and_then(|text| text.trim().parse::<u128>().ok());
    let cores = || thread::available_parallelism().map_or(1, |cores| cores.get() as u128);
    let count = told.filter(|count| *count > 0).unwrap_or_else(cores);
    u32::try_from(count).unwrap_or(MOST)
}

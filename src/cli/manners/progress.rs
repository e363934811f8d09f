//! The progress of a long scan, shown on standard error.

use rakelight::input::PointsForm;
use std::{
    fs::File,
    io::{self, IsTerminal, Read, Write},
    path::PathBuf,
    sync::{
        Arc, Mutex, MutexGuard, PoisonError,
        atomic::{AtomicUsize, Ordering},
        mpsc::{self, RecvTimeoutError, Sender},
    },
    thread::{self, JoinHandle},
    time::{Duration, Instant},
};

/// Work that takes less time shows no progress.
const PATIENCE: Duration = Duration::from_secs(1);
/// The time between two updates.
const BEAT: Duration = Duration::from_millis(250);

/// Whether the last line of standard error shows progress.
static SHOWN: Mutex<bool> = Mutex::new(false);

/// Counts the sites done and shows the count until it is dropped.
pub struct Progress {
    counts: Arc<Counts>,
    teller: Option<(Sender<()>, JoinHandle<()>)>,
}

#[derive(Default)]
struct Counts {
    sites: AtomicUsize,
    windows: AtomicUsize,
}

impl Progress {
    /// Begins to count the sites of some files. The count is shown if it is
    /// `wanted` and standard error is a terminal.
    pub fn begin(sources: &[PathBuf], wanted: bool) -> Self {
        let counts = Arc::new(Counts::default());
        let wanted = wanted && io::stderr().is_terminal();
        let begin = || {
            let counts = Arc::clone(&counts);
            let sources = sources.to_vec();
            let (stop, stopped) = mpsc::channel();
            let teller = thread::Builder::new().spawn(move || {
                let start = Instant::now();
                let mut wait = PATIENCE;
                let mut total = None;
                while stopped.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
                    let total = total.get_or_insert_with(|| count_sites(&sources));
                    show(&words(&counts, *total, start.elapsed()));
                    wait = BEAT;
                }
            });
            // If there is no thread for it, the work goes on without progress.
            Some((stop, teller.ok()?))
        };
        let teller = if wanted { begin() } else { None };
        Self { counts, teller }
    }

    /// Counts one more site and its windows.
    pub fn site_done(&self, windows: usize) {
        self.counts.sites.fetch_add(1, Ordering::Relaxed);
        self.counts.windows.fetch_add(windows, Ordering::Relaxed);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((stop, teller)) = self.teller.take() {
            drop(stop);
            // If the thread has failed, there is nothing more to show.
            let _ = teller.join();
            erase();
        }
    }
}

fn words(counts: &Counts, total: Option<usize>, elapsed: Duration) -> String {
    let done = counts.sites.load(Ordering::Relaxed);
    let of = match total {
        // The total comes from lines, and quoted line ends make it wrong.
        Some(total) if total >= done => format!(" of {total}"),
        _ => String::new(),
    };
    let windows = match counts.windows.load(Ordering::Relaxed) {
        0 => String::new(),
        windows => format!(", {windows} windows"),
    };
    format!(
        "{done}{of} sites done{windows}, {:.0} s",
        elapsed.as_secs_f64()
    )
}

/// How many sites the files hold; `None` if that cannot be known without
/// consuming them.
fn count_sites(sources: &[PathBuf]) -> Option<usize> {
    sources.iter().map(count_in).sum()
}

fn count_in(path: &PathBuf) -> Option<usize> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    if ending.and_then(PointsForm::of_ending).is_some() {
        return None;
    }
    let table = path
        .extension()
        .is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
    if !table {
        return (path.as_os_str() != "-").then_some(1);
    }
    if !path.is_file() {
        return None;
    }
    let mut file = File::open(path).ok()?;
    let mut buffer = vec![0; 1 << 16];
    let mut lines = 0_usize;
    let mut last = b'\n';
    loop {
        let length = file.read(&mut buffer).ok()?;
        let filled = buffer.get(..length)?;
        let Some(&end) = filled.last() else { break };
        lines += filled.iter().filter(|byte| **byte == b'\n').count();
        last = end;
    }
    let lines = lines + usize::from(last != b'\n');
    Some(lines.saturating_sub(1))
}

fn shown() -> MutexGuard<'static, bool> {
    SHOWN.lock().unwrap_or_else(PoisonError::into_inner)
}

fn show(words: &str) {
    let mut shown = shown();
    // Return to the beginning of the line and clear the rest of it.
    let _ = write!(io::stderr().lock(), "\r{words}\u{1b}[K");
    *shown = true;
}

/// Clears the progress line, so that other messages can use the line.
pub fn erase() {
    let mut shown = shown();
    if *shown {
        let _ = write!(io::stderr().lock(), "\r\u{1b}[K");
        *shown = false;
    }
}

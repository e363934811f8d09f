//! What an interruption leaves behind: whole lines and the old file.

use super::talk::say;
use rakelight::plain_words::printable_path;
use std::{
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

/// The output in progress. A writer holds this lock, so that an interruption
/// comes between two writes and never during one.
static UNDER_WAY: Mutex<UnderWay> = Mutex::new(UnderWay {
    files: Vec::new(),
    closing: None,
    part: None,
});

/// The files being written: the partial file, and the name it will get.
#[derive(Debug)]
pub struct UnderWay {
    files: Vec<(PathBuf, PathBuf)>,
    /// What ends the document on standard output behind what is written.
    closing: Option<String>,
    /// What stays of a file that a later run can go on with.
    part: Option<PathBuf>,
}

impl UnderWay {
    /// From now on an interruption removes `partial`, which will become `wanted`.
    pub fn add(&mut self, partial: &Path, wanted: &Path) {
        self.files.push((partial.to_owned(), wanted.to_owned()));
    }

    /// From now on an interruption ends the document on standard output so, if
    /// it needs an end.
    pub fn close_with(&mut self, closing: Option<String>) {
        self.closing = closing;
    }

    /// From now on an interruption says that `part` stays.
    pub fn keep(&mut self, part: &Path) {
        self.part = Some(part.to_owned());
    }

    /// The file has its name, or nothing of it stays.
    pub fn keep_no_part(&mut self) {
        self.part = None;
    }

    /// The file has its name: there is nothing to remove any more.
    pub fn forget(&mut self, partial: &Path) {
        self.files.retain(|(file, _)| file != partial);
    }
}

/// Holds interruptions back until the guard is dropped.
pub fn held_back() -> MutexGuard<'static, UnderWay> {
    UNDER_WAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What is said of a file that is not written.
pub fn as_it_was(file: &Path, exists: bool) -> String {
    let what = match exists {
        true => "is as it was before",
        false => "was not made",
    };
    format!("{} {what}", printable_path(file))
}

/// What is said of a file that a later run can go on with.
pub fn stays(part: &Path) -> String {
    let part = printable_path(part);
    format!("what is done stays in {part}; the same command goes on")
}

/// Says so if there is such a file.
pub fn say_what_stays() {
    if let Some(part) = &held_back().part {
        say(&format!("rakelight: {}", stays(part)));
    }
}

/// From now on an interruption comes between two writes.
pub fn watch() {
    #[cfg(unix)]
    unix::watch();
}

#[cfg(unix)]
mod unix {
    use super::super::talk::say;
    use super::{UnderWay, as_it_was, held_back, stays};
    use signal_hook::{
        consts::{
            SIGALRM, SIGHUP, SIGINT, SIGPROF, SIGQUIT, SIGTERM, SIGUSR1, SIGUSR2, SIGVTALRM,
            SIGXCPU, SIGXFSZ,
        },
        iterator::Signals,
        low_level::emulate_default_handler,
    };
    use std::{
        fs::File,
        io::{self, Write},
        os::fd::AsFd,
        sync::{Arc, MutexGuard, Once, atomic::AtomicBool, mpsc},
        thread,
        time::Duration,
    };

    /// How long a write may delay an interruption: a reader that has stopped
    /// reading must not keep the program alive.
    const PATIENCE: Duration = Duration::from_secs(2);

    /// The signals that people, systems and batch queues send to end a program.
    const ENDING: [i32; 10] = [
        SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU, SIGUSR1, SIGUSR2, SIGALRM, SIGVTALRM, SIGPROF,
    ];

    pub fn watch() {
        static ONCE: Once = Once::new();
        ONCE.call_once(|| {
            // With this, a limit on file sizes makes a write fail with a message
            // and does not kill the program.
            let _ = signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)));
            let ignored = ignored();
            let watched = ENDING
                .into_iter()
                .filter(|signal| ignored & bit(*signal) == 0);
            // The thread comes first: if a signal is caught and no thread waits
            // for it, it does nothing. If thread or watch fails, an interruption
            // ends the program as it ends any other.
            let (watch, watched_for) = mpsc::channel();
            let watcher = thread::Builder::new().spawn(move || {
                if let Ok(signals) = watched_for.recv() {
                    wait(signals);
                }
            });
            if watcher.is_ok()
                && let Ok(signals) = Signals::new(watched)
            {
                let _ = watch.send(signals);
            }
        });
    }

    /// A signal's bit in a set of signals.
    fn bit(signal: i32) -> u64 {
        let place = u32::try_from(signal - 1).unwrap_or(u32::MAX);
        1_u64.checked_shl(place).unwrap_or(0)
    }

    /// The signals that the program was started to ignore, as under `nohup` and
    /// in a shell's background jobs; it goes on ignoring them.
    ///
    /// Linux lists them (`proc_pid_status(5)`, `SigIgn`). On other systems only
    /// unsafe code could find out, so the result is empty there.
    fn ignored() -> u64 {
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        ignored_in(&status)
    }

    fn ignored_in(status: &str) -> u64 {
        let mut words = status
            .lines()
            .filter_map(|line| line.strip_prefix("SigIgn:"));
        let set = words.next().map(str::trim);
        set.and_then(|set| u64::from_str_radix(set, 16).ok())
            .unwrap_or(0)
    }

    fn wait(mut signals: Signals) {
        let Some(signal) = signals.forever().next() else {
            return;
        };
        let (tidied, wait) = mpsc::channel();
        let tidier = thread::Builder::new().spawn(move || {
            let under_way = tidy();
            let _ = tidied.send(());
            // Holding this stops all writing until the end.
            let _under_way = under_way;
            loop {
                thread::park();
            }
        });
        // If there is no thread for it, this thread tidies, however long it
        // has to wait.
        let _under_way = match tidier {
            Ok(_) => {
                let _ = wait.recv_timeout(PATIENCE);
                None
            }
            Err(_) => Some(tidy()),
        };
        // End by the signal, so that a shell's loop over several runs ends too.
        let _ = emulate_default_handler(signal);
    }

    /// Removes the partial files and reports it; nothing more is written while
    /// the guard lives.
    fn tidy() -> MutexGuard<'static, UnderWay> {
        let mut under_way = held_back();
        for (partial, _) in &under_way.files {
            // It may be gone already.
            let _ = std::fs::remove_file(partial);
        }
        if let Some(closing) = under_way.closing.take() {
            close(&closing);
        }
        let file = under_way.files.pop().map(|(_, wanted)| wanted);
        say(&match (file, &under_way.part) {
            (_, Some(part)) => format!("rakelight: interrupted; {}", stays(part)),
            (Some(file), None) => {
                let left = as_it_was(&file, file.exists());
                format!("rakelight: interrupted; {left}")
            }
            (None, None) => "rakelight: interrupted".to_owned(),
        });
        under_way
    }

    /// Ends the document on standard output, whose lock another thread holds;
    /// nothing is left in its buffer between two writes.
    fn close(closing: &str) {
        if let Ok(output) = io::stdout().as_fd().try_clone_to_owned() {
            // Whoever has gone away needs no end.
            let _ = File::from(output).write_all(closing.as_bytes());
        }
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        /// The lines have the form of proc_pid_status(5).
        #[test]
        fn the_set_of_ignored_signals_is_read() {
            let status =
                "SigBlk:\t0000000000000000\nSigIgn:\t0000000000001001\nSigCgt:\t0000000000004002\n";
            let set = ignored_in(status);
            assert_ne!(set & bit(SIGHUP), 0);
            assert_eq!(set & bit(SIGINT), 0);
            assert_eq!(set & bit(SIGTERM), 0);
            for odd in ["", "SigIgn:", "SigIgn:\tnone"] {
                assert_eq!(ignored_in(odd), 0, "{odd}");
            }
        }
    }
}

//! What an interruption leaves behind: whole lines and the old file.

use std::{
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

/// Data on its way out. Whoever writes holds it, so that an interruption falls
/// between two writes, never into one.
static UNDER_WAY: Mutex<UnderWay> = Mutex::new(UnderWay {
    partial: None,
    wanted: None,
});

/// The file being written.
#[derive(Debug)]
pub struct UnderWay {
    /// Where it grows.
    partial: Option<PathBuf>,
    /// The name it will have.
    wanted: Option<PathBuf>,
}

impl UnderWay {
    /// The file has its name: there is nothing to take away any more.
    pub fn forget(&mut self) {
        self.partial = None;
        self.wanted = None;
    }
}

/// Holds interruptions back until what is returned is dropped.
pub fn held_back() -> MutexGuard<'static, UnderWay> {
    UNDER_WAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on an interruption takes away `partial`, which is to become
/// `wanted`.
pub fn watch_file(partial: &Path, wanted: &Path) {
    let mut under_way = held_back();
    under_way.partial = Some(partial.to_owned());
    under_way.wanted = Some(wanted.to_owned());
    drop(under_way);
    watch();
}

/// From now on an interruption falls between two writes.
pub fn watch() {
    #[cfg(unix)]
    unix::watch();
}

#[cfg(unix)]
mod unix {
    use super::held_back;
    use crate::cli::output::say;
    use signal_hook::{
        consts::{SIGHUP, SIGINT, SIGTERM, SIGXFSZ},
        iterator::Signals,
        low_level::emulate_default_handler,
    };
    use std::{
        sync::{Arc, Once, atomic::AtomicBool, mpsc},
        thread,
        time::Duration,
    };

    /// How long a write may hold up an interruption: a reader that has stopped
    /// reading must not keep the program alive.
    const PATIENCE: Duration = Duration::from_secs(2);

    pub fn watch() {
        static ONCE: Once = Once::new();
        ONCE.call_once(|| {
            // A limit on file sizes is then an error of the write, with a
            // message, and not the end of the program.
            let _ = signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)));
            // Without signals to watch an interruption ends the program as it
            // ends any other.
            if let Ok(signals) = Signals::new([SIGINT, SIGTERM, SIGHUP]) {
                thread::spawn(move || wait(signals));
            }
        });
    }

    fn wait(mut signals: Signals) {
        let Some(signal) = signals.forever().next() else {
            return;
        };
        let (tidied, wait) = mpsc::channel();
        thread::spawn(move || {
            let mut under_way = held_back();
            if let Some(partial) = under_way.partial.take() {
                // It may be gone already.
                let _ = std::fs::remove_file(partial);
            }
            let file = under_way.wanted.take();
            say(&match file {
                Some(file) => format!(
                    "rakelight: interrupted; {} is as it was before",
                    file.display()
                ),
                None => "rakelight: interrupted".to_owned(),
            });
            let _ = tidied.send(());
            // Nothing more is written until the end.
            loop {
                thread::park();
            }
        });
        let _ = wait.recv_timeout(PATIENCE);
        // So that a shell's loop over several runs ends too.
        let _ = emulate_default_handler(signal);
    }
}

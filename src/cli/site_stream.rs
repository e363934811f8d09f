//! Sites as they come: from a file at once, from a pipe now and then.

use super::manners::say;
use rakelight::{
    input::{Faults, Sites, Whence},
    plain_words::printable_path,
    scene::Site,
};
use std::{
    path::PathBuf,
    sync::{
        Arc,
        mpsc::{self, Receiver, RecvTimeoutError, SendError},
    },
    thread,
    time::Duration,
};

/// How long a pipe may rest before its sites so far are answered: hardly longer
/// than a person notices.
pub const GATHERING: Duration = Duration::from_millis(100);
/// How long it may rest before nothing more is expected soon.
const SILENCE: Duration = Duration::from_secs(1);
/// Sites of a pipe that are read ahead, at most.
const AHEAD: usize = 256;

/// Sites, one after the other, wherever they come from; a table is read as the
/// iterator advances.
pub type SiteIter = Box<dyn Iterator<Item = Step> + Send>;

/// What comes next.
pub enum Step {
    /// A site, or what is wrong with one.
    Site(Box<Given>),
    /// A site before those that are asked for.
    Before(Box<Site>),
    /// A pipe rests: what has come is to be answered. The next step may take as
    /// long as the pipe likes.
    Pause,
    /// It still rests.
    Silence,
}

impl Step {
    /// The same for a site that is not asked for itself; a wrong one is nobody's
    /// concern.
    pub fn before(self) -> Option<Self> {
        match self {
            Self::Site(given) => Some(Self::Before(Box::new(given.site.ok()?))),
            other => Some(other),
        }
    }
}

/// A site as it was given.
pub struct Given {
    pub site: Result<Site, Faults>,
    /// The file, as it is called in messages; none for a place that was typed.
    pub file: Option<Arc<str>>,
    /// Where it stands there.
    pub whence: Whence,
    /// Whether others may come much later.
    pub is_live: bool,
}

impl Given {
    /// A site that stands alone, or a file that cannot be read.
    pub fn alone(site: Result<Site, Faults>, file: Option<Arc<str>>) -> Step {
        Step::Site(Box::new(Self {
            site,
            file,
            whence: Whence::default(),
            is_live: false,
        }))
    }
}

/// The sites alone, for a command that answers when it has all.
pub fn alone(sites: SiteIter) -> impl Iterator<Item = Result<Site, Faults>> {
    sites.filter_map(|step| match step {
        Step::Site(given) => Some(given.site),
        Step::Before(_) | Step::Pause | Step::Silence => None,
    })
}

/// The sites of a file; at its end a message says what else it holds.
pub struct Told {
    pub sites: Sites,
    pub path: PathBuf,
    /// What the file is called in messages.
    pub file: Arc<str>,
    pub quiet: bool,
}

impl Iterator for Told {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        let Some(site) = self.sites.next() else {
            if !self.quiet
                && let Some(left_out) = self.sites.left_out()
            {
                // Once: an iterator may be asked again behind its end.
                self.quiet = true;
                let name = printable_path(&self.path);
                say(&format!(
                    "{name}: left out {left_out}; only points are sites"
                ));
            }
            return None;
        };
        Some(Step::Site(Box::new(Given {
            site,
            file: Some(Arc::clone(&self.file)),
            whence: self.sites.whence(),
            is_live: false,
        })))
    }
}

/// The sites of a pipe, which a thread of its own waits for. If the system
/// refuses the thread, they are read like those of a file.
pub fn piped(sites: Told) -> SiteIter {
    let (give, given) = mpsc::sync_channel(AHEAD);
    // The thread comes first: one that is refused would take the sites along.
    let (hand_over, handed_over) = mpsc::channel::<Told>();
    let reader = thread::Builder::new().spawn(move || {
        for step in handed_over.recv().into_iter().flatten() {
            if give.send(step).is_err() {
                break;
            }
        }
    });
    if reader.is_err() {
        return Box::new(sites);
    }
    match hand_over.send(sites) {
        Ok(()) => Box::new(Live {
            given,
            rests: Rests::No,
        }),
        Err(SendError(sites)) => Box::new(sites),
    }
}

/// The sites of a pipe.
struct Live {
    given: Receiver<Step>,
    rests: Rests,
}

/// What was said of a pipe that rests.
#[derive(Clone, Copy)]
enum Rests {
    No,
    Paused,
    Silent,
}

impl Iterator for Live {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        let (patience, rests, step) = match self.rests {
            Rests::No => (GATHERING, Rests::Paused, Step::Pause),
            Rests::Paused => (SILENCE, Rests::Silent, Step::Silence),
            Rests::Silent => {
                self.rests = Rests::No;
                return self.given.recv().ok().map(live);
            }
        };
        match self.given.recv_timeout(patience) {
            Ok(step) => {
                self.rests = Rests::No;
                Some(live(step))
            }
            Err(RecvTimeoutError::Timeout) => {
                self.rests = rests;
                Some(step)
            }
            Err(RecvTimeoutError::Disconnected) => None,
        }
    }
}

/// A step of a pipe.
fn live(mut step: Step) -> Step {
    if let Step::Site(given) = &mut step {
        given.is_live = true;
    }
    step
}

//! A file that several runs write, one after the other: what is done stands
//! beside it, with a record of how far that is.

use super::{
    failure::Failure,
    interruption,
    lines::GATHERED,
    output::judged,
    overwrite_guard::{self, Replaces},
    plain::Plain,
    record_of_progress::{Asked, Progress, SitesDone},
    talk::say,
    write_error::{named, refused, write_error},
};
use flate2::Crc;
use rakelight::{plain_words::printable_path, scene::ValueError};
use std::{
    cell::Cell,
    ffi::OsString,
    fs::{self, File},
    io::{self, ErrorKind, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
    rc::Rc,
    time::{Duration, Instant},
};

/// What is done is put on the disk as often as that: a crash costs no more, and
/// the disk is not kept waiting for it.
const OFTEN: Duration = Duration::from_secs(1);

/// A file that is given its name when everything is in it. Until then it is
/// called FILE.part; FILE.progress tells how much of it stands.
pub struct Part {
    /// The path as given.
    path: PathBuf,
    /// The file it leads to.
    real: PathBuf,
    part: PathBuf,
    record: PathBuf,
    file: Plain<Summed>,
    asked: Asked,
    sites: Sites,
    /// When the record was written.
    recorded: Option<Instant>,
}

/// The sites that are done, for whoever reads and answers them.
#[derive(Clone)]
pub struct Sites {
    now: Rc<Cell<SitesDone>>,
    /// Those that are done at the beginning.
    pub before: SitesDone,
    part: PathBuf,
}

impl Sites {
    /// How far they are done now.
    pub fn now(&self) -> SitesDone {
        self.now.get()
    }

    /// From now on so far.
    pub fn set(&self, done: SitesDone) {
        self.now.set(done);
    }

    /// Fails if the sites that are done are not those that were done before.
    pub fn check(&self) -> Result<(), Failure> {
        let (now, before) = (self.now(), self.before);
        if (now.sites, now.sum) == (before.sites, before.sum) {
            return Ok(());
        }
        // The same command would not go on.
        interruption::held_back().keep_no_part();
        let count = before.sites;
        let expected = format!("the {count} sites that are done, with the same rules");
        Err(cannot_go_on(
            &self.part,
            "other sites",
            &expected,
            "give the same sites",
        ))
    }
}

/// The failure of a run that cannot go on.
fn cannot_go_on(part: &Path, found: &str, expected: &str, remedy: &str) -> Failure {
    let anew = format!("{remedy}, or take this file away to begin anew");
    let error = ValueError::new(found, expected).with_remedy(anew);
    Failure::Reported(refused(part, error))
}

impl Part {
    /// The file at `path`, for text: what an earlier run of the same question
    /// left is kept.
    pub fn open(path: &Path, asked: Asked, quiet: bool) -> Result<Self, Failure> {
        let way = judged(path, Replaces::Nothing)?;
        if way.old.as_ref().is_some_and(|old| !old.is_file()) {
            let found = "a device or a named pipe";
            let error = ValueError::new(found, "a file, of which a part can stay")
                .with_remedy("leave --resume out");
            return Err(Failure::Reported(refused(path, error)));
        }
        let real = way.real();
        let (part, record) = (beside(&real, ".part"), beside(&real, ".progress"));
        for own in [&part, &record] {
            overwrite_guard::check(own, std::slice::from_ref(own), Replaces::Nothing)?;
        }
        interruption::watch();
        let refuse = |error: &io::Error| Failure::Reported(write_error(&part, error));
        let mut file = opened(&part).map_err(|error| refuse(&error))?;
        if !is_locked(&file) || !overwrite_guard::is_at(&file, &part) {
            let error = ValueError::new("a run that is writing it", "one run at a time")
                .with_remedy("wait until it ends, or give another after -o");
            return Err(Failure::Reported(refused(&part, error)));
        }
        let length = file.metadata().map_err(|error| refuse(&error))?.len();
        let progress = match fs::read_to_string(&record) {
            _ if length == 0 => Progress::default(),
            Ok(text) => asked
                .progress_in(&text)
                .map_err(|(found, expected, remedy)| {
                    cannot_go_on(&part, found, &expected, &remedy)
                })?,
            Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::InvalidData) => {
                let found = "a file without a record of how far it is";
                let expected = format!("{} beside it", printable_path(&record));
                return Err(cannot_go_on(&part, found, &expected, "put it back"));
            }
            Err(error) => return Err(Failure::Reported(write_error(&record, &error))),
        };
        let sum = Sum::of(&mut file, progress.bytes).map_err(|error| refuse(&error))?;
        if (sum.bytes, sum.crc.sum()) != (progress.bytes, progress.sum) {
            let expected = format!("the {} bytes that were written to it", progress.bytes);
            return Err(cannot_go_on(
                &part,
                "a file that was changed",
                &expected,
                "put them back",
            ));
        }
        interruption::held_back().keep(&part);
        if progress.done.sites > 0 && !quiet {
            let (count, part) = (progress.done.sites, printable_path(&part));
            say(&format!("{part}: {count} sites are done; going on"));
        }
        let opened = Self {
            path: path.to_owned(),
            real,
            sites: Sites {
                now: Rc::new(Cell::new(SitesDone {
                    found: progress.done.found,
                    ..SitesDone::default()
                })),
                before: progress.done,
                part: part.clone(),
            },
            part,
            record,
            file: Plain::new(
                Summed {
                    file,
                    sum,
                    is_cut: false,
                },
                true,
            ),
            asked,
            recorded: None,
        };
        if progress == Progress::default() {
            // Nobody else's: the next run may go on.
            let written = opened.write_record(progress);
            written.map_err(|error| Failure::Reported(write_error(&opened.record, &error)))?;
        }
        Ok(opened)
    }

    /// The sites that are done.
    pub fn sites(&self) -> Sites {
        self.sites.clone()
    }

    /// Whether nothing stands in it yet.
    pub fn is_new(&self) -> bool {
        self.sites.before == SitesDone::default()
    }

    /// Puts what is done on the disk, if it is time.
    pub fn pass_on(&mut self) -> io::Result<()> {
        if self.recorded.is_some_and(|at| at.elapsed() < OFTEN) {
            return Ok(());
        }
        self.flush()?;
        let Summed { file, sum, .. } = self.file.inner();
        file.sync_data()
            .map_err(|error| named(&self.part, &error))?;
        let progress = Progress {
            done: self.sites.now(),
            bytes: sum.bytes,
            sum: sum.crc.sum(),
        };
        self.write_record(progress)
            .map_err(|error| named(&self.record, &error))?;
        self.recorded = Some(Instant::now());
        Ok(())
    }

    /// Replaces the record: it is the old or the new one wherever a crash comes.
    fn write_record(&self, progress: Progress) -> io::Result<()> {
        let new = beside(&self.record, ".new");
        // An interruption waits for it.
        let _held_back = interruption::held_back();
        let mut file = File::create(&new)?;
        file.write_all(self.asked.record(progress).as_bytes())?;
        file.sync_data()?;
        drop(file);
        fs::rename(&new, &self.record)
    }

    /// Gives the file its name; there is nothing to go on with any more.
    pub fn finish(self) -> Result<(), Failure> {
        let refuse = |error: &io::Error| Failure::Reported(write_error(&self.path, error));
        let mut summed = self.file.into_inner().map_err(|error| refuse(&error))?;
        summed.cut().map_err(|error| refuse(&error))?;
        let file = summed.file;
        file.sync_all().map_err(|error| refuse(&error))?;
        judged(&self.path, Replaces::Nothing)?;
        let real = std::slice::from_ref(&self.real);
        overwrite_guard::check(&self.path, real, Replaces::Nothing)?;
        let mut under_way = interruption::held_back();
        if cfg!(unix) {
            // Nobody else may have it before it has its name.
            fs::rename(&self.part, &self.real).map_err(|error| refuse(&error))?;
            drop(file);
        } else {
            // Some systems only rename a file that is closed.
            drop(file);
            fs::rename(&self.part, &self.real).map_err(|error| refuse(&error))?;
        }
        under_way.keep_no_part();
        // A record without its file is none.
        let _ = fs::remove_file(&self.record);
        Ok(())
    }

    /// Takes away what is worth nothing.
    pub fn give_up(self, quiet: bool) {
        let mut under_way = interruption::held_back();
        under_way.keep_no_part();
        let _ = fs::remove_file(&self.part);
        let _ = fs::remove_file(&self.record);
        drop(under_way);
        if !quiet {
            let left = interruption::as_it_was(&self.path, self.real.exists());
            say(&format!("rakelight: {left}"));
        }
    }
}

impl Write for Part {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.file.write(bytes);
        written.map_err(|error| named(&self.part, &error))
    }

    fn flush(&mut self) -> io::Result<()> {
        let flushed = self.file.flush();
        flushed.map_err(|error| named(&self.part, &error))
    }
}

/// A file, and the sum of what was written to it.
struct Summed {
    file: File,
    sum: Sum,
    /// Whether nothing stands in it but what the sum is of.
    is_cut: bool,
}

impl Summed {
    /// Cuts off what a crash may have left behind the record, once it is sure
    /// that the run goes on: one that is refused changes nothing.
    fn cut(&mut self) -> io::Result<()> {
        if !self.is_cut {
            self.file.set_len(self.sum.bytes)?;
            self.file.seek(SeekFrom::End(0))?;
            self.is_cut = true;
        }
        Ok(())
    }
}

/// How many bytes there are, and their sum.
struct Sum {
    crc: Crc,
    bytes: u64,
}

impl Sum {
    /// That of the first bytes of a file, `most` of them.
    fn of(file: &mut File, most: u64) -> io::Result<Self> {
        let mut sum = Self {
            crc: Crc::new(),
            bytes: 0,
        };
        file.seek(SeekFrom::Start(0))?;
        let mut some = vec![0; GATHERED];
        let mut file = file.take(most);
        loop {
            match file.read(&mut some)? {
                0 => return Ok(sum),
                read => sum.add(some.get(..read).unwrap_or_default()),
            }
        }
    }

    fn add(&mut self, bytes: &[u8]) {
        self.crc.update(bytes);
        self.bytes += bytes.len() as u64;
    }
}

impl Write for Summed {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.cut()?;
        let written = self.file.write(bytes)?;
        self.sum.add(bytes.get(..written).unwrap_or_default());
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// The path with `more` behind its name.
fn beside(path: &Path, more: &str) -> PathBuf {
    let mut name = OsString::from(path);
    name.push(more);
    name.into()
}

/// Opens the file to go on with, or makes it.
fn opened(path: &Path) -> io::Result<File> {
    let mut options = File::options();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(windows)]
    {
        use std::os::windows::fs::OpenOptionsExt;
        // Nobody else may open it meanwhile.
        options.share_mode(0);
    }
    options.open(path)
}

/// Whether no other run writes to the file; the system ends the lock with the
/// program, however that ends.
#[cfg(unix)]
fn is_locked(file: &File) -> bool {
    use rustix::{
        fs::{FlockOperation, flock},
        io::Errno,
    };
    // A file system without locks must not keep anybody from writing.
    flock(file, FlockOperation::NonBlockingLockExclusive) != Err(Errno::WOULDBLOCK)
}

#[cfg(not(unix))]
fn is_locked(_: &File) -> bool {
    true
}

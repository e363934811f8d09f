//! The sites of a scan. They are read in chunks, computed on all cores and
//! answered in the order of the input, and their errors are reported.

use super::{
    args::Here,
    asked_rules::AskedRules,
    at_once::{Answered, MOST_SITES, answers, pass_over, sites_at_once},
    inputs,
    manners::{
        Failure, Outcome, Share, Sites, progress::Progress, record_of_progress::SitesDone, say,
    },
    namesakes::Namesakes,
    shared_rules::SharedRules,
    site_stream::{GATHERING, Given, SiteIter, Step},
    weather::Weather,
};
use rakelight::{
    input::Faults,
    parallel,
    report::{LeftOutSite, SiteId, SiteIds},
    scene::{Dates, Site, Zone},
};
use std::{collections::BTreeSet, sync::Arc, time::Instant};

pub use super::at_once::Ready;

/// A writer of the answers, in the order of the input.
pub trait Writer {
    /// What is found at a site.
    type Answer: Send;

    /// Windows in an answer, for the progress line.
    fn windows(_answer: &Self::Answer) -> usize {
        0
    }

    /// Writes or keeps the next answer.
    fn take(&mut self, answer: Self::Answer) -> Result<(), Failure>;

    /// Whether anything was found so far: a run that goes on takes it over from
    /// the one before. `None` if nobody can go on with it.
    fn found(&mut self) -> Option<&mut bool>;

    /// Lets whoever reads the output have the answers so far: others may come
    /// much later.
    fn pass_on(&mut self) -> Result<(), Failure> {
        Ok(())
    }

    /// Takes note of a site that was left out.
    fn left_out(&mut self, _site: LeftOutSite) {}

    /// Ends what is written so far where the run ends early, for this reason.
    fn stop(self, _reason: &str) -> Result<(), Failure>
    where
        Self: Sized,
    {
        Ok(())
    }

    /// Writes what comes after the last answer; the result says whether
    /// anything was found.
    fn end(self) -> Result<bool, Failure>;
}

/// How the sites of a batch are read.
#[derive(Debug)]
pub struct Reading {
    /// Whether sites that cannot be read are left out.
    pub keep_going: bool,
    /// Whether to print nothing about sites that can be read.
    pub quiet: bool,
    /// Whether the answer tells which sites were left out.
    pub lists_left_out: bool,
    /// Whether to say at the end what holds for the whole run.
    pub closing: bool,
    /// What distinguishes a site from earlier ones that are the same, where that
    /// is needed.
    pub ids: Option<SiteIds>,
    /// What was asked that only counts: without it a scan says why nothing was
    /// found.
    pub counts_by: Option<&'static str>,
}

/// The sites of a scan in the order of the input, read as they are needed.
pub struct Batch<'a> {
    sites: SiteIter,
    rules: SharedRules<'a>,
    reading: Reading,
    /// Errors that are not yet reported.
    faults: Faults,
    /// How many sites were left out so far, of how many.
    share: Share,
    /// Those of them that the writer has not been told of.
    left_out: Vec<LeftOutSite>,
    namesakes: Namesakes,
    all_read: bool,
    /// Whether the sites read last came from a pipe that may rest.
    is_live: bool,
    /// Sites already read, to know the first site's zone.
    ahead: Option<Vec<Ready>>,
    /// The evenings that are asked about, once they are known.
    dates: Option<Dates>,
    /// What the command line gives to each site.
    weather: Weather,
    /// The sites that are done, if a later run can go on.
    done: Option<Sites>,
}

impl<'a> Batch<'a> {
    /// Reads the first chunk; [`Batch::check`] reports its errors.
    pub fn begin(sites: SiteIter, asked_rules: &'a AskedRules, reading: Reading) -> Self {
        let mut batch = Self {
            sites,
            rules: SharedRules::new(asked_rules),
            reading,
            faults: Faults::default(),
            share: Share::default(),
            left_out: Vec::new(),
            namesakes: Namesakes::default(),
            all_read: false,
            is_live: false,
            ahead: None,
            dates: None,
            weather: Weather::default(),
            done: None,
        };
        // Where the first good site is must be known, however long it takes.
        loop {
            let chunk = batch.read();
            let is_known = !chunk.is_empty() || batch.all_read || !batch.reading.keep_going;
            if is_known || batch.check().is_err() {
                batch.ahead = Some(chunk);
                return batch;
            }
        }
    }

    /// Where the first site is, which decides the date of "today".
    pub fn here(&self) -> Here {
        let first = self.ahead.as_ref().and_then(|chunk| chunk.first());
        let site = first.map(|ready| &ready.site);
        Here {
            zone: site.map_or(Zone::UTC, |site| site.zone),
            longitude_deg: site.map_or(0.0, |site| site.longitude_deg),
        }
    }

    /// Says from now on where the allowed times of a site do not reach over all
    /// of these evenings, and gives each site its weather.
    pub fn over(&mut self, dates: Dates, weather: Weather) {
        self.dates = Some(dates);
        self.weather = weather;
    }

    /// How many good sites there are, where all are read already.
    pub fn known_sites(&self) -> Option<usize> {
        let read = self.ahead.as_ref().map_or(0, Vec::len);
        self.all_read.then_some(read)
    }

    /// From now on these are the sites that are done: those that were done before
    /// are not answered again.
    pub fn goes_on(&mut self, done: Sites) {
        self.done = Some(done);
    }

    /// Fails if a site read so far has errors and bad sites are not to be left
    /// out; it first reads all the others, so that one run reports all errors.
    /// If bad sites are to be left out, it reports them at once.
    pub fn check(&mut self) -> Result<(), Failure> {
        if self.faults.0.is_empty() {
            return Ok(());
        }
        if self.reading.keep_going {
            say(&std::mem::take(&mut self.faults).to_string());
            return Ok(());
        }
        for step in self.sites.by_ref() {
            let site = match step {
                Step::Site(given) => given.site,
                Step::Before(_) | Step::Pause => continue,
                // Who feeds the pipe by hand wants to know now.
                Step::Silence => break,
            };
            if let Err(wrong) = site.and_then(|site| self.rules.at(&site)) {
                self.faults.extend(wrong);
            }
        }
        Err(std::mem::take(&mut self.faults).into())
    }

    /// Computes the `answer` at every site, on all cores, and gives the answers
    /// to the writer in the order of the input.
    pub fn ask<W: Writer>(
        &mut self,
        progress: Progress,
        answer: impl Fn(Ready) -> Result<W::Answer, Failure> + Sync,
        mut writer: W,
    ) -> Result<Outcome, Failure> {
        if let (Some(done), Some(found)) = (&self.done, writer.found()) {
            *found = done.before.found;
        }
        if let Err(failure) = self.answer_all(&progress, answer, &mut writer) {
            if let Failure::Reported(error) = &failure {
                // The first failure is the one to tell.
                let _ = writer.stop(&format!("{error:#}"));
            }
            return Err(failure);
        }
        // The progress line makes room for what comes at the end.
        drop(progress);
        if !self.reading.quiet {
            self.weather.say();
        }
        let found = writer.end()?;
        if self.reading.closing {
            // Of sites that could not be read nothing is known.
            if let (false, Some(by)) = (found || self.share.is_all(), self.reading.counts_by) {
                say(&format!(
                    "No window at any site in these evenings; without {by} the scan says why."
                ));
            }
            self.namesakes.say();
        }
        let outcome = Outcome::of_search(found);
        if self.share.left_out > 0 && self.reading.closing {
            say(&self.share.to_string());
        }
        Ok(self.share.outcome(outcome))
    }

    fn answer_all<W: Writer>(
        &mut self,
        progress: &Progress,
        answer: impl Fn(Ready) -> Result<W::Answer, Failure> + Sync,
        writer: &mut W,
    ) -> Result<(), Failure> {
        // The views of a place lack the same.
        let mut said: Option<Arc<Site>> = None;
        // A file of times for every site is told once.
        let mut short: BTreeSet<String> = BTreeSet::new();
        loop {
            let chunk = self.next(progress)?;
            for site in self.left_out.drain(..) {
                writer.left_out(site);
            }
            if chunk.is_empty() {
                return Ok(());
            }
            let mut chunk = chunk.into_iter().peekable();
            while let Some(first) = chunk.peek() {
                let nights = self.nights() * first.rules.len();
                let together = sites_at_once(nights, parallel::threads());
                let mut some: Vec<Ready> = chunk.by_ref().take(together).collect();
                if let [alone] = some.as_mut_slice() {
                    alone.is_alone = true;
                }
                let mut done = self.done.as_ref().map(Sites::now);
                for answered in answers::<W>(some, progress, done.is_some(), &answer) {
                    let Answered {
                        site,
                        rules,
                        number,
                        sum,
                        answer,
                    } = answered;
                    let answer = answer?;
                    if let (Some(dates), false) = (self.dates, self.reading.quiet) {
                        for rules in &rules {
                            short.extend(inputs::say_short_times(&site, rules, dates, &short));
                        }
                    }
                    let is_said = said
                        .as_ref()
                        .is_some_and(|before| before.shares_place(&site));
                    if !self.reading.quiet && !is_said {
                        inputs::say_found_zone(&site);
                        said = Some(site);
                    }
                    writer.take(answer)?;
                    done = done.map(|done| done.with(number, sum));
                }
                if let (Some(sites), Some(done)) = (&self.done, done) {
                    let found = writer.found().is_some_and(|found| *found);
                    sites.set(SitesDone { found, ..done });
                }
                if self.is_live || self.done.is_some() {
                    writer.pass_on()?;
                }
            }
        }
    }

    /// The nights that are asked about at each site.
    fn nights(&self) -> usize {
        let nights = self.dates.map_or(1, |dates| dates.count());
        usize::try_from(nights).unwrap_or(usize::MAX)
    }

    /// The next sites with their rules; none when all are done.
    fn next(&mut self, progress: &Progress) -> Result<Vec<Ready>, Failure> {
        loop {
            let mut chunk = match self.ahead.take() {
                Some(chunk) => chunk,
                None => self.read(),
            };
            self.check()?;
            for ready in &mut chunk {
                // Nobody else has it yet.
                if let Some(site) = Arc::get_mut(&mut ready.site) {
                    self.weather.give(site);
                }
            }
            if let Some(done) = &self.done {
                pass_over(&mut chunk, self.all_read, done, progress)?;
            }
            if !chunk.is_empty() || self.all_read {
                return Ok(chunk);
            }
        }
    }

    fn read(&mut self) -> Vec<Ready> {
        let mut chunk = Vec::new();
        let mut until: Option<Instant> = None;
        self.is_live = false;
        while chunk.len() < MOST_SITES && self.faults.0.len() < MOST_SITES {
            let mut given = match self.sites.next() {
                Some(Step::Site(given)) => *given,
                Some(Step::Before(site)) => {
                    if let Some(ids) = &mut self.reading.ids {
                        ids.of(&site);
                    }
                    continue;
                }
                // With nothing to answer there is nothing to do but wait.
                Some(_) if chunk.is_empty() && self.faults.0.is_empty() => continue,
                Some(_) => break,
                None => {
                    self.all_read = true;
                    break;
                }
            };
            self.share.sites += 1;
            self.is_live |= given.is_live;
            let site = std::mem::replace(&mut given.site, Err(Faults::default()));
            let ready = site.and_then(|site| Ok((self.rules.at(&site)?, site)));
            // They are told at the end, if anything is.
            if let (Ok((_, site)), true) = (&ready, self.reading.closing) {
                self.namesakes.note(site, &given);
            }
            match ready {
                Ok((rules, site)) => chunk.push(Ready {
                    id: match &mut self.reading.ids {
                        Some(ids) => ids.of(&site),
                        None => SiteId::of(&site),
                    },
                    rules,
                    site: Arc::new(site),
                    number: self.share.sites,
                    is_alone: false,
                }),
                Err(wrong) => {
                    self.share.left_out += 1;
                    if self.reading.lists_left_out {
                        self.left_out.push(left_out(given, &wrong));
                    }
                    self.faults.extend(wrong);
                }
            }
            // Sites that trickle in are answered after a while, too.
            if self.is_live {
                let until = until.get_or_insert_with(|| Instant::now() + GATHERING);
                if Instant::now() >= *until {
                    break;
                }
            }
        }
        chunk
    }
}

/// A site that is left out for what is wrong.
fn left_out(given: Given, wrong: &Faults) -> LeftOutSite {
    // A file that is one site has its line in what is wrong with it.
    let first = wrong.0.first();
    let first = first.filter(|fault| given.file.as_deref() == Some(&fault.file));
    LeftOutSite {
        file: given.file.map(|file| file.to_string()),
        line: given.whence.line.or(first.and_then(|fault| fault.line)),
        name: given.whence.name,
        message: wrong.to_string(),
    }
}

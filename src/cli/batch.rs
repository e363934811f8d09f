//! The sites of a scan. They are read in chunks, computed on all cores and
//! answered in the order of the input, and their errors are reported.

use super::{
    args::Here,
    asked_rules::AskedRules,
    at_once::{Answered, answers, pass_over, sites_at_once},
    chunks::{Chunk, Chunks, Wait},
    inputs,
    manners::{Failure, Outcome, Sites, progress::Progress, record_of_progress::SitesDone, say},
    site_stream::SiteIter,
    weather::Weather,
};
use rakelight::{
    parallel,
    report::LeftOutSite,
    scene::{Dates, Site, Zone},
};
use std::{collections::BTreeSet, sync::Arc};

pub use super::{at_once::Ready, chunks::Reading};

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

/// The sites of a scan in the order of the input.
pub struct Batch<'a> {
    chunks: Chunks<'a>,
    /// Sites already read: the first, to know their zone, and those that were
    /// read while others were computed.
    ahead: Option<Chunk>,
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
            chunks: Chunks::new(sites, asked_rules, reading),
            ahead: None,
            dates: None,
            weather: Weather::default(),
            done: None,
        };
        // Where the first good site is must be known, however long it takes.
        loop {
            let chunk = batch.chunks.read(Wait::ForSites);
            let is_known = !chunk.ready.is_empty()
                || batch.chunks.all_read
                || !batch.chunks.reading.keep_going;
            if is_known || batch.chunks.check().is_err() {
                batch.ahead = Some(chunk);
                return batch;
            }
        }
    }

    /// Where the first site is, which decides the date of "today".
    pub fn here(&self) -> Here {
        let first = self.ahead.as_ref().and_then(|chunk| chunk.ready.first());
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
        let read = self.ahead.as_ref().map_or(0, |chunk| chunk.ready.len());
        self.chunks.all_read.then_some(read)
    }

    /// From now on these are the sites that are done: those that were done before
    /// are not answered again.
    pub fn goes_on(&mut self, done: Sites) {
        self.done = Some(done);
    }

    /// Reports what is wrong with sites read so far, as [`Chunks::check`] does.
    pub fn check(&mut self) -> Result<(), Failure> {
        self.chunks.check()
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
        if !self.chunks.reading.quiet {
            self.weather.say();
        }
        let found = writer.end()?;
        if self.chunks.reading.closing {
            // Of sites that could not be read nothing is known.
            if let (false, Some(by)) = (
                found || self.chunks.share.is_all(),
                self.chunks.reading.counts_by,
            ) {
                say(&format!(
                    "No window at any site in these evenings; without {by} the scan says why."
                ));
            }
            self.chunks.namesakes.say();
        }
        let outcome = Outcome::of_search(found);
        if self.chunks.share.left_out > 0 && self.chunks.reading.closing {
            say(&self.chunks.share.to_string());
        }
        Ok(self.chunks.share.outcome(outcome))
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
            let Chunk { ready, is_live } = self.next(progress)?;
            for site in self.chunks.left_out.drain(..) {
                writer.left_out(site);
            }
            if ready.is_empty() {
                return Ok(());
            }
            let mut chunk = ready.into_iter().peekable();
            while let Some(first) = chunk.peek() {
                let nights = self.nights() * first.rules.len();
                let together = sites_at_once(nights, parallel::threads());
                let mut some: Vec<Ready> = chunk.by_ref().take(together).collect();
                if let [alone] = some.as_mut_slice() {
                    alone.is_alone = true;
                }
                let mut done = self.done.as_ref().map(Sites::now);
                let summed = done.is_some();
                let compute = || answers::<W>(some, progress, summed, &answer);
                // Whoever feeds a pipe waits for these answers first.
                let reads_on = chunk.peek().is_none() && !is_live && !self.chunks.all_read;
                let answered = if reads_on {
                    let chunks = &mut self.chunks;
                    let read = || chunks.read(Wait::No);
                    let (answered, ahead) = rayon::join(compute, read);
                    self.ahead = Some(ahead);
                    answered
                } else {
                    compute()
                };
                for answered in answered {
                    let Answered {
                        site,
                        rules,
                        number,
                        sum,
                        answer,
                    } = answered;
                    let answer = answer?;
                    if let (Some(dates), false) = (self.dates, self.chunks.reading.quiet) {
                        for rules in &rules {
                            short.extend(inputs::say_short_times(&site, rules, dates, &short));
                        }
                    }
                    let is_said = said
                        .as_ref()
                        .is_some_and(|before| before.shares_place(&site));
                    if !self.chunks.reading.quiet && !is_said {
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
                let others_rest = self.ahead.as_ref().is_some_and(|ahead| ahead.is_live);
                if is_live || others_rest || self.done.is_some() {
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
    fn next(&mut self, progress: &Progress) -> Result<Chunk, Failure> {
        loop {
            let mut chunk = match self.ahead.take() {
                Some(chunk) => chunk,
                None => self.chunks.read(Wait::ForSites),
            };
            self.chunks.check()?;
            let ready = &mut chunk.ready;
            for ready in ready.iter_mut() {
                // Nobody else has it yet.
                if let Some(site) = Arc::get_mut(&mut ready.site) {
                    self.weather.give(site);
                }
            }
            if let Some(done) = &self.done {
                pass_over(ready, self.chunks.all_read, done, progress)?;
            }
            if !ready.is_empty() || self.chunks.all_read {
                return Ok(chunk);
            }
        }
    }
}

//! Sites read in chunks, with their rules; what is wrong with them is reported.

use super::{
    asked_rules::AskedRules,
    at_once::{MOST_SITES, Ready},
    manners::{Failure, Share, say},
    namesakes::Namesakes,
    shared_rules::SharedRules,
    site_stream::{GATHERING, Given, SiteIter, Step},
};
use rakelight::{
    input::Faults,
    report::{LeftOutSite, SiteId, SiteIds},
};
use std::{sync::Arc, time::Instant};

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

/// What to do while a pipe rests that has given nothing yet.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Wait {
    ForSites,
    /// Others are still to be answered.
    No,
}

/// Sites that were read at once.
pub struct Chunk {
    pub ready: Vec<Ready>,
    /// Whether a pipe gave some of them, or rests, so that the next may come much
    /// later.
    pub is_live: bool,
}

/// The sites of a scan in the order of the input, read as they are needed.
pub struct Chunks<'a> {
    sites: SiteIter,
    rules: SharedRules<'a>,
    pub reading: Reading,
    /// Errors that are not yet reported.
    faults: Faults,
    /// How many sites were left out so far, of how many.
    pub share: Share,
    /// Those of them that the writer has not been told of.
    pub left_out: Vec<LeftOutSite>,
    pub namesakes: Namesakes,
    pub all_read: bool,
}

impl<'a> Chunks<'a> {
    /// None is read yet.
    pub fn new(sites: SiteIter, asked_rules: &'a AskedRules, reading: Reading) -> Self {
        Self {
            sites,
            rules: SharedRules::new(asked_rules),
            reading,
            faults: Faults::default(),
            share: Share::default(),
            left_out: Vec::new(),
            namesakes: Namesakes::default(),
            all_read: false,
        }
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

    /// Reads the next sites, as many as are computed before the next are read.
    pub fn read(&mut self, wait: Wait) -> Chunk {
        let mut chunk = Vec::new();
        let mut until: Option<Instant> = None;
        let mut is_live = false;
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
                Some(_)
                    if wait == Wait::ForSites && chunk.is_empty() && self.faults.0.is_empty() =>
                {
                    continue;
                }
                Some(_) => {
                    is_live = true;
                    break;
                }
                None => {
                    self.all_read = true;
                    break;
                }
            };
            self.share.sites += 1;
            is_live |= given.is_live;
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
            if is_live {
                let until = until.get_or_insert_with(|| Instant::now() + GATHERING);
                if Instant::now() >= *until {
                    break;
                }
            }
        }
        Chunk {
            ready: chunk,
            is_live,
        }
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

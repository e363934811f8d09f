//! The sites of a scan, a chunk at a time, with what is wrong with them.

use super::{
    Outcome,
    failure::Failure,
    inputs::{self, SiteIter, Wishes},
    output::say,
};
use rakelight::{
    input::Faults,
    rule::Rules,
    scene::{Site, Zone},
};
use std::sync::Arc;

/// Sites worked on before their results are written. Enough to keep every core
/// busy, few enough that memory stays the same for any number of sites.
const CHUNK: usize = 256;

/// A site with its rules.
pub type Ready = (Arc<Site>, Arc<Rules>);

/// The sites of a scan in the order of the input, read as they are needed.
pub struct Batch<'a> {
    sites: SiteIter,
    wishes: &'a Wishes,
    keep_going: bool,
    /// What is wrong and not yet told.
    faults: Faults,
    /// Whether a site was left out.
    left_out: bool,
    all_read: bool,
    /// Read to know the first site's zone.
    ahead: Option<Vec<Ready>>,
}

impl<'a> Batch<'a> {
    /// Reads the first chunk; nothing in it is judged yet.
    pub fn begin(sites: SiteIter, wishes: &'a Wishes, keep_going: bool) -> Self {
        let mut batch = Self {
            sites,
            wishes,
            keep_going,
            faults: Faults::default(),
            left_out: false,
            all_read: false,
            ahead: None,
        };
        batch.ahead = Some(batch.read());
        batch
    }

    /// The first site's zone, in which "today" is meant.
    pub fn zone(&self) -> Zone {
        let first = self.ahead.as_ref().and_then(|chunk| chunk.first());
        first.map_or(Zone::UTC, |(site, _)| site.zone)
    }

    /// Fails where something so far read is wrong and bad sites are not to be
    /// left out; reads on first, so that all faults are told in one run. Where
    /// they are to be left out it tells of them at once.
    pub fn check(&mut self) -> Result<(), Failure> {
        if self.faults.0.is_empty() {
            return Ok(());
        }
        if self.keep_going {
            self.left_out = true;
            say(&std::mem::take(&mut self.faults).to_string());
            return Ok(());
        }
        while let Some(next) = self.sites.next() {
            if let Err(wrong) = next.and_then(|site| ready(self.wishes, site).map(|_| ())) {
                self.faults.extend(wrong);
            }
        }
        Err(std::mem::take(&mut self.faults).into())
    }

    /// The next sites with their rules; none when all are done.
    pub fn next(&mut self) -> Result<Vec<Ready>, Failure> {
        loop {
            let chunk = match self.ahead.take() {
                Some(chunk) => chunk,
                None => self.read(),
            };
            self.check()?;
            if !chunk.is_empty() || self.all_read {
                return Ok(chunk);
            }
        }
    }

    /// How a scan that came to its end with `outcome` ends.
    pub fn end(&self, outcome: Outcome) -> Outcome {
        if self.left_out {
            Outcome::LeftOut
        } else {
            outcome
        }
    }

    fn read(&mut self) -> Vec<Ready> {
        let mut chunk = Vec::new();
        while chunk.len() < CHUNK && self.faults.0.len() < CHUNK {
            let Some(next) = self.sites.next() else {
                self.all_read = true;
                break;
            };
            match next.and_then(|site| ready(self.wishes, site)) {
                Ok(ready) => chunk.push(ready),
                Err(wrong) => self.faults.extend(wrong),
            }
        }
        chunk
    }
}

fn ready(wishes: &Wishes, site: Site) -> Result<Ready, Faults> {
    inputs::rules(wishes, &site).map(|rules| (Arc::new(site), Arc::new(rules)))
}

//! The windows of each site, or of all together, in order of rank.

use super::{
    ahead::Ahead,
    circumstances::Circumstances,
    layout::{Answer, Layout, SitePage},
    pages::Pages,
    question::{ReasonsAsked, WindowsAsked},
    reasons::Reasons,
    together::Together,
};
use crate::cli::{
    args::Format,
    batch::{Ready, Writer},
    explain,
    features::night_counts,
    manners::{Failure, Output, say, today},
};
use rakelight::{
    ephemeris::Moment,
    report::{LeftOutSite, SpanCounts, ical::Calendar, words::plural},
    search::Season,
};
use std::{
    io::Write,
    sync::atomic::{AtomicUsize, Ordering},
};

/// The most sites without a window that get a reason unasked: nobody reads more,
/// and to find it takes longer than to search.
const MOST_REASONS: usize = 10;

/// Finds windows.
pub struct WindowSearch<'a> {
    season: Season,
    ahead: Ahead,
    reasons: ReasonsAsked,
    together: bool,
    quiet: bool,
    layout: Layout<'a>,
    /// How many sites without a window were written.
    empty: AtomicUsize,
}

impl<'a> WindowSearch<'a> {
    pub fn new(asked: &WindowsAsked, at: &Circumstances<'a>, width: usize) -> Self {
        let dates = at.dates;
        Self {
            season: Season::new(dates),
            ahead: Ahead::after(dates),
            reasons: asked.reasons,
            together: asked.together,
            quiet: at.quiet,
            layout: Layout {
                format: asked.format,
                choice: asked.choice,
                evenings: dates.count(),
                range: at.open_range.then(|| [dates.first(), dates.last()]),
                width,
                keyed: !at.quiet,
                asked_rules: at.asked_rules,
                rules_told: explain::RulesTold::default(),
                stamp: today::now(),
                csv: at.csv,
                spare: asked.reasons.spare,
            },
            empty: AtomicUsize::new(0),
        }
    }

    /// When the answers are given.
    pub fn stamp(&self) -> Moment {
        self.layout.stamp
    }

    fn is_json(&self) -> bool {
        self.layout.format == Format::Json
    }

    fn empty(&self) -> usize {
        self.empty.load(Ordering::Relaxed)
    }

    /// A site's windows, turned to their page where that can be done yet.
    pub fn answer(&self, ready: Ready) -> Result<Found, Failure> {
        let Ready {
            site,
            rules,
            id,
            is_alone,
            ..
        } = ready;
        let planners = self.season.site_planners(site, rules)?;
        let windows = planners.windows();
        let reasons = Reasons::of(self.reasons, &planners);
        let nights = match self.layout.format {
            Format::Geojson => night_counts(&planners, &windows),
            _ => SpanCounts::default(),
        };
        let mut answer = Answer {
            planners,
            id,
            count: windows.len(),
            nights,
            windows,
            reasons,
            number: 0,
        };
        let is_later = self.together
            || self.layout.format == Format::Ical
            || is_alone && self.layout.is_written_line_by_line();
        let page = (!is_later).then(|| {
            let page = self.layout.page(&answer);
            // They take more room than their page, and nobody needs both.
            answer.windows = Vec::new();
            page
        });
        Ok(Found { answer, page })
    }
}

/// What is found at a site.
pub struct Found {
    /// Without windows where they are on the page.
    answer: Answer,
    /// `None` where they are ranked together, where the page depends on those
    /// before it, and where it is written line by line.
    page: Option<SitePage>,
}

/// Writes windows.
pub struct WindowWriter<'a> {
    search: &'a WindowSearch<'a>,
    pages: Pages<'a>,
    /// The calendar that is written, if it is one.
    calendar: Option<Calendar>,
    /// Whether any window was found.
    found: bool,
    /// Whether a table has said already what its columns mean.
    keyed: bool,
    /// Kept to be ranked together.
    all: Together,
}

impl<'a> WindowWriter<'a> {
    pub fn begin(
        search: &'a WindowSearch<'a>,
        at: &Circumstances<'_>,
        calendar: Option<Calendar>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        if let Some(calendar) = &calendar {
            out.write_all(calendar.begin().as_bytes())?;
        }
        Ok(Self {
            search,
            pages: Pages::begin(out, search.layout.format, at)?,
            calendar,
            found: false,
            keyed: false,
            all: search.layout.together(),
        })
    }

    /// Says why a site has no window, or that what was asked beside them has
    /// no answer there.
    fn say(&self, answer: &Answer, is_told: bool) {
        let (site, rules) = (answer.site(), answer.planners.first().rules());
        if answer.count > 0 {
            answer.reasons.say_unanswered(site);
        } else if is_told {
            let table = self.search.layout.format == Format::Table;
            answer.reasons.say_nothing_found(site, rules, table);
        }
    }
}

impl Writer for WindowWriter<'_> {
    type Answer = Found;

    fn windows(found: &Found) -> usize {
        found.answer.count
    }

    fn found(&mut self) -> Option<&mut bool> {
        Some(&mut self.found)
    }

    fn take(&mut self, found: Found) -> Result<(), Failure> {
        let Found {
            mut answer,
            mut page,
        } = found;
        let is_empty = answer.count == 0;
        let is_told = !is_empty || self.search.empty.fetch_add(1, Ordering::Relaxed) < MOST_REASONS;
        if is_empty && is_told && (self.search.is_json() || !self.search.quiet) {
            answer
                .reasons
                .find_unasked(&answer.planners, &self.search.ahead)?;
            if self.search.is_json() && page.is_some() {
                page = Some(self.search.layout.page(&answer));
            }
        }
        self.found |= !is_empty;
        if !self.search.quiet {
            self.say(&answer, is_told);
        }
        if self.search.together {
            self.all.add(answer);
            return Ok(());
        }
        if let Some(calendar) = &mut self.calendar {
            let events = self.search.layout.events(calendar, &answer);
            return self.pages.page(events.as_bytes());
        }
        let Some(page) = page else {
            let layout = &self.search.layout;
            return self.pages.page_by(|out| layout.write(out, &answer));
        };
        let mut text = page.windows;
        if !page.key.is_empty() && !self.keyed {
            // Once, right under the first table that has something to tell.
            text.extend(page.key);
            self.keyed = true;
        }
        text.extend(page.below);
        self.pages.page(&text)
    }

    fn pass_on(&mut self) -> Result<(), Failure> {
        self.pages.pass_on()
    }

    fn left_out(&mut self, site: LeftOutSite) {
        self.pages.left_out(&site);
    }

    fn stop(self, reason: &str) -> Result<(), Failure> {
        self.pages.stop(reason)
    }

    fn end(mut self) -> Result<bool, Failure> {
        if self.search.together {
            let calendar = self.calendar.as_mut();
            for page in self.search.layout.ranking(self.all, calendar) {
                let text = [page.windows, page.key, page.below].concat();
                self.pages.page(&text)?;
            }
        }
        if let Some(calendar) = self.calendar {
            self.pages.page(calendar.end().as_bytes())?;
        }
        self.pages.end()?;
        let untold = self.search.empty().saturating_sub(MOST_REASONS);
        if untold > 0 && !self.search.quiet {
            let more = plural(untold as i64, "more site", "more sites");
            say(&format!("No window at {more}."));
        }
        Ok(self.found)
    }
}

//! The windows of each site, or of all together, in order of rank.

use super::{
    circumstances::Circumstances,
    layout::{Answer, Layout},
    pages::Pages,
    question::{ReasonsAsked, WindowsAsked},
    reasons::Reasons,
};
use crate::cli::{
    args::Format,
    batch::{Ready, Writer},
    manners::{Failure, Output, say, today},
};
use rakelight::{
    report::{table, words::plural},
    search::Season,
};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The most sites without a window that get a reason: nobody reads more.
const MOST_REASONS: usize = 10;

/// Finds windows.
pub struct WindowSearch<'a> {
    season: Season,
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
            reasons: asked.reasons,
            together: asked.together,
            quiet: at.quiet,
            layout: Layout {
                format: asked.format,
                choice: asked.choice,
                evenings: dates.count(),
                range: at.open_range.then(|| [dates.first(), dates.last()]),
                width,
                wishes: at.wishes,
                stamp: today::now(),
            },
            empty: AtomicUsize::new(0),
        }
    }

    fn empty(&self) -> usize {
        self.empty.load(Ordering::Relaxed)
    }

    /// A site's windows with their page, unless all are ranked together.
    pub fn answer(&self, Ready { site, rules, id }: Ready) -> Result<(Answer, Vec<u8>), Failure> {
        let planner = self.season.planner(site, rules)?;
        let windows = planner.windows();
        let told =
            self.layout.format == Format::Json || (!self.quiet && self.empty() < MOST_REASONS);
        let reasons = Reasons::of(self.reasons, told, &planner, &windows);
        let answer = Answer {
            planner,
            id,
            windows,
            reasons,
        };
        let page = if self.together {
            Vec::new()
        } else {
            self.layout.page(&answer)
        };
        Ok((answer, page))
    }
}

/// Writes windows.
pub struct WindowWriter<'a> {
    search: &'a WindowSearch<'a>,
    pages: Pages<'a>,
    /// Windows found.
    found: usize,
    /// Whether they are blends.
    blend: bool,
    /// Answers kept to be ranked together.
    all: Vec<Answer>,
}

impl<'a> WindowWriter<'a> {
    pub fn begin(
        search: &'a WindowSearch<'a>,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Result<Self, Failure> {
        Ok(Self {
            search,
            pages: Pages::begin(out, search.layout.format, &at.query())?,
            found: 0,
            blend: false,
            all: Vec::new(),
        })
    }

    /// Says why a site has no window, or that what was asked in addition has no
    /// answer there.
    fn say(&mut self, answer: &Answer) {
        let (site, rules) = (answer.planner.site(), answer.planner.rules());
        if !answer.windows.is_empty() {
            answer.reasons.say_unanswered(site);
        } else if self.search.empty.fetch_add(1, Ordering::Relaxed) < MOST_REASONS {
            let table = self.search.layout.format == Format::Table;
            answer.reasons.say_nothing_found(site, rules, table);
        }
    }
}

impl Writer for WindowWriter<'_> {
    type Answer = (Answer, Vec<u8>);

    fn windows((answer, _): &Self::Answer) -> usize {
        answer.windows.len()
    }

    fn take(&mut self, (answer, page): Self::Answer) -> Result<(), Failure> {
        self.found += answer.windows.len();
        self.blend |= answer.windows.iter().any(|window| window.land.is_some());
        if !self.search.quiet {
            self.say(&answer);
        }
        if self.search.together {
            self.all.push(answer);
            return Ok(());
        }
        self.pages.page(&page)
    }

    fn end(mut self) -> Result<bool, Failure> {
        if self.search.together {
            for page in self.search.layout.ranking(self.all) {
                self.pages.page(&page)?;
            }
        }
        let table = self.search.layout.format == Format::Table;
        if table && self.found > 0 && !self.search.quiet {
            let mut key = Vec::new();
            table::write_key(&mut key, self.blend, self.search.layout.width)?;
            self.pages.foot(&key)?;
        }
        self.pages.end()?;
        let untold = self.search.empty().saturating_sub(MOST_REASONS);
        if untold > 0 {
            let more = plural(untold as i64, "more site", "more sites");
            say(&format!("No window at {more}."));
        }
        Ok(self.found > 0)
    }
}

//! A range of evenings, shared by every site scanned over it.

use super::{
    night::{Night, nights},
    outlook::Outlook,
    window::Window,
};
use crate::{
    ephemeris::{Direction, Eclipse, Moment, Span, StarTrack},
    rule::Rules,
    scene::Site,
};
use chrono::{NaiveDate, NaiveTime};
use rayon::prelude::*;

/// Nights that are worth a task of their own, some 0.1 ms.
const NIGHTS_A_TASK: usize = 60;

/// A range of evenings with the sky's motions over it.
///
/// Built once and shared by every site and thread.
///
/// # Example
///
/// ```
/// use chrono::NaiveDate;
/// use rakelight::{
///     rule::{Brief, Rules},
///     scan::Season,
///     scene::Site,
/// };
///
/// let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
/// let season = Season::new(day(2027, 4, 1), day(2027, 9, 30));
/// let site = Site::at(-31.4, 139.2);
/// let rules = Rules::new(&Brief::default(), &site)?;
/// let windows = season.windows(&site, &rules);
/// let best = &windows[0];
/// assert_eq!(best.rank, 1);
/// assert!(best.best.sky.target.apparent_altitude_deg >= 10.0);
/// # Ok::<(), rakelight::rule::NoSubject>(())
/// ```
#[derive(Debug, Clone)]
pub struct Season {
    first: NaiveDate,
    last: NaiveDate,
    span: Span,
    core: StarTrack,
    eclipses: Vec<Eclipse>,
}

impl Season {
    /// The evenings from `first` to `last`, both included. Dates from
    /// 1900-01-01 to 2099-12-31 are served; what lies beyond finds no night.
    pub fn new(first: NaiveDate, last: NaiveDate) -> Self {
        let noon = |date: NaiveDate| {
            Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc()).plus_seconds(43_200.0)
        };
        // Solar noon of a civil date falls within a day of noon UTC of that
        // date, whatever the longitude and the zone; the night ends a day
        // later.
        let day = 86_400.0;
        let span = Span::covering(
            noon(first).plus_seconds(-1.5 * day),
            noon(last).plus_seconds(2.5 * day),
        );
        let (core, eclipses) = rayon::join(
            || span.star(Direction::Core),
            || span.lunar_eclipses(span.from(), span.to()),
        );
        Self {
            first,
            last,
            span,
            core,
            eclipses,
        }
    }

    /// One evening of this season, sharing its sky.
    #[must_use]
    pub fn of_night(&self, night: NaiveDate) -> Self {
        Self {
            first: night.max(self.first),
            last: night.min(self.last),
            ..self.clone()
        }
    }

    /// The first evening.
    pub fn first(&self) -> NaiveDate {
        self.first
    }

    /// The last evening.
    pub fn last(&self) -> NaiveDate {
        self.last
    }

    /// The sky's motions.
    pub fn span(&self) -> &Span {
        &self.span
    }

    /// Every window of a site under `rules`, best score first; equal scores in
    /// order of time. Ranks are filled in.
    pub fn windows(&self, site: &Site, rules: &Rules) -> Vec<Window> {
        self.with_outlook(site, rules, |outlook| {
            let nights: Vec<Night> =
                nights(site.longitude_deg, site.zone, self.first, self.last).collect();
            // Shared out within a site too: one site alone must not leave the
            // other cores idle.
            let mut windows: Vec<Window> = nights
                .par_iter()
                .with_min_len(NIGHTS_A_TASK)
                .flat_map_iter(|night| outlook.night(night))
                .collect();
            windows.sort_by(|a, b| {
                b.score
                    .total_cmp(&a.score)
                    .then(a.interval.start.total_cmp(&b.interval.start))
            });
            for (index, window) in windows.iter_mut().enumerate() {
                window.rank = index + 1;
            }
            windows
        })
    }

    /// Lends a site's outlook under `rules` over this season.
    pub fn with_outlook<T>(
        &self,
        site: &Site,
        rules: &Rules,
        ask: impl FnOnce(&Outlook<'_>) -> T,
    ) -> T {
        if rules.target == Direction::Core {
            ask(&Outlook::new(
                &self.span,
                &self.core,
                &self.eclipses,
                site,
                rules,
            ))
        } else {
            let target = self.span.star(rules.target);
            ask(&Outlook::new(
                &self.span,
                &target,
                &self.eclipses,
                site,
                rules,
            ))
        }
    }
}

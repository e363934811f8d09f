//! How many nights a site has, and its best window, as one record: the
//! properties of its point on a map.

use crate::{
    report::row::{Field, Range, RowKind},
    scene::{LightKind, Preferences, Site},
    search::{NightMark, Window},
};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// How many nights a site has, and its best window.
#[derive(Debug, Clone)]
pub struct SiteCounts<'a> {
    site: &'a Site,
    /// The kinds of light asked for, and on how many nights each was found.
    kinds: Vec<(LightKind, usize)>,
    windows: usize,
    nights: usize,
    best: Option<(LightKind, &'a Window)>,
}

impl<'a> SiteCounts<'a> {
    /// The counts of these windows of a site, of the kinds of light asked for.
    pub fn of_windows(
        site: &'a Site,
        asked: &[LightKind],
        windows: impl IntoIterator<Item = (LightKind, &'a Window)>,
    ) -> Self {
        Self::of(site, asked, windows, |_| 1.0)
    }

    /// The same where the score of a kind counts as so much of it.
    fn of(
        site: &'a Site,
        asked: &[LightKind],
        windows: impl IntoIterator<Item = (LightKind, &'a Window)>,
        worth: impl Fn(LightKind) -> f64,
    ) -> Self {
        let windows: Vec<_> = windows.into_iter().collect();
        let mut nights: BTreeSet<NaiveDate> = BTreeSet::new();
        let mut of_kinds: Vec<(LightKind, BTreeSet<NaiveDate>)> =
            asked.iter().map(|kind| (*kind, BTreeSet::new())).collect();
        let mut best: Option<(LightKind, &Window)> = None;
        let value = |(light, window): (LightKind, &Window)| worth(light) * window.score;
        for (light, window) in &windows {
            nights.insert(window.night);
            let of_kind = of_kinds.iter_mut().find(|(kind, _)| kind == light);
            if let Some((_, of_kind)) = of_kind {
                of_kind.insert(window.night);
            }
            if best.is_none_or(|best| value((*light, window)) > value(best)) {
                best = Some((*light, window));
            }
        }
        let kinds = of_kinds.into_iter();
        Self {
            site,
            kinds: kinds.map(|(kind, nights)| (kind, nights.len())).collect(),
            windows: windows.len(),
            nights: nights.len(),
            best,
        }
    }

    /// The counts of a season, in which a night has one kind of light. Scores
    /// that were not weighed to be compared (see
    /// [`are_weighed`](crate::rule::Rules::are_weighed)) are weighed by the
    /// default preferences to find the best.
    pub fn of_season(
        site: &'a Site,
        asked: &[LightKind],
        weighed: bool,
        marks: &'a [NightMark],
    ) -> Self {
        let found = marks.iter().filter_map(|mark| mark.found.as_ref());
        let found = found.map(|(light, window)| (*light, window));
        let worth = |light: LightKind| match weighed {
            true => 1.0,
            false => Preferences::default().beside(light, asked),
        };
        Self {
            windows: marks.iter().map(|mark| mark.windows).sum(),
            ..Self::of(site, asked, found, worth)
        }
    }

    /// Nights of a kind of light, if it was asked for.
    fn nights_of(&self, light: LightKind) -> Option<i64> {
        let (_, nights) = self.kinds.iter().find(|(kind, _)| *kind == light)?;
        i64::try_from(*nights).ok()
    }

    fn window(&self) -> Option<&'a Window> {
        self.best.map(|(_, window)| window)
    }
}

/// The counts of sites.
#[derive(Debug, Clone, Copy)]
pub struct SiteNights;

impl RowKind for SiteNights {
    type Of<'a> = &'a SiteCounts<'a>;
}

type F = Field<SiteNights>;

const NONE: &str = "no night has a window";
const UNASKED: &str = "that kind was not asked for";

/// The best score of a site and its kind of light, also of its other features.
pub static BEST: &[F] = &[
    F::number("score", 1, |s| Some(s.window()?.score))
        .range(Range::Within(0.0, 100.0))
        .empty(NONE)
        .doc("score of the best window, 0 to 100; among kinds of light that `--season` shows in order of preference, the one that is best if a blend counts 0.8 and a dark night 0.6 of a raking one"),
    F::word("light", LightKind::WORDS, |s| Some(s.best?.0.word()))
        .empty(NONE)
        .doc("its kind of light"),
];

/// The counts, and when the best window is.
pub static COUNTS: &[F] = &[
    F::whole("windows", |s| i64::try_from(s.windows).ok())
        .range(Range::AtLeast(0.0))
        .doc("windows found; with `--season` of the kind of light that each night shows"),
    F::whole("nights", |s| i64::try_from(s.nights).ok())
        .range(Range::AtLeast(0.0))
        .doc("nights that have one"),
    F::whole("nights_raking", |s| s.nights_of(LightKind::Raking))
        .range(Range::AtLeast(0.0))
        .empty(UNASKED)
        .doc("nights of raking light; with `--season` a night counts for the kind that it shows"),
    F::whole("nights_blend", |s| s.nights_of(LightKind::Blend))
        .range(Range::AtLeast(0.0))
        .empty(UNASKED)
        .doc("nights of blends"),
    F::whole("nights_dark", |s| s.nights_of(LightKind::Dark))
        .range(Range::AtLeast(0.0))
        .empty(UNASKED)
        .doc("dark nights"),
    F::whole("nights_any", |s| s.nights_of(LightKind::Any))
        .range(Range::AtLeast(0.0))
        .empty(UNASKED)
        .doc("nights of any light"),
    F::date("best_night", |s| Some(s.window()?.night))
        .empty(NONE)
        .doc("YYYY-MM-DD, the evening of the best window"),
    F::local("start_local", |s| {
        Some(s.site.zone.local(s.window()?.interval.first()))
    })
    .empty(NONE)
    .doc("its start; YYYY-MM-DD HH:MM:SS, site's zone"),
    F::local("end_local", |s| {
        Some(s.site.zone.local(s.window()?.interval.last()))
    })
    .empty(NONE)
    .doc("its end"),
    F::local("best_local", |s| {
        Some(s.site.zone.local(s.window()?.best.moment()))
    })
    .empty(NONE)
    .doc("its best instant"),
    F::offset("utc_offset", |s| {
        let best = s.window()?.best.moment();
        Some(s.site.zone.offset_seconds_at(best))
    })
    .empty(NONE)
    .doc("+HH:MM then"),
    F::utc("start_utc", |s| Some(s.window()?.interval.first()))
        .empty(NONE)
        .doc("start; RFC 3339 with Z"),
    F::utc("end_utc", |s| Some(s.window()?.interval.last()))
        .empty(NONE)
        .doc("end; RFC 3339 with Z"),
    F::utc("best_utc", |s| Some(s.window()?.best.moment()))
        .empty(NONE)
        .doc("best instant; RFC 3339 with Z"),
];

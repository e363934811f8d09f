//! How many nights a site has, and its best window, as one record: a row of a
//! map's table, and the properties of its point on a map.

use super::{
    site::{LATITUDE, LONGITUDE, NO_VIEW, VIEW_DOC},
    weather::{EXPECTED_CLEAR_DOC, NO_CLIMATE},
};
use crate::{
    report::row::{Field, Range, RowKind},
    scene::{LightKind, Preferences, Site},
    search::{NightCount, NightMark, Window, WindowSpan},
};
use std::collections::BTreeSet;

/// How many nights a site has, and its best window.
#[derive(Debug, Clone)]
pub struct SiteCounts<'a> {
    /// The site.
    pub site: &'a Site,
    counts: SpanCounts,
    /// Whether the windows counted are all in the nights.
    is_whole: bool,
    best: Option<(LightKind, &'a Window)>,
}

/// How many windows and nights there are.
#[derive(Debug, Clone, Default)]
pub struct SpanCounts {
    /// The kinds of light asked for, and on how many nights each was found.
    kinds: Vec<(LightKind, usize)>,
    windows: usize,
    nights: NightCount,
}

impl SpanCounts {
    /// The counts of these windows, of the kinds of light asked for.
    pub fn of(asked: &[LightKind], spans: &[WindowSpan]) -> Self {
        let nights_of = |kind: &LightKind| {
            let of_kind = spans.iter().filter(|span| span.light == *kind);
            let nights: BTreeSet<_> = of_kind.map(|span| span.night).collect();
            (*kind, nights.len())
        };
        Self {
            kinds: asked.iter().map(nights_of).collect(),
            windows: spans.len(),
            nights: NightCount::of(spans),
        }
    }
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

    /// The same without the best of them.
    pub fn of_spans(site: &'a Site, asked: &[LightKind], spans: &[WindowSpan]) -> Self {
        Self {
            site,
            counts: SpanCounts::of(asked, spans),
            is_whole: true,
            best: None,
        }
    }

    /// The same where the score of a kind counts as so much of it.
    fn of(
        site: &'a Site,
        asked: &[LightKind],
        windows: impl IntoIterator<Item = (LightKind, &'a Window)>,
        worth: impl Fn(LightKind) -> f64,
    ) -> Self {
        let mut spans = Vec::new();
        let mut best: Option<(LightKind, &Window)> = None;
        let value = |(light, window): (LightKind, &Window)| worth(light) * window.score;
        for (light, window) in windows {
            spans.push(WindowSpan::of(window));
            if best.is_none_or(|best| value((light, window)) > value(best)) {
                best = Some((light, window));
            }
        }
        Self {
            best,
            ..Self::of_spans(site, asked, &spans)
        }
    }

    /// The same best window with these counts.
    #[must_use]
    pub fn counting(self, counts: SpanCounts) -> Self {
        Self { counts, ..self }
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
        let mut season = Self::of(site, asked, found, worth);
        season.counts.windows = marks.iter().map(|mark| mark.windows).sum();
        season.is_whole = false;
        season
    }

    /// Nights of a kind of light, if it was asked for.
    fn nights_of(&self, light: LightKind) -> Option<i64> {
        let (_, nights) = self.counts.kinds.iter().find(|(kind, _)| *kind == light)?;
        i64::try_from(*nights).ok()
    }

    /// Nights that have a window.
    pub fn nights(&self) -> usize {
        self.counts.nights.evenings.len()
    }

    /// Length of all windows, minutes.
    pub fn minutes(&self) -> f64 {
        self.counts.nights.minutes
    }

    /// The kinds of light asked for, and on how many nights each was found.
    pub fn kinds(&self) -> &[(LightKind, usize)] {
        &self.counts.kinds
    }

    /// Its best window.
    pub fn window(&self) -> Option<&'a Window> {
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

const SITE: F = F::text("site", |s| Some(&s.site.name)).doc("name of the site");

const VIEW: F = F::text("view", |s| s.site.view.as_deref())
    .empty(NO_VIEW)
    .doc(VIEW_DOC);

const LATITUDE_DEG: F = F::exact("latitude_deg", |s| Some(s.site.latitude_deg))
    .range(LATITUDE)
    .doc("of the camera, WGS84, degrees, north positive");

const LONGITUDE_DEG: F = F::exact("longitude_deg", |s| Some(s.site.longitude_deg))
    .range(LONGITUDE)
    .doc("of the camera, WGS84, degrees, east positive");

const ELEVATION_M: F = F::exact("elevation_m", |s| Some(s.site.elevation_m))
    .doc("of the camera above mean sea level, metres");

const TIME_ZONE: F = F::text("time_zone", |s| Some(s.site.zone.name()))
    .doc("of the site: name in the IANA database, or an offset from UTC such as +05:30");

const SCORE: F = F::number("score", 1, |s| Some(s.window()?.score))
    .range(Range::Within(0.0, 100.0))
    .empty(NONE)
    .doc("score of the best window, 0 to 100; among kinds of light that `--season` shows in order of preference, the one that is best if a blend counts 0.8 and a dark night 0.6 of a raking one");

const LIGHT: F = F::word("light", LightKind::WORDS, |s| Some(s.best?.0.word()))
    .empty(NONE)
    .doc("its kind of light");

const BRIEF: F = F::text("brief", |s| s.window()?.brief.as_deref())
    .empty("no window, or no brief file")
    .doc("name of the brief file that asked for it");

const WINDOWS: F = F::whole("windows", |s| i64::try_from(s.counts.windows).ok())
    .range(Range::AtLeast(0.0))
    .doc("windows found; with `--season` of the kind of light that each night shows");

const NIGHTS: F = F::whole("nights", |s| i64::try_from(s.nights()).ok())
    .range(Range::AtLeast(0.0))
    .doc("nights that have one");

const MINUTES: F = F::number("minutes", 1, |s| s.is_whole.then_some(s.minutes()))
    .range(Range::AtLeast(0.0))
    .empty("`--season`, which has one window of a night")
    .doc("length of all windows together, minutes; for `blend` of the dark periods; where windows overlap, their time counts once");

const NIGHTS_RAKING: F = F::whole("nights_raking", |s| s.nights_of(LightKind::Raking))
    .range(Range::AtLeast(0.0))
    .empty(UNASKED)
    .doc("nights of raking light; with `--season` a night counts for the kind that it shows");

const NIGHTS_BLEND: F = F::whole("nights_blend", |s| s.nights_of(LightKind::Blend))
    .range(Range::AtLeast(0.0))
    .empty(UNASKED)
    .doc("nights of blends");

const NIGHTS_DARK: F = F::whole("nights_dark", |s| s.nights_of(LightKind::Dark))
    .range(Range::AtLeast(0.0))
    .empty(UNASKED)
    .doc("dark nights");

const NIGHTS_ANY: F = F::whole("nights_any", |s| s.nights_of(LightKind::Any))
    .range(Range::AtLeast(0.0))
    .empty(UNASKED)
    .doc("nights of any light");

const EXPECTED_CLEAR: F = F::number("expected_clear_nights", 2, |s| {
    Some(s.site.climate?.expected_clear(&s.counts.nights.evenings))
})
.range(Range::AtLeast(0.0))
.empty(NO_CLIMATE)
.doc(EXPECTED_CLEAR_DOC);

const BEST_NIGHT: F = F::date("best_night", |s| Some(s.window()?.night))
    .empty(NONE)
    .doc("YYYY-MM-DD, the evening of the best window");

const START_LOCAL: F = F::local("start_local", |s| {
    Some(s.site.zone.local(s.window()?.interval.first()))
})
.empty(NONE)
.doc("its start; YYYY-MM-DD HH:MM:SS, site's zone");

const END_LOCAL: F = F::local("end_local", |s| {
    Some(s.site.zone.local(s.window()?.interval.last()))
})
.empty(NONE)
.doc("its end");

const BEST_LOCAL: F = F::local("best_local", |s| {
    Some(s.site.zone.local(s.window()?.best.moment()))
})
.empty(NONE)
.doc("its best instant");

const UTC_OFFSET: F = F::offset("utc_offset", |s| {
    let best = s.window()?.best.moment();
    Some(s.site.zone.offset_seconds_at(best))
})
.empty(NONE)
.doc("+HH:MM then");

const START_UTC: F = F::utc("start_utc", |s| Some(s.window()?.interval.first()))
    .empty(NONE)
    .doc("start; RFC 3339 with Z");

const END_UTC: F = F::utc("end_utc", |s| Some(s.window()?.interval.last()))
    .empty(NONE)
    .doc("end; RFC 3339 with Z");

const BEST_UTC: F = F::utc("best_utc", |s| Some(s.window()?.best.moment()))
    .empty(NONE)
    .doc("best instant; RFC 3339 with Z");

/// The best score of a site and its kind of light, also of its other features.
pub static BEST: &[F] = &[SCORE, LIGHT];

/// The counts, and when the best window is.
pub static COUNTS: &[F] = &[
    WINDOWS,
    NIGHTS,
    MINUTES,
    NIGHTS_RAKING,
    NIGHTS_BLEND,
    NIGHTS_DARK,
    NIGHTS_ANY,
    EXPECTED_CLEAR,
    BRIEF,
    BEST_NIGHT,
    START_LOCAL,
    END_LOCAL,
    BEST_LOCAL,
    UTC_OFFSET,
    START_UTC,
    END_UTC,
    BEST_UTC,
];

/// A row of a table: the site, its counts, its best window.
pub static ROW: &[F] = &[
    SITE,
    VIEW,
    LATITUDE_DEG,
    LONGITUDE_DEG,
    ELEVATION_M,
    TIME_ZONE,
    NIGHTS,
    WINDOWS,
    MINUTES,
    NIGHTS_RAKING,
    NIGHTS_BLEND,
    NIGHTS_DARK,
    NIGHTS_ANY,
    EXPECTED_CLEAR,
    SCORE,
    LIGHT,
    BRIEF,
    BEST_NIGHT,
    START_LOCAL,
    END_LOCAL,
    BEST_LOCAL,
    UTC_OFFSET,
    START_UTC,
    END_UTC,
    BEST_UTC,
];

/// What is known without the best window; the other fields are of it.
pub(in crate::report) fn is_counted(field: &F) -> bool {
    let of_best = ROW.iter().skip_while(|other| other.name != SCORE.name);
    !of_best.into_iter().any(|other| other.name == field.name)
}

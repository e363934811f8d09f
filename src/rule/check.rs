//! A rule made ready for one place.
//!
//! Most rules are margins: continuous functions of time, positive where the
//! rule holds, with known limits to their change.

use super::{
    FrameWatch, Limits, RULES, Rule, RuleValue, Rules, lighting::Lighting, ridge::Terrain,
    sector::Bearing,
};
use crate::{
    ephemeris::{Body, Course, Foreseen, Reading, Refraction, Sky},
    scene::{ClockBand, DateList, LightKind, Site, SubjectShape},
};
use chrono::WeekdaySet;
use std::{
    fmt::{self, Debug, Formatter},
    sync::Arc,
};

/// What tells of a rule at UTC seconds since 2000-01-01T12:00:00.
pub(crate) trait Watch: Send + Sync {
    /// Its margin.
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading;

    /// The margin alone, to the same last bit: for how long its sign is sure to
    /// stay can be the dearer half of a reading.
    fn margin(&self, sky: &Sky<'_>, t: f64) -> f64 {
        self.reading(sky, t).margin
    }

    /// Whether it holds, by the same margin.
    fn holds(&self, sky: &Sky<'_>, t: f64) -> bool {
        self.margin(sky, t) >= 0.0
    }

    /// What is known of it at all times between two.
    fn foreseen(&self, _sky: &Sky<'_>, _times: [f64; 2]) -> Foreseen {
        Foreseen::Unknown
    }
}

/// A rule over one sky.
pub(crate) struct Watched<'a> {
    pub watch: &'a dyn Watch,
    pub sky: &'a Sky<'a>,
}

impl Course for Watched<'_> {
    fn reading(&mut self, t: f64) -> Reading {
        self.watch.reading(self.sky, t)
    }

    fn margin(&mut self, t: f64) -> f64 {
        self.watch.margin(self.sky, t)
    }
}

impl<F: Fn(&Sky<'_>, f64) -> Reading + Send + Sync> Watch for F {
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading {
        self(sky, t)
    }
}

/// How to find out when a rule holds.
#[derive(Clone)]
pub(crate) enum Check {
    /// The sky, by a margin.
    Sky(Arc<dyn Watch>),
    /// The same, where it may be known beforehand of a whole period.
    Known(Arc<dyn Watch>),
    /// The sine of a body's altitude.
    Altitude(Body, Limits),
    /// The illuminated fraction of the Moon.
    MoonFraction(Limits),
    /// Hours of the wall clock.
    Clock(ClockBand),
    /// Days of the week.
    Days(WeekdaySet),
    /// Only what is listed.
    Listed(DateList),
    /// Only what is not listed.
    NotListed(DateList),
}

impl Check {
    /// A check by a margin.
    pub fn sky(margin: impl Fn(&Sky<'_>, f64) -> Reading + Send + Sync + 'static) -> Self {
        Self::Sky(Arc::new(margin))
    }
}

impl Debug for Check {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sky(_) => f.write_str("Sky"),
            Self::Known(_) => f.write_str("Known"),
            Self::Altitude(body, limits) => {
                f.debug_tuple("Altitude").field(body).field(limits).finish()
            }
            Self::MoonFraction(limits) => f.debug_tuple("MoonFraction").field(limits).finish(),
            Self::Clock(band) => f.debug_tuple("Clock").field(band).finish(),
            Self::Days(days) => f.debug_tuple("Days").field(days).finish(),
            Self::Listed(list) => f.debug_tuple("Listed").field(list).finish(),
            Self::NotListed(list) => f.debug_tuple("NotListed").field(list).finish(),
        }
    }
}

/// Which rules a period must keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// Every rule.
    All,
    /// The rules of Sun and target, and no Moon: the dark period of a blend.
    Dark,
    /// The rules of Sun, Moon and light: the moonlit period of a blend.
    Land,
}

/// What a check needs to know of the place and of the other rules.
#[derive(Debug, Clone)]
pub(crate) struct Circumstances {
    /// The air of the place.
    pub air: Refraction,
    /// Where the camera looks.
    pub facing: Bearing,
    /// The land around.
    pub terrain: Terrain,
    /// The light of the place and the target.
    pub lighting: Arc<Lighting>,
    /// The kind of light.
    pub light: LightKind,
    /// What the subject covers.
    pub shape: Option<SubjectShape>,
    /// The frames of the site's camera, if it is known.
    pub frames: Option<FrameWatch>,
    /// Which of the rules apply.
    pub part: Part,
}

impl Circumstances {
    /// The circumstances of a site under some rules.
    pub fn of(
        site: &Site,
        rules: &Rules,
        terrain: Terrain,
        lighting: Arc<Lighting>,
        frames: Option<FrameWatch>,
    ) -> Self {
        Self {
            shape: site.subject_shape(),
            frames,
            air: site.air.refraction(),
            facing: Bearing::of(rules.facing, site.subject_bearing_deg()),
            terrain,
            lighting,
            light: rules.light,
            part: Part::All,
        }
    }

    /// Whether rules of the target apply.
    pub fn target(&self) -> bool {
        self.part != Part::Land
    }

    /// Whether rules of the Moon and its light apply.
    pub fn moon(&self) -> bool {
        self.part != Part::Dark
    }
}

impl Rules {
    /// The checks of every rule in use, in the order of the search.
    pub(crate) fn checks(&self, circumstances: &Circumstances) -> Vec<(&'static Rule, Check)> {
        // Made for every site of a scan, so in room that need not grow.
        let mut checks = Vec::with_capacity(RULES.len());
        checks.extend(self.limits().filter_map(|(rule, value)| {
            let check = rule.check_with(value.cloned(), circumstances)?;
            Some((rule, check))
        }));
        checks.sort_by_key(|(rule, _)| rule.limit.as_ref().map(|limit| limit.swept));
        checks
    }
}

impl Rule {
    /// Its check with a value; `None` if it limits nothing.
    pub(crate) fn check_with(&self, value: Option<RuleValue>, at: &Circumstances) -> Option<Check> {
        (self.limit.as_ref()?.check)(value, at)
    }
}

//! A window: a period of a night in which every rule holds, and its sky and
//! light at the best instant.

use super::{caveats::Caveats, frame_settings::FrameSettings, interval::Interval, score::Factors};
use crate::{
    ephemeris::EclipseKind,
    light::LandRange,
    rule::Conditions,
    scene::{CloudOver, LightKind, Site},
};
use chrono::NaiveDate;
use std::sync::Arc;

/// A period of a night in which every rule holds.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Window {
    /// The night, by its civil date.
    #[serde(serialize_with = "crate::serial::date")]
    pub night: NaiveDate,
    /// The kind of light that was asked for.
    #[serde(serialize_with = "crate::serial::word")]
    pub light: LightKind,
    /// The name of the brief file that asked for it, if there is one.
    #[serde(serialize_with = "crate::serial::maybe_text")]
    pub brief: Option<Arc<str>>,
    /// Its rank among its site's windows by score, from 1.
    pub rank: usize,
    /// 0 to 100.
    pub score: f64,
    /// What the score is made of.
    pub factors: Factors,
    /// What the score was multiplied by: what this kind of light is worth beside
    /// the others asked for, 0 to 1.
    pub preference: f64,
    /// The period. For a blend, the dark one.
    pub interval: Interval,
    /// Sky and light at the instant of the highest score.
    pub best: Conditions,
    /// How sure the balance of land and sky is at that instant.
    pub land_range: LandRange,
    /// What the site's own camera does at that instant, where it has one.
    pub frame: Option<FrameSettings>,
    /// The part of the period, about the best instant where it can be, in which
    /// one frame holds land and target.
    pub framed: Option<Interval>,
    /// The moonlit period of a blend.
    pub land: Option<Box<MoonlitPeriod>>,
    /// The deepest lunar eclipse that falls in the window (or the moonlit
    /// period) with the Moon above the horizon.
    pub eclipse: Option<EclipseKind>,
    /// What makes these figures less certain, over the whole window (and the
    /// moonlit period).
    pub doubts: Caveats,
}

impl Window {
    /// Sky and light when the land is lit: a blend's moonlit period has its own
    /// best instant.
    pub fn lit(&self) -> &Conditions {
        self.land.as_ref().map_or(&self.best, |land| &land.best)
    }

    /// The cloud that the site's forecast has over it, of a blend over its dark
    /// sky; `None` if a part of it has no forecast.
    pub fn cloud_foretold(&self, site: &Site) -> Option<CloudOver> {
        site.cloud_over(self.interval.first(), self.interval.last())
    }

    /// How likely a clear sky is, 0 to 1: the share of the sky that the forecast
    /// leaves without cloud where it reaches all of the window, else the share of
    /// clear nights of the month; `None` without either.
    pub fn clear_chance(&self, site: &Site) -> Option<f64> {
        let foretold = self.cloud_foretold(site);
        let share = foretold.map(|cloud| (1.0 - cloud.mean_percent / 100.0).clamp(0.0, 1.0));
        share.or_else(|| site.clear_chance(self.night))
    }

    /// From the start of its first period to the end of its last.
    pub fn whole(&self) -> Interval {
        let add = |whole: Interval, period: Interval| {
            Interval::new(whole.start.min(period.start), whole.end.max(period.end))
        };
        self.intervals().fold(self.interval, add)
    }

    /// Whether it is a blend that begins with the moonlit period.
    pub fn moonlight_is_first(&self) -> bool {
        let land = self.land.as_ref();
        land.is_some_and(|land| land.interval.start < self.interval.start)
    }

    /// Every period of it: its own, and the moonlit one of a blend.
    pub fn intervals(&self) -> impl Iterator<Item = Interval> + use<> {
        let land = self.land.as_ref().map(|land| land.interval);
        std::iter::once(self.interval).chain(land)
    }
}

/// The period of a blend in which a low Moon lights the land.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct MoonlitPeriod {
    /// The period.
    pub interval: Interval,
    /// Sky and light when the light rakes best.
    pub best: Conditions,
}

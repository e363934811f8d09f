//! Blends: nights that offer a low Moon for the land, and a dark sky.

use super::{
    interval::{Interval, Intervals},
    night::Night,
    planner::Planner,
    score::{Factors, contrast_quality, length_quality, raking_of},
    sweep::AnyFacing,
    window::{MoonlitPeriod, Window},
};
use crate::light::ScoredLight;

impl Planner {
    /// Nights that offer both: a low Moon from the side for the land, and a
    /// dark period with the target up. The camera does not move: if the rules
    /// face something that moves, it faces where that is when the sky is best,
    /// and the light angle is measured from there.
    pub(super) fn blends(&self, night: &Night, known: Option<&AnyFacing>) -> Vec<Window> {
        let (dark, found) = self.dark_and_moonlit(night, known);
        let moonlit = |facing_deg| self.moonlit(night, facing_deg, known);
        dark.as_slice()
            .iter()
            .filter_map(|interval| {
                let (best, sky_factors, framed) = self.best_sky(*interval);
                let best = self.instant_at(best);
                let moonlit = found.clone().unwrap_or_else(|| moonlit(best.facing_deg));
                let period = nearest(&moonlit, interval)?;
                let (land, _) = self.best_of(period, |moment| {
                    let sky = self.sky().light_geometry(moment);
                    let light = ScoredLight::from(&self.light_input(&sky, best.facing_deg));
                    Factors {
                        raking: Some(raking_of(&light, sky.moon.apparent_altitude_deg)),
                        ..Factors::default()
                    }
                });
                let land = self.at_facing(land, best.facing_deg);
                let factors = Factors {
                    contrast: contrast_quality(best.light.milky_way_contrast),
                    // Two exposures, each with its own settings.
                    balance: None,
                    raking: Some(raking_of(
                        &ScoredLight::from(&land.light),
                        land.sky.moon.apparent_altitude_deg,
                    )),
                    framing: sky_factors.framing,
                    position: Some(self.aim.position_quality(
                        best.sky.target.apparent_altitude_deg,
                        best.target_offset_deg(),
                    )),
                    length: Some(length_quality(interval.minutes().min(period.minutes()))),
                };
                let land = MoonlitPeriod {
                    interval: period,
                    best: land,
                };
                Some(self.window(night, *interval, best, factors, framed, Some(land)))
            })
            .collect()
    }
}

impl Planner {
    /// The dark periods of the blends of a night. Where the camera does not
    /// follow the sky, no best instant is looked for.
    pub(super) fn blend_periods(&self, night: &Night) -> Intervals {
        match self.dark_and_moonlit(night, None) {
            (dark, Some(_)) => dark,
            (dark, None) if dark.is_empty() => dark,
            _ => {
                let blends = self.blends(night, None);
                blends.iter().map(|blend| blend.interval).collect()
            }
        }
    }

    /// The moonlit periods of a night that are long enough, under a camera that
    /// faces one bearing.
    fn moonlit(&self, night: &Night, facing_deg: f64, known: Option<&AnyFacing>) -> Intervals {
        let sky = self.sky();
        let periods = self.sweep.moonlit_periods(&sky, night, facing_deg, known);
        periods.at_least_minutes(self.rules.min_minutes())
    }

    /// The dark periods that are long enough and, where the camera does not
    /// follow the sky, the moonlit ones: most nights have none, and that is
    /// known before the best of the dark is looked for. Without them there is no
    /// dark period either.
    fn dark_and_moonlit(
        &self,
        night: &Night,
        known: Option<&AnyFacing>,
    ) -> (Intervals, Option<Intervals>) {
        let dark = self.sweep.dark_periods(&self.sky(), night, known);
        let dark = dark.at_least_minutes(self.rules.min_minutes());
        let fixed = self.fixed_facing_deg().filter(|_| !dark.is_empty());
        let found = fixed.map(|facing_deg| self.moonlit(night, facing_deg, known));
        match found {
            Some(moonlit) if moonlit.is_empty() => (Intervals::default(), Some(moonlit)),
            found => (dark, found),
        }
    }
}

/// The period with the shortest wait between it and `interval`.
fn nearest(moonlit: &Intervals, interval: &Interval) -> Option<Interval> {
    let wait = |period: &Interval| {
        (interval.start - period.end)
            .max(period.start - interval.end)
            .max(0.0)
    };
    moonlit
        .as_slice()
        .iter()
        .copied()
        .min_by(|a, b| wait(a).total_cmp(&wait(b)))
}

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
        let BlendPeriods {
            dark,
            for_any_facing,
            moonlit: found,
        } = self.blend_periods_of(night, known);
        let moonlit = |facing_deg| self.moonlit(night, facing_deg, &for_any_facing);
        dark.as_slice()
            .iter()
            .filter_map(|interval| {
                let (best, sky_factors, framed) = self.best_sky(*interval);
                let (best, land_range) = self.instant_with_range(best);
                let moonlit = found.clone().unwrap_or_else(|| moonlit(best.facing_deg));
                let period = nearest(&moonlit, interval)?;
                let (land, _) = self.best_of(period, self.sampling_of_land(), |moment| {
                    let land = self.sky().land_geometry(moment);
                    let ephemeris = self.season.ephemeris();
                    let input = self
                        .lighting
                        .input_of_land(&land, ephemeris, best.facing_deg);
                    Factors {
                        raking: Some(raking_of(
                            &ScoredLight::of_land(&self.lighting.place_light, &input),
                            land.moon.apparent_altitude_deg,
                        )),
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
                let best = (best, land_range);
                Some(self.window(night, *interval, best, factors, framed, Some(land)))
            })
            .collect()
    }
}

impl Planner {
    /// The dark periods of the blends of a night. Where the camera does not
    /// follow the sky, no best instant is looked for.
    pub(super) fn blend_periods(&self, night: &Night) -> Intervals {
        let found = self.blend_periods_of(night, None);
        if found.moonlit.is_some() || found.dark.is_empty() {
            return found.dark;
        }
        let blends = self.blends(night, None);
        blends.iter().map(|blend| blend.interval).collect()
    }

    /// The moonlit periods of a night that are long enough, under a camera that
    /// faces one bearing.
    fn moonlit(&self, night: &Night, facing_deg: f64, for_any_facing: &Intervals) -> Intervals {
        let sky = self.sky();
        let left = for_any_facing.clone();
        self.sweep.moonlit_periods(&sky, night, facing_deg, left)
    }

    /// Both kinds of period of a night. Most nights have no moonlit one, and that
    /// is told for little: it is asked first.
    fn blend_periods_of(&self, night: &Night, known: Option<&AnyFacing>) -> BlendPeriods {
        let sky = self.sky();
        let for_any_facing = self.sweep.moonlit_for_any_facing(&sky, night, known);
        if for_any_facing.is_empty() {
            return BlendPeriods::default();
        }
        let fixed = self.fixed_facing_deg();
        let moonlit = fixed.map(|facing_deg| self.moonlit(night, facing_deg, &for_any_facing));
        if moonlit.as_ref().is_some_and(Intervals::is_empty) {
            return BlendPeriods::default();
        }
        BlendPeriods {
            dark: self.sweep.dark_periods(&sky, night, known),
            for_any_facing,
            moonlit,
        }
    }
}

/// The periods of a blend's night that are long enough; nothing at all where one
/// kind of them is surely missing.
#[derive(Default)]
struct BlendPeriods {
    dark: Intervals,
    /// What is left for the moonlit ones wherever the camera looks.
    for_any_facing: Intervals,
    /// The moonlit ones, where the camera does not follow the sky.
    moonlit: Option<Intervals>,
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

//! Blends: nights that offer a low Moon for the land, and a dark sky.

use super::{
    interval::{Interval, Intervals},
    night::Night,
    planner::Planner,
    score::{Factors, contrast_quality, length_quality, raking_of},
    window::{MoonlitPeriod, Window},
};

impl Planner {
    /// Nights that offer both: a low Moon from the side for the land, and a
    /// dark period with the target up. The camera does not move: if the rules
    /// face something that moves, it faces where that is when the sky is best,
    /// and the light angle is measured from there.
    pub(super) fn blends(&self, night: &Night) -> Vec<Window> {
        let minutes = self.rules.min_minutes();
        let moonlit = |facing_deg| {
            let sky = self.sky();
            let periods = self.sweep.moonlit_periods(&sky, night, facing_deg);
            periods.at_least_minutes(minutes)
        };
        let dark = self
            .sweep
            .dark_periods(&self.sky(), night)
            .at_least_minutes(minutes);
        // Most nights have no moonlit period. Where the camera does not follow
        // the sky, that is known before the best of the dark is looked for.
        let fixed = self.fixed_facing_deg().filter(|_| !dark.is_empty());
        let known = fixed.map(moonlit);
        if known.as_ref().is_some_and(Intervals::is_empty) {
            return Vec::new();
        }
        dark.as_slice()
            .iter()
            .filter_map(|interval| {
                let (best, sky_factors, framed) = self.best_sky(*interval);
                let best = self.instant_at(best);
                let moonlit = known.clone().unwrap_or_else(|| moonlit(best.facing_deg));
                let period = nearest(&moonlit, interval)?;
                let (land, _) = self.best_of(period, |moment| {
                    let sky = self.sky().light_geometry(moment);
                    let light = self.light(&sky, best.facing_deg);
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
                    raking: Some(raking_of(&land.light, land.sky.moon.apparent_altitude_deg)),
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

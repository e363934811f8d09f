//! The windows of a planner's nights.

use super::{
    frame_plan::FramedAs,
    interval::{Interval, Intervals},
    night::Night,
    plan_error::PlanError,
    planner::Planner,
    score::{Factors, framing_quality},
    site_planners::SitePlanners,
    sweep::AnyFacing,
    window::{MoonlitPeriod, Window},
};
use crate::{
    ephemeris::{EclipseKind, LightGeometry, Moment},
    light::{Assessment, LandRange, ScoredLight, assess},
    parallel,
    rule::{Conditions, FRAMING, FrameWatch, MIN_MINUTES, Rule, offset_deg},
    scene::{Framing, LightKind},
};
use chrono::NaiveDate;

/// A best instant stays this far inside a part in which one frame does, or does
/// not, seconds.
const EDGE_SECONDS: f64 = 1.0;
/// Of shorter periods it is not asked whether one frame does at all times,
/// seconds: the target hardly moves, so that few looks tell.
const SHORTEST_FRAMED_SECONDS: f64 = 3600.0;
/// The best instant of a period with its factors, and the part of the period
/// about it, or else the longest, in which one frame does.
type Candidate = (Moment, Factors, Option<Interval>);

impl Planner {
    /// Every window whose score is high enough, best score first; equal scores
    /// in order of time. Ranks are filled in.
    pub fn windows(&self) -> Vec<Window> {
        SitePlanners::from(self.clone()).windows()
    }

    /// The windows whose score is high enough, in order of time.
    pub(super) fn worthwhile(&self) -> Vec<Window> {
        let mut windows = self.windows_of_any_score();
        let least = self.rules.min_score();
        windows.retain(|window| window.score >= least);
        windows
    }

    /// Every window, in order of time, whatever its score; their ranks are 0.
    pub fn windows_of_any_score(&self) -> Vec<Window> {
        let nights: Vec<Night> = self.nights().collect();
        // The nights of a site are shared out too: one site alone must not
        // leave other cores idle.
        parallel::flat_map(&nights, parallel::NIGHTS_A_TASK, |night| {
            self.night_windows(night)
        })
    }

    /// The periods of a night that keep every rule and are long enough; not for
    /// a blend.
    pub(super) fn periods(&self, night: &Night, known: Option<&AnyFacing>) -> Intervals {
        self.sweep.night_of(&self.sky(), night, known)
    }

    /// The dark periods of a blend, however short.
    pub(crate) fn dark_periods(&self, night: &Night) -> Intervals {
        let sweep = self.sweep.clone().however_short();
        sweep.dark_periods(&self.sky(), night, None)
    }

    /// What the rules leave of each night for any camera direction; nights of
    /// which nothing is left do not appear.
    pub(crate) fn nights_of_any_facing(&self) -> Vec<(Night, AnyFacing)> {
        let nights: Vec<Night> = self.nights().collect();
        parallel::flat_map(&nights, parallel::NIGHTS_A_TASK, |night| {
            let left = self.sweep.any_facing(&self.sky(), night);
            (!left.is_empty())
                .then_some((*night, left))
                .into_iter()
                .collect()
        })
    }

    /// The first rule that leaves no time in `night`; see
    /// [`Sweep::first_unmet`].
    pub(crate) fn first_unmet(&self, night: &Night) -> Option<&'static Rule> {
        self.sweep.first_unmet(&self.sky(), night)
    }

    /// Why a night has none of these windows: the first rule that leaves no time,
    /// in the order of [`first_unmet`](Self::first_unmet); `None` where there is
    /// a window.
    pub(crate) fn why_none(&self, night: &Night, windows: &[Window]) -> Option<&'static Rule> {
        if !windows.is_empty() {
            return None;
        }
        self.first_unmet(night).or(Some(&MIN_MINUTES))
    }

    /// The windows of one night of the season that are long enough, in order of
    /// time; their ranks are 0.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn windows_of(&self, date: NaiveDate) -> Result<Vec<Window>, PlanError> {
        Ok(self.night_windows(&self.night(date)?))
    }

    /// The period of a window (or the moonlit period of a blend) that a moment
    /// lies in, among the windows of the planner's nights.
    pub fn period_at(&self, moment: Moment) -> Option<Interval> {
        let windows = self.windows();
        let mut intervals = windows.iter().flat_map(Window::intervals);
        intervals.find(|period| period.first() <= moment && moment <= period.last())
    }

    /// The windows of one night that are long enough, in order of time.
    pub(crate) fn night_windows(&self, night: &Night) -> Vec<Window> {
        self.night_windows_of(night, None)
    }

    /// The same where it may be known what is left for any camera direction.
    pub(crate) fn night_windows_of(&self, night: &Night, known: Option<&AnyFacing>) -> Vec<Window> {
        if self.rules.light == LightKind::Blend {
            return self.blends(night, known);
        }
        self.periods(night, known)
            .as_slice()
            .iter()
            .map(|interval| {
                let (best, factors, framed) = self.best_sky(*interval);
                let best = self.instant_with_range(best);
                self.window(night, *interval, best, factors, framed, None)
            })
            .collect()
    }

    /// The score's factors at an instant of a window `minutes` long; of its part
    /// in which one frame does, if the instant is in it.
    pub fn factors(&self, instant: &Conditions, minutes: f64) -> Factors {
        let sky = LightGeometry::from(&instant.sky);
        let plan = self.frame_plan(instant);
        Factors {
            framing: plan.map(|plan| framing_quality(plan.framed_as)),
            ..self.factors_of(&sky, instant.facing_deg, &instant.light, minutes)
        }
    }

    fn factors_of(
        &self,
        sky: &LightGeometry,
        facing_deg: f64,
        light: &Assessment,
        minutes: f64,
    ) -> Factors {
        self.aim.factors(
            light,
            sky.moon.apparent_altitude_deg,
            sky.target.apparent_altitude_deg,
            offset_deg(sky.target.azimuth_deg, facing_deg),
            minutes,
        )
    }

    /// The factors at a moment of a window `minutes` long, without the framing;
    /// no more of the light is worked out than they take.
    fn factors_at(&self, moment: Moment, minutes: f64) -> Factors {
        let sky = self.sky().light_geometry(moment);
        let facing_deg = self.facing_deg(&sky);
        let input = self.light_input(&sky, facing_deg);
        let altitude_deg = sky.target.apparent_altitude_deg;
        let offset_deg = offset_deg(sky.target.azimuth_deg, facing_deg);
        if self.aim.is_of_the_dark() {
            let contrast = input.milky_way_contrast(&self.lighting.place_light);
            return self
                .aim
                .dark_factors(contrast, altitude_deg, offset_deg, minutes);
        }
        if self.aim.is_of_moon() {
            return self.factors_of(&sky, facing_deg, &assess(&input), minutes);
        }
        self.aim.factors_by(
            &ScoredLight::at(&self.lighting.place_light, &input),
            sky.moon.apparent_altitude_deg,
            altitude_deg,
            offset_deg,
            minutes,
        )
    }

    /// The instant of a period with the highest score, and the part of the
    /// period about it, or else the longest, in which one frame does.
    pub(super) fn best_sky(&self, interval: Interval) -> Candidate {
        let best_of = |part: Interval, framing: Option<f64>, minutes: f64| {
            self.best_of(part, self.sampling(), |moment| Factors {
                framing,
                ..self.factors_at(moment, minutes)
            })
        };
        let minutes = interval.minutes();
        let Some(frames) = &self.frames else {
            let (best, factors) = best_of(interval, None, minutes);
            return (best, factors, None);
        };
        let parts = self.framed_parts(frames, interval);
        let one = Some(framing_quality(FramedAs::One));
        // A second inside, so that the printed second is in the part as well.
        let inside = |part: &Interval| {
            let shrunk = |edge: f64, own: f64, by: f64| if edge == own { edge } else { edge + by };
            let start = shrunk(part.start, interval.start, EDGE_SECONDS);
            let end = shrunk(part.end, interval.end, -EDGE_SECONDS);
            (start <= end).then(|| Interval::new(start, end))
        };
        let score = |factors: &Factors| factors.score(&self.rules.weights);
        let better = |a: &Candidate, b: &Candidate| score(&a.1).total_cmp(&score(&b.1));
        let framed = parts.as_slice().iter().filter_map(inside).map(|part| {
            let (best, factors) = best_of(part, one, part.minutes());
            (best, factors, Some(part))
        });
        let longest = || {
            let parts = parts.as_slice().iter().filter_map(inside);
            parts.max_by(|a, b| a.minutes().total_cmp(&b.minutes()))
        };
        // Where one frame does not do, a panorama may have the better light.
        let sky = self.sky();
        let rest = parts.outside(&Intervals::one(interval.start, interval.end));
        let panorama = rest.where_holds(|t| frames.panorama(&sky, t));
        let neither = panorama.outside(&rest);
        let other = [(FramedAs::Panorama, panorama), (FramedAs::Neither, neither)];
        let other = other.iter().flat_map(|(framed_as, parts)| {
            let framing = Some(framing_quality(*framed_as));
            parts.as_slice().iter().filter_map(inside).map(move |part| {
                let (best, factors) = best_of(part, framing, minutes);
                (best, factors, longest())
            })
        });
        let best = framed.chain(other).max_by(better);
        best.unwrap_or_else(|| {
            let (best, factors) = best_of(interval, one, minutes);
            (best, factors, Some(interval))
        })
    }

    /// The parts of a period in which one frame holds land and target.
    fn framed_parts(&self, frames: &FrameWatch, interval: Interval) -> Intervals {
        let whole = Intervals::one(interval.start, interval.end);
        if self.rules.get(&FRAMING) == Some(Framing::One) {
            return whole;
        }
        let sky = self.sky();
        whole.where_foreseen(
            SHORTEST_FRAMED_SECONDS,
            |start, end| frames.one_foreseen(&sky, [start, end]),
            |t: f64| frames.one(&sky, t),
        )
    }

    pub(super) fn window(
        &self,
        night: &Night,
        interval: Interval,
        (best, land_range): (Conditions, LandRange),
        factors: Factors,
        framed: Option<Interval>,
        land: Option<MoonlitPeriod>,
    ) -> Window {
        // The dark and the moonlit period are separate: the time between them
        // is not part of the window.
        let periods = || std::iter::once(interval).chain(land.as_ref().map(|land| land.interval));
        let eclipse = periods()
            .filter_map(|interval| self.eclipse_in(interval))
            .max();
        let sky = self.sky();
        // The land by moonlight is taken without the target.
        let moonlit = land.as_ref().map(|land| {
            let best = land.best.moment();
            self.doubts.over_land(&sky, land.interval, best)
        });
        let doubts = self.doubts.over(&sky, interval, best.moment());
        let doubts = doubts.or(moonlit.unwrap_or_default());
        Window {
            night: night.date,
            light: self.rules.light,
            brief: self.rules.brief.clone(),
            rank: 0,
            score: factors.score_under(&self.rules),
            factors,
            preference: self.rules.preference,
            interval,
            land_range,
            frame: self.own_settings(&best),
            framed,
            best,
            land: land.map(Box::new),
            eclipse,
            doubts,
        }
    }

    /// The deepest phase of an eclipse within a period while the Moon is up.
    pub(super) fn eclipse_in(&self, interval: Interval) -> Option<EclipseKind> {
        let meets = |pair: [Moment; 2]| {
            let from = pair[0].seconds().max(interval.start);
            let to = pair[1].seconds().min(interval.end);
            let up = |t: f64| {
                self.sky()
                    .at(Moment::from_seconds(t))
                    .moon
                    .apparent_altitude_deg
                    > 0.0
            };
            // In a night of high latitude the Moon may rise and set within the
            // phase.
            let steps = (0..=12).map(|step| from + (to - from) * f64::from(step) / 12.0);
            from <= to && { steps }.any(up)
        };
        let eclipse = self.season.eclipses().iter().find(|e| meets(e.penumbral))?;
        Some(if eclipse.total.is_some_and(meets) {
            EclipseKind::Total
        } else if eclipse.partial.is_some_and(meets) {
            EclipseKind::Partial
        } else {
            EclipseKind::Penumbral
        })
    }
}

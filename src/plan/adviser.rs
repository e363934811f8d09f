//! What to do with a night, from its numbers.

use super::{
    advice::{Advice, FrameOrder, LandAdvice, MoonlitFrames, ShadowWay, WindowAdvice},
    darkness::Depth,
    night_plan::NightPlan,
    night_step::{NightStep, land_frame},
    timetable::NightEvent,
};
use crate::{
    ephemeris::{EventKind, Moment},
    light::{OneExposure, shadow::signed_light_angle_deg},
    search::{FramedAs, Interval, Planner, Window},
};

/// A Moon lit more than this washes the sky out, common practice, no source.
const BRIGHT_FRACTION: f64 = 0.6;
/// A period shorter than this is not worth a plan, minutes.
const SHORTEST_MINUTES: f64 = 10.0;

/// The advice on a plan, in the order in which it is used. Where the Moon is
/// the target, nothing is said of how dark the sky gets, nor of shadows, which
/// twilight fills.
pub(super) fn advice(planner: &Planner, plan: &NightPlan<'_>) -> Vec<Advice> {
    let adviser = Adviser { planner, plan };
    let of_moon = plan.rules.target.is_moon();
    let mut list = Vec::new();
    if !of_moon || plan.darkness.depth == Depth::SunUp {
        list.extend(adviser.darkness());
    }
    list.extend(adviser.arrival());
    if plan.windows.is_empty() {
        list.push(Advice::NoWindow);
        list.extend(adviser.not_one_frame());
    }
    for (index, window) in plan.windows.iter().enumerate() {
        list.push(Advice::Window(adviser.window(index + 1, window)));
        list.extend(framing(window));
        if !of_moon {
            list.extend(adviser.shadow(window));
        }
    }
    if !of_moon {
        list.extend(adviser.order_of_frames());
        list.extend(adviser.bright_moon());
        list.extend(adviser.twilight());
    }
    list.extend(plan.clocks_change.then_some(Advice::ClocksChange));
    list
}

/// How land and target of a window get into the picture of the site's camera.
fn framing(window: &Window) -> Option<Advice> {
    let plan = window.frame.as_ref()?.plan?;
    let part = window.framed.filter(|part| *part != window.interval);
    Some(Advice::Framing { plan, part })
}

struct Adviser<'a, 'b> {
    planner: &'a Planner,
    plan: &'a NightPlan<'b>,
}

impl Adviser<'_, '_> {
    fn step(&self, t: f64) -> NightStep {
        NightStep::at(self.planner, &self.plan.lens, Moment::from_seconds(t))
    }

    fn darkness(&self) -> Option<Advice> {
        let darkness = &self.plan.darkness;
        match darkness.depth {
            Depth::Night if darkness.sunless => Some(Advice::Sunless),
            Depth::Night => None,
            depth => Some(Advice::NotDark(depth)),
        }
    }

    fn arrival(&self) -> Option<Advice> {
        let arrive = NightEvent::Arrive;
        let entry = self.plan.order.iter().find(|e| e.event == arrive)?;
        let sunset = self.plan.when(EventKind::Sunset)?;
        let of_moon = self.plan.rules.target.is_moon();
        (of_moon || self.plan.darkness.depth >= Depth::Astronomical).then(|| Advice::Arrive {
            by: entry.moment(),
            sunset,
        })
    }

    fn window(&self, number: usize, window: &Window) -> WindowAdvice {
        let best = NightStep::of(self.planner, &self.plan.lens, window.best);
        let stops = window.best.light.land_vs_sky_stops;
        let disc = window.best.moon_disc_vs_land_stops();
        let disc = disc.zip(window.best.moon_disc_vs_sky_stops());
        let land = match (&window.land, disc) {
            (_, Some((over_land_stops, over_sky_stops))) => LandAdvice::MoonDisc {
                over_land_stops,
                over_sky_stops,
            },
            (Some(land), None) => LandAdvice::Moonlit {
                interval: land.interval,
                best: land.best.moment(),
                signed_light_angle_deg: land.best.signed_light_angle_deg(),
            },
            (None, None) if window.land_range.one_exposure == OneExposure::Likely => {
                LandAdvice::OneExposure { stops }
            }
            (None, None) => LandAdvice::OwnFrame { stops },
        };
        WindowAdvice {
            number: (self.plan.windows.len() > 1).then_some(number),
            interval: window.interval,
            best: window.best.moment(),
            exposure: best.frame.exposure,
            land,
            land_frame: land_frame(&self.plan.lens, window.lit()),
        }
    }

    /// Said of a night without a window, whose target may stand behind the
    /// camera.
    fn not_one_frame(&self) -> Option<Advice> {
        let altitude_deg = |step: &&NightStep| step.instant.sky.target.apparent_altitude_deg;
        let up = self.plan.steps.iter().filter(|step| step.target_clear);
        let highest = up.max_by(|a, b| altitude_deg(a).total_cmp(&altitude_deg(b)))?;
        let plan = highest.frame.plan?;
        (plan.framed_as != FramedAs::One).then_some(Advice::NotOneFrame {
            at: highest.instant.moment(),
            plan,
        })
    }

    fn shadow(&self, window: &Window) -> Option<Advice> {
        let height_m = self.plan.site.subject.as_ref()?.height_m?;
        let lit = window.lit();
        let azimuth_deg = lit.light.shadow_azimuth_deg?;
        let from_facing = signed_light_angle_deg(azimuth_deg, lit.facing_deg);
        Some(Advice::Shadow {
            length_m: height_m * lit.light.shadow_length_per_height?,
            azimuth_deg,
            way: match from_facing.abs() {
                a if a < 45.0 => ShadowWay::Away,
                a if a > 135.0 => ShadowWay::Toward,
                _ if from_facing < 0.0 => ShadowWay::Left,
                _ => ShadowWay::Right,
            },
        })
    }

    /// Moonlit land first and dark sky after, or the other way round.
    fn order_of_frames(&self) -> Option<Advice> {
        // A blend's window says it already.
        let told = self.plan.windows.iter().any(|window| window.land.is_some());
        if told || self.plan.darkness.depth < Depth::Astronomical {
            return None;
        }
        let long = |periods: &[Interval]| -> Option<Interval> {
            periods
                .iter()
                .copied()
                .filter(|period| period.minutes() >= SHORTEST_MINUTES)
                .max_by(|a, b| a.minutes().total_cmp(&b.minutes()))
        };
        let moonlit = long(&self.plan.periods.moonlit).map(|interval| {
            let instant = self.step(0.5 * (interval.start + interval.end)).instant;
            MoonlitFrames {
                interval,
                moon_altitude_deg: instant.sky.moon.apparent_altitude_deg,
                signed_light_angle_deg: instant.signed_light_angle_deg(),
            }
        });
        let dark = long(&self.plan.periods.dark);
        Some(Advice::Frames(match (moonlit, dark) {
            (Some(moonlit), Some(dark)) if moonlit.interval.start < dark.start => {
                FrameOrder::MoonlitFirst(moonlit, dark)
            }
            (Some(moonlit), Some(dark)) => FrameOrder::DarkFirst(dark, moonlit),
            (Some(moonlit), None) => FrameOrder::MoonlitAlone(moonlit),
            (None, Some(dark)) => FrameOrder::DarkAlone(dark),
            (None, None) => return None,
        }))
    }

    fn bright_moon(&self) -> Option<Advice> {
        let moonlit = self.plan.periods.moonlit.first()?;
        let steps = self.plan.steps.iter().filter(|step| step.moon_clear);
        let phase = self.step(moonlit.start).instant.sky.phase;
        let sky_loss_mag = steps
            .map(|step| step.instant.light.sky_loss_mag)
            .fold(0.0, f64::max);
        (phase.illuminated_fraction > BRIGHT_FRACTION).then_some(Advice::BrightMoon {
            illuminated_fraction: phase.illuminated_fraction,
            sky_loss_mag,
        })
    }

    fn twilight(&self) -> Option<Advice> {
        use EventKind::{CivilDawn, CivilDusk, NauticalDawn, NauticalDusk};
        if self.plan.darkness.depth < Depth::Astronomical {
            return None;
        }
        let of_window = self.plan.windows.first().map(|w| w.best.moment());
        let of_dark = self.plan.periods.dark.first().map(Interval::first);
        let morning = of_window
            .or(of_dark)
            .is_some_and(|moment| moment > self.plan.darkness.darkest);
        let (from, to) = if morning {
            (NauticalDawn, CivilDawn)
        } else {
            (CivilDusk, NauticalDusk)
        };
        let (from, to) = (self.plan.when(from)?, self.plan.when(to)?);
        (from < to).then(|| Advice::Twilight(Interval::new(from.seconds(), to.seconds())))
    }
}

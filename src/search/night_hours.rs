//! What each night offers by the hour: Sun, target, Moon, windows.

use super::{
    constraint::{Constraint, whole},
    interval::Intervals,
    night::Night,
    planner::Planner,
    site_planners::SitePlanners,
    window::Window,
};
use crate::{
    ephemeris::{Eclipse, EclipseKind},
    parallel,
    rule::{
        ARCH_ALTITUDE, ARCH_OFFSET, FRAMING, MIN_SCORE, MOON_FRACTION, MOON_RIDGE, Rule,
        SUN_ALTITUDE, TARGET_ALTITUDE, TARGET_AZIMUTH, TARGET_OFFSET, TARGET_PLACE, TARGET_RIDGE,
        TILT,
    },
    scene::Band,
};

/// What a night offers by the hour.
#[derive(Debug, Clone, serde::Serialize)]
#[non_exhaustive]
pub struct NightHours {
    /// The night.
    pub night: Night,
    /// The time in which the Sun's upper limb is below the horizon.
    pub sun_down: Intervals,
    /// The time in which the Sun keeps its rule.
    pub dark: Intervals,
    /// The time in either of the two: when a photographer would be out.
    pub out: Intervals,
    /// The part of `out` in which the target, and the Milky Way's arch, keep
    /// every rule of their own, terrain included, whatever Sun and Moon do.
    pub target: Intervals,
    /// The part of `out` in which the Moon is up, from moonrise to moonset
    /// by the convention of [`EventKind`](crate::ephemeris::EventKind); where
    /// its light is asked for, clear of the site's skyline.
    pub moon_up: Intervals,
    /// The part of `moon_up` in which as much of its disc is lit as the rules ask.
    pub moon_lit: Intervals,
    /// Its windows whose score is high enough, of every kind of light asked for,
    /// in order of time. Their ranks are those among all nights.
    pub windows: Vec<Window>,
    /// Without a window: the first rule of the first kind that leaves no time.
    pub unmet: Option<&'static Rule>,
    /// A partial or total lunar eclipse of which some is seen in `moon_up`.
    pub eclipse: Option<Eclipse>,
}

/// The rules that target and arch keep by themselves.
static OF_TARGET: [&Rule; 9] = [
    &TARGET_ALTITUDE,
    &TARGET_AZIMUTH,
    &TARGET_OFFSET,
    &TARGET_PLACE,
    &TARGET_RIDGE,
    &FRAMING,
    &ARCH_ALTITUDE,
    &ARCH_OFFSET,
    &TILT,
];

/// Nights that are worth a task of their own.
const NIGHTS_A_TASK: usize = 30;

impl SitePlanners {
    /// What each night of the season offers by the hour, in order of time: Sun,
    /// target and Moon by the rules of the first kind of light, windows of all.
    pub fn hours(&self) -> Vec<NightHours> {
        let mut windows = self.windows();
        windows.sort_by(|a, b| a.interval.start.total_cmp(&b.interval.start));
        let leading = self.first();
        let constraints = leading.constraints(leading.rules());
        let nights: Vec<Night> = leading.nights().collect();
        parallel::flat_map(&nights, NIGHTS_A_TASK, |night| {
            let own = windows.iter().filter(|window| window.night == night.date);
            let own: Vec<Window> = own.cloned().collect();
            vec![leading.hours_of(night, &constraints, own)]
        })
    }
}

impl Planner {
    fn hours_of(
        &self,
        night: &Night,
        constraints: &[Constraint],
        windows: Vec<Window>,
    ) -> NightHours {
        let kept = |asked: &[&Rule], within: &Intervals| {
            constraints
                .iter()
                .filter(|constraint| asked.contains(&constraint.rule))
                .fold(within.clone(), |left, constraint| {
                    self.held(constraint, night, &left)
                })
        };
        let sun_down = self.sun_down(night);
        let sky = self.sky();
        let dark = kept(&[&SUN_ALTITUDE], &whole(night));
        let either = sun_down.as_slice().iter().chain(dark.as_slice());
        let out: Intervals = either.copied().collect();
        let moon_up = out.where_holds(|t| sky.moon_over_horizon(t).reading());
        let moon_up = kept(&[&MOON_RIDGE], &moon_up);
        let unmet = windows
            .is_empty()
            .then(|| match self.night_windows(night).as_slice() {
                [] => self.why_none(night, &[]),
                _ => Some(&MIN_SCORE),
            })
            .flatten();
        NightHours {
            night: *night,
            target: kept(&OF_TARGET, &out),
            moon_lit: kept(&[&MOON_FRACTION], &moon_up),
            eclipse: self.eclipse_seen(&moon_up),
            sun_down,
            dark,
            out,
            moon_up,
            windows,
            unmet,
        }
    }

    /// The partial or total eclipse of which some falls in these periods.
    fn eclipse_seen(&self, moon_up: &Intervals) -> Option<Eclipse> {
        let deep = |eclipse: &&Eclipse| eclipse.kind != EclipseKind::Penumbral;
        let seen = |eclipse: &&Eclipse| {
            eclipse.partial.is_some_and(|[from, to]| {
                !Intervals::one(from.seconds(), to.seconds())
                    .and(moon_up)
                    .is_empty()
            })
        };
        let eclipses = self.season().eclipses().iter();
        eclipses.filter(deep).find(seen).copied()
    }

    /// The time of a night in which the Sun's upper limb is below the horizon,
    /// by the convention of rise and set.
    pub(crate) fn sun_down(&self, night: &Night) -> Intervals {
        // The centre at -50' is that convention.
        let down = Band::up_to(-50.0 / 60.0);
        let down = self.rules().clone().with(&SUN_ALTITUDE, down);
        self.constraint(&down, &SUN_ALTITUDE)
            .map_or(Intervals::NONE, |sun| self.held(&sun, night, &whole(night)))
    }
}

//! When Moon and target clear the land round a place, on several nights.

use super::{
    body_path::{BodyPath, PathCrossing},
    darkness::{Darkness, between},
    night_step::land_skyline,
    planning::dark_hours,
    timetable::Body,
};
use crate::{
    ephemeris::{Eclipse, EventKind, Moment, Sky},
    rule::{Conditions, Rule},
    search::{Interval, Night, PlanError, Planner, Window, evenings_in_a_row},
};
use chrono::{Days, NaiveDate};

/// Nights to either side of the one asked for that can belong to its cluster.
/// The project's choice.
const CLUSTER_REACH: u64 = 2;
/// Nights that a planner must know on either side of the one asked for.
pub const RIDGE_NIGHTS_AROUND: u64 = CLUSTER_REACH;
/// The most nights that are asked for at once: more paths cannot be told apart.
pub const MOST_RIDGE_NIGHTS: u32 = 7;

/// Several nights in a row, against the land round the place.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct RidgeNights {
    /// The night asked for.
    pub date: NaiveDate,
    /// The nights, in order.
    pub nights: Vec<RidgeNight>,
    /// Sky, light and camera direction at the best instant of that night's best
    /// window; without one, at its darkest.
    pub instant: Conditions,
    /// Without a window in that night: the first rule that leaves no time.
    pub unmet: Option<&'static Rule>,
}

/// One of them.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct RidgeNight {
    /// The night.
    pub night: Night,
    /// From sunset to sunrise; `None` if the Sun does not set.
    pub sunless: Option<Interval>,
    /// The dark hours, as a timetable has them: the Sun below -12 degrees; if it
    /// stays above that, below -6, or only set. All of the time without the Sun
    /// where the Moon is the target.
    pub dark: Option<Interval>,
    /// The best instant of the best window; without one, the darkest.
    pub shown: Moment,
    /// The lit part of the Moon's disc, 0 to 1, then.
    pub moon_fraction: f64,
    /// The Moon against the skyline that counts for it.
    pub moon: BodyPath,
    /// The target against the skyline seen from the camera.
    pub target: BodyPath,
    /// The windows, in order of time.
    pub windows: Vec<Window>,
    /// The lunar eclipse that can be seen in the time without the Sun.
    pub eclipse: Option<Eclipse>,
}

impl RidgeNights {
    /// The night asked for.
    pub fn asked(&self) -> Option<&RidgeNight> {
        self.nights.iter().find(|one| one.night.date == self.date)
    }

    /// How much later a body clears the land (or goes behind it) each night than
    /// the night before, minutes, negative for earlier: the least and the most
    /// over nights in a row that have it; `None` if no two have.
    pub fn later_minutes(
        &self,
        body: impl Fn(&RidgeNight) -> &BodyPath,
        clears: bool,
    ) -> Option<[f64; 2]> {
        let first = |one: &RidgeNight| {
            let of_kind = |crossing: &&PathCrossing| crossing.clears == clears;
            let found = body(one).crossings.iter().find(of_kind)?;
            Some(found.moment.seconds() - one.night.start.seconds())
        };
        let pairs = self.nights.iter().zip(self.nights.iter().skip(1));
        let later = pairs.filter_map(|(one, next)| Some((first(next)? - first(one)?) / 60.0));
        later.fold(None, |range, minutes| match range {
            None => Some([minutes, minutes]),
            Some([least, most]) => Some([minutes.min(least), minutes.max(most)]),
        })
    }
}

impl Planner {
    /// The night of `date` and those beside it, against the land round the
    /// place.
    ///
    /// With `count` it is so many nights from that one on, fewer where the
    /// planner's season ends. Without it is the night's cluster: the nights
    /// without a gap about it that have a window, two to either side at most,
    /// and one to either side at least.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn ridge_nights(
        &self,
        date: NaiveDate,
        count: Option<u32>,
    ) -> Result<RidgeNights, PlanError> {
        let asked = RidgeNight::of(self, self.night(date)?);
        let instant = self.instant_at(asked.shown);
        let unmet = self.why_none(&asked.night, &asked.windows);
        let known = |date: Option<NaiveDate>| {
            let night = self.night(date?).ok()?;
            Some(RidgeNight::of(self, night))
        };
        let after = |days: u64| known(date.checked_add_days(Days::new(days)));
        let before = |days: u64| known(date.checked_sub_days(Days::new(days)));
        let mut nights: Vec<RidgeNight>;
        match count {
            Some(count) => {
                nights = vec![asked];
                nights.extend((1..u64::from(count)).map_while(after));
            }
            None => {
                nights = (1..=CLUSTER_REACH).map_while(before).collect();
                nights.reverse();
                nights.push(asked);
                nights.extend((1..=CLUSTER_REACH).map_while(after));
                let with_window = nights.iter().filter(|one| !one.windows.is_empty());
                let found = with_window.map(|one| one.night.date).collect();
                let row = evenings_in_a_row(date, &found, CLUSTER_REACH);
                nights.retain(|one| {
                    let evening = one.night.date;
                    let in_row =
                        row.is_some_and(|[first, last]| first <= evening && evening <= last);
                    in_row || (evening - date).num_days().abs() <= 1
                });
            }
        }
        Ok(RidgeNights {
            date,
            nights,
            instant,
            unmet,
        })
    }
}

impl RidgeNight {
    fn of(planner: &Planner, night: Night) -> Self {
        let (site, sky) = (planner.site(), planner.sky());
        let events = sky.events(night.start, night.end);
        let darkness = Darkness::of(&sky, &night, &events);
        let is_down = |moment| sky.at(moment).sun.altitude_deg < -50.0 / 60.0;
        let (set, rise) = (EventKind::Sunset, EventKind::Sunrise);
        let sunless = between(&events, set, rise, &night, is_down);
        let dark = dark_hours(planner, &night, &darkness, &events).map(|(_, hours)| hours);
        // A Moon that is the target is looked at, and not the light that it gives.
        let of_moon = match planner.rules().target.is_moon() {
            true => site.skyline.as_ref(),
            false => land_skyline(site),
        };
        let path = |body, skyline| BodyPath::of(&sky, (site.zone, skyline), body, sunless, dark);
        let windows = planner.night_windows(&night);
        let best = windows.iter().max_by(|a, b| a.score.total_cmp(&b.score));
        let shown = best.map_or(darkness.darkest, |window| window.best.moment());
        Self {
            night,
            sunless,
            dark,
            shown,
            moon_fraction: sky.at(shown).phase.illuminated_fraction,
            eclipse: seen_eclipse(&sky, &night, sunless),
            moon: path(Body::Moon, of_moon),
            target: path(Body::Target, site.skyline.as_ref()),
            windows,
        }
    }

    /// The window of the highest score.
    pub fn best_window(&self) -> Option<&Window> {
        let windows = self.windows.iter();
        windows.max_by(|a, b| a.score.total_cmp(&b.score))
    }
}

/// The deepest eclipse whose umbral part, or else whose middle, has the Moon up
/// and the Sun down for some of its time.
fn seen_eclipse(sky: &Sky<'_>, night: &Night, sunless: Option<Interval>) -> Option<Eclipse> {
    let hours = sunless?;
    let (from, to) = (
        night.start.plus_seconds(-4.0 * 3600.0),
        night.end.plus_seconds(4.0 * 3600.0),
    );
    let eclipses = sky.ephemeris().lunar_eclipses(from, to).into_iter();
    eclipses
        .filter(|eclipse| {
            let [begins, ends] = eclipse.partial.unwrap_or([eclipse.greatest; 2]);
            let (begins, ends) = (
                begins.seconds().max(hours.start),
                ends.seconds().min(hours.end),
            );
            let is_up = |t: f64| sky.at(Moment::from_seconds(t)).moon.apparent_altitude_deg > 0.0;
            begins <= ends && (is_up(begins) || is_up(ends))
        })
        .max_by_key(|eclipse| eclipse.kind)
}

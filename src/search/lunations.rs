//! A season by lunation (lunar month), so that equal phases can be compared.

use super::{
    night::{Night, nights},
    planner::Planner,
    window::Window,
};
use crate::{
    ephemeris::{Moment, Quarter},
    rule::{MIN_MINUTES, Rule},
    scene::{Dates, LightKind},
};

/// The longest lunation, days, rounded up.
pub const LUNATION_DAYS: u64 = 31;

/// From one new Moon to the next.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Lunation {
    /// Its new Moon.
    pub start: Moment,
    /// The next one.
    pub end: Moment,
    /// First quarter, full Moon and last quarter.
    pub quarters: Vec<(Quarter, Moment)>,
    /// Its nights within the range asked for.
    pub nights: Vec<NightMark>,
}

/// What one night offers.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct NightMark {
    /// The night.
    pub night: Night,
    /// The best window of the first kind of light that has one.
    pub found: Option<(LightKind, Window)>,
    /// Without one: the first of the leading kind's rules that leaves no time.
    pub unmet: Option<&'static Rule>,
}

impl NightMark {
    /// The middle of the night.
    pub fn middle(&self) -> Moment {
        Moment::from_seconds(0.5 * (self.night.start.seconds() + self.night.end.seconds()))
    }
}

/// The nights of `dates` at a site by lunation.
///
/// `kinds` are planners of the site in order of preference: a night shows the
/// best window of the first that has one, and if none has one, what prevents
/// the first. A night belongs to the lunation that holds its middle. Their
/// season must reach a lunation beyond both ends, as [`Dates::widened`] by
/// [`LUNATION_DAYS`] does.
pub fn lunations(kinds: &[Planner], dates: Dates) -> Vec<Lunation> {
    let Some(leading) = kinds.first() else {
        return Vec::new();
    };
    let (ephemeris, site) = (leading.season().ephemeris(), leading.site());
    let quarters = ephemeris.quarters(ephemeris.from(), ephemeris.to());
    let news: Vec<Moment> = quarters
        .iter()
        .filter(|(quarter, _)| *quarter == Quarter::New)
        .map(|(_, moment)| *moment)
        .collect();
    let mut marks: Vec<NightMark> =
        nights(site.longitude_deg, site.zone, dates.first(), dates.last())
            .map(|night| NightMark {
                night,
                found: None,
                unmet: None,
            })
            .collect();
    for (index, planner) in kinds.iter().enumerate() {
        for mark in marks.iter_mut().filter(|mark| mark.found.is_none()) {
            let light = planner.rules().light;
            mark.found = best(planner, &mark.night).map(|window| (light, window));
            if index == 0 && mark.found.is_none() {
                mark.unmet = planner.first_unmet(&mark.night).or(Some(&MIN_MINUTES));
            }
        }
    }
    for mark in marks.iter_mut().filter(|mark| mark.found.is_some()) {
        mark.unmet = None;
    }
    // Nights and quarters come in order of time, so each is looked at once.
    let mut marks = marks.into_iter().peekable();
    news.iter()
        .zip(news.iter().skip(1))
        .map(|(&start, &end)| {
            while marks.next_if(|mark| mark.middle() < start).is_some() {}
            let first = quarters.partition_point(|(_, moment)| *moment <= start);
            Lunation {
                start,
                end,
                quarters: quarters
                    .iter()
                    .skip(first)
                    .take_while(|(_, moment)| *moment < end)
                    .copied()
                    .collect(),
                nights: std::iter::from_fn(|| marks.next_if(|mark| mark.middle() < end)).collect(),
            }
        })
        .filter(|lunation| !lunation.nights.is_empty())
        .collect()
}

fn best(planner: &Planner, night: &Night) -> Option<Window> {
    planner
        .night_windows(night)
        .into_iter()
        .max_by(|a, b| a.score.total_cmp(&b.score))
}

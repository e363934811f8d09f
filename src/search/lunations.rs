//! A season by lunation (lunar month), so that equal phases can be compared.

use super::{
    interval::Interval,
    night::{Night, nights},
    planner::Planner,
    window::Window,
};
use crate::{
    ephemeris::{EclipseKind, Moment, Quarter},
    rule::{MIN_SCORE, Rule, Rules},
    scene::{Dates, LightKind},
};

/// The longest lunation, days, rounded up.
pub const LUNATION_DAYS: u64 = 31;
/// The mean lunation, days (Meeus, *Astronomical Algorithms*, ch. 49).
const SYNODIC_DAYS: f64 = 29.530_589;

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
    /// The best window of the kind of light that is shown.
    pub found: Option<(LightKind, Window)>,
    /// How many windows that kind has in the night.
    pub windows: usize,
    /// Without one: the first of the leading kind's rules that leaves no time.
    pub unmet: Option<&'static Rule>,
    /// The lit part of the Moon's disc in the middle of the night, 0 to 1.
    pub moon_fraction: f64,
    /// The last new Moon before that; `None` if it came before 1900.
    pub new_moon: Option<Moment>,
    /// The deepest phase of a lunar eclipse in the night with the Moon above the
    /// horizon.
    pub eclipse: Option<EclipseKind>,
}

impl NightMark {
    /// The middle of the night.
    pub fn middle(&self) -> Moment {
        middle(&self.night)
    }

    /// The Moon's age in the middle of the night, days since new Moon.
    pub fn moon_age_days(&self) -> Option<f64> {
        let new = self.new_moon?;
        Some((self.middle().seconds() - new.seconds()) / 86_400.0)
    }
}

fn middle(night: &Night) -> Moment {
    Moment::from_seconds(0.5 * (night.start.seconds() + night.end.seconds()))
}

/// The nights of `dates` at a site, in order of time.
///
/// `kinds` are planners of the site in order of preference: a night shows the
/// best window of the first that has one, or of all, if their scores were
/// weighed to be compared ([`Rules::are_weighed`]); and if none has one, what
/// prevents the first. Their season must reach a lunation beyond both ends, as
/// [`Dates::widened`] by [`LUNATION_DAYS`] does.
pub fn season_nights(kinds: &[Planner], dates: Dates) -> Vec<NightMark> {
    let Some(leading) = kinds.first() else {
        return Vec::new();
    };
    let weighed = Rules::are_weighed(kinds.iter().map(Planner::rules));
    let news = new_moons(&quarters(leading));
    let site = leading.site();
    nights(site.longitude_deg, site.zone, dates.first(), dates.last())
        .map(|night| {
            let middle = middle(&night);
            let before = news.partition_point(|new| *new <= middle);
            let mut mark = NightMark {
                night,
                found: None,
                windows: 0,
                unmet: None,
                moon_fraction: leading.sky().at(middle).phase.illuminated_fraction,
                new_moon: before
                    .checked_sub(1)
                    .and_then(|last| news.get(last).copied()),
                eclipse: leading
                    .eclipse_in(Interval::new(night.start.seconds(), night.end.seconds())),
            };
            let mut is_low = false;
            for planner in kinds {
                let least = planner.rules().min_score();
                let mut windows = planner.night_windows(&night);
                is_low |= windows.iter().any(|window| window.score < least);
                windows.retain(|window| window.score >= least);
                let count = windows.len();
                let before = mark.found.as_ref().map(|(_, window)| window.score);
                let better = |window: &Window| before.is_none_or(|score| window.score > score);
                if let Some(window) = best(windows).filter(better) {
                    mark.windows = count;
                    mark.found = Some((planner.rules().light, window));
                    if !weighed {
                        break;
                    }
                }
            }
            if mark.found.is_some() {
                return mark;
            }
            mark.unmet = match is_low {
                true => Some(&MIN_SCORE),
                false => leading.why_none(&night, &[]),
            };
            mark
        })
        .collect()
}

/// The same by lunation. A night belongs to the one that holds its middle.
pub fn lunations(kinds: &[Planner], dates: Dates) -> Vec<Lunation> {
    let Some(leading) = kinds.first() else {
        return Vec::new();
    };
    let marks = season_nights(kinds, dates);
    let quarters = quarters(leading);
    let mut news = new_moons(&quarters);
    // Before 1900 and after 2099 no new Moon is known; the nights between the
    // last known one and there are shown too.
    if let (Some(first), Some(last)) = (marks.first(), marks.last()) {
        let days = |days: f64| 86_400.0 * days;
        if let Some(new) = news.first().copied().filter(|new| first.middle() < *new) {
            news.insert(0, new.plus_seconds(-days(SYNODIC_DAYS)));
        }
        if let Some(new) = news.last().copied().filter(|new| *new <= last.middle()) {
            news.push(new.plus_seconds(days(SYNODIC_DAYS)));
        }
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

/// The best of the windows that some nights show: the highest score of the first
/// of `kinds` that there is, or of all kinds, if their scores were weighed to be
/// compared ([`Rules::are_weighed`]). Of equal ones the first; `None` if no night
/// has one.
pub fn best_shown<'a, T>(
    kinds: &[LightKind],
    weighed: bool,
    marks: impl IntoIterator<Item = (T, &'a NightMark)>,
) -> Option<(T, &'a Window)> {
    let rank = |kind: LightKind| match weighed {
        true => 0,
        false => kinds
            .iter()
            .position(|of| *of == kind)
            .unwrap_or(kinds.len()),
    };
    let mut best: Option<(usize, T, &Window)> = None;
    for (of, mark) in marks {
        let Some((kind, window)) = &mark.found else {
            continue;
        };
        let rank = rank(*kind);
        let better = best.as_ref().is_none_or(|(least, _, before)| {
            rank < *least || (rank == *least && window.score > before.score)
        });
        if better {
            best = Some((rank, of, window));
        }
    }
    best.map(|(_, of, window)| (of, window))
}

/// The Moon's quarters over a planner's season.
fn quarters(planner: &Planner) -> Vec<(Quarter, Moment)> {
    let ephemeris = planner.season().ephemeris();
    ephemeris.quarters(ephemeris.from(), ephemeris.to())
}

fn new_moons(quarters: &[(Quarter, Moment)]) -> Vec<Moment> {
    let is_new = |(quarter, _): &&(Quarter, Moment)| *quarter == Quarter::New;
    let news = quarters.iter().filter(is_new);
    news.map(|(_, moment)| *moment).collect()
}

fn best(windows: Vec<Window>) -> Option<Window> {
    let mut windows = windows.into_iter();
    let first = windows.next()?;
    // Of equal scores the first, as the ranking has it.
    Some(windows.fold(
        first,
        |best, next| {
            if next.score > best.score { next } else { best }
        },
    ))
}

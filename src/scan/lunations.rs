//! A season by lunations, so that equal phases can be compared.

use super::{
    night::{Night, nights},
    outlook::Outlook,
    season::Season,
    window::Window,
};
use crate::{
    ephemeris::{Moment, Quarter},
    rule::{MIN_MINUTES, Rule, Rules},
    scene::{LightKind, Site},
};
use chrono::{Days, NaiveDate};

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

/// The evenings `first` to `last` at a site by lunations.
///
/// `kinds` are rules in order of preference: a night shows the best window of
/// the first that has one, and where none has, what stands in the first one's
/// way. A night belongs to the lunation that holds its middle. `season` must
/// reach a lunation (30 days) beyond both ends.
pub fn lunations(
    season: &Season,
    (first, last): (NaiveDate, NaiveDate),
    site: &Site,
    kinds: &[Rules],
) -> Vec<Lunation> {
    let span = season.span();
    let quarters = span.quarters(span.from(), span.to());
    let news: Vec<Moment> = quarters
        .iter()
        .filter(|(quarter, _)| *quarter == Quarter::New)
        .map(|(_, moment)| *moment)
        .collect();
    let mut marks: Vec<NightMark> = nights(site.longitude_deg, site.zone, first, last)
        .map(|night| NightMark {
            night,
            found: None,
            unmet: None,
        })
        .collect();
    for (index, rules) in kinds.iter().enumerate() {
        season.with_outlook(site, rules, |outlook| {
            for mark in marks.iter_mut().filter(|mark| mark.found.is_none()) {
                mark.found = best(outlook, &mark.night).map(|window| (rules.light, window));
                if index == 0 && mark.found.is_none() {
                    mark.unmet = outlook.first_unmet(&mark.night).or(Some(&MIN_MINUTES));
                }
            }
        });
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

/// The season that [`lunations`] needs for the evenings `first` to `last`.
pub fn season_around(first: NaiveDate, last: NaiveDate) -> Season {
    let month = Days::new(31);
    Season::new(
        first.checked_sub_days(month).unwrap_or(first),
        last.checked_add_days(month).unwrap_or(last),
    )
}

fn best(outlook: &Outlook<'_>, night: &Night) -> Option<Window> {
    outlook
        .night(night)
        .into_iter()
        .max_by(|a, b| a.score.total_cmp(&b.score))
}

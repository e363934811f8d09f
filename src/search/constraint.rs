//! A night's rules one by one, so that any of them can be left out.

use super::{
    fraction_spells::fraction_spells,
    interval::{Interval, Intervals},
    night::Night,
};
use crate::{
    ephemeris::{Body, Course, Reading, Sky},
    rule::{Check, Circumstances, FROM_FACING, Limits, Rule, RuleValue, Rules, Watched},
    scene::{ClockBand, DateList, Zone},
};
use chrono::Datelike;

/// Shorter periods are searched by steps without asking whether they are known
/// as a whole, seconds.
const SHORTEST_KNOWN_SECONDS: f64 = 60.0;

/// One rule, ready to say when it holds. The length of the window is no
/// constraint: it applies to what all of these leave.
#[derive(Debug, Clone)]
pub(crate) struct Constraint {
    pub rule: &'static Rule,
    check: Check,
}

impl Constraint {
    /// Every rule in use, in the order of the search.
    pub fn all(rules: &Rules, at: &Circumstances) -> Vec<Self> {
        let checks = rules.checks(at).into_iter();
        checks.map(|(rule, check)| Self { rule, check }).collect()
    }

    /// One rule; `None` if it is not in use.
    pub fn one(rules: &Rules, rule: &'static Rule, at: &Circumstances) -> Option<Self> {
        Self::with_value(rule, rules.value_of(rule), at)
    }

    /// A rule with a value that need not be its own; `None` if it then limits
    /// nothing.
    pub fn with_value(
        rule: &'static Rule,
        value: Option<RuleValue>,
        at: &Circumstances,
    ) -> Option<Self> {
        let check = rule.check_with(value, at)?;
        Some(Self { rule, check })
    }

    /// Whether it is measured from the camera direction.
    pub fn is_from_facing(&self) -> bool {
        FROM_FACING.contains(&self.rule)
    }

    /// The body whose altitude it is about, with the limits of its sine.
    pub fn altitude(&self) -> Option<(Body, Limits)> {
        match self.check {
            Check::Altitude(body, limits) => Some((body, limits)),
            _ => None,
        }
    }

    /// The limits of the Moon's fraction, if it is about that.
    pub fn moon_fraction(&self) -> Option<Limits> {
        match self.check {
            Check::MoonFraction(limits) => Some(limits),
            _ => None,
        }
    }

    /// Whether it takes a look at the sky over the place.
    pub fn needs_place(&self) -> bool {
        matches!(
            self.check,
            Check::Sky(_) | Check::Known(_) | Check::Altitude(..)
        )
    }

    /// The same, with nothing known beforehand.
    #[cfg(test)]
    pub fn searched(&self, sky: &Sky<'_>, night: &Night, within: &Intervals) -> Intervals {
        match &self.check {
            Check::Altitude(body, limits) => {
                within.where_holds(|t| limits.read(sky.up_of(*body, t)))
            }
            Check::MoonFraction(limits) => {
                within.where_holds(|t| limits.read(sky.ephemeris().moon_fraction(t)))
            }
            _ => self.held(sky, Zone::UTC, night, within),
        }
    }

    /// Whether it holds at an instant, seconds; `None` for rules of the calendar.
    pub fn holds(&self, sky: &Sky<'_>, t: f64) -> Option<bool> {
        let margin = match &self.check {
            Check::Sky(watch) | Check::Known(watch) => return Some(watch.holds(sky, t)),
            Check::Altitude(body, limits) => limits.margin(sky.direction_of(*body, t).0.z),
            Check::MoonFraction(limits) => limits.read(sky.ephemeris().moon_fraction(t)).margin,
            Check::Clock(_) | Check::Days(_) | Check::Listed(_) | Check::NotListed(_) => {
                return None;
            }
        };
        Some(margin >= 0.0)
    }

    /// The parts of `within`, which belongs to `night`, in which it holds.
    pub fn held(&self, sky: &Sky<'_>, zone: Zone, night: &Night, within: &Intervals) -> Intervals {
        if within.is_empty() {
            return Intervals::NONE;
        }
        match &self.check {
            Check::Sky(watch) => {
                let watch = watch.as_ref();
                within.where_holds(Watched { watch, sky })
            }
            Check::Known(watch) => {
                let watch = watch.as_ref();
                within.where_foreseen(
                    SHORTEST_KNOWN_SECONDS,
                    |start, end| watch.foreseen(sky, [start, end]),
                    Watched { watch, sky },
                )
            }
            Check::Altitude(body, limits) => within.where_holds(AltitudeOf {
                body: *body,
                limits: *limits,
                sky,
            }),
            Check::MoonFraction(limits) => {
                let [first, others @ ..] = within.as_slice() else {
                    return Intervals::NONE;
                };
                let span = [first.start, others.last().unwrap_or(first).end];
                // Bounds tell most nights.
                match limits.of_all(sky.ephemeris().moon_fraction_between(span[0], span[1])) {
                    Some(true) => within.clone(),
                    Some(false) => Intervals::NONE,
                    None => within.and(&fraction_spells(sky.ephemeris(), *limits, span)),
                }
            }
            Check::Clock(band) => within.and(&clock_hours(*band, zone, night)),
            Check::Days(days) if days.contains(night.date.weekday()) => within.clone(),
            Check::Days(_) => Intervals::NONE,
            Check::Listed(list) => within.and(&listed(list, zone, night)),
            Check::NotListed(list) => listed(list, zone, night).outside(within),
        }
    }
}

/// A body's altitude within limits.
struct AltitudeOf<'a> {
    body: Body,
    limits: Limits,
    sky: &'a Sky<'a>,
}

impl Course for AltitudeOf<'_> {
    fn reading(&mut self, t: f64) -> Reading {
        self.limits.read(self.sky.up_of(self.body, t))
    }

    fn margin(&mut self, t: f64) -> f64 {
        let (local, _) = self.sky.direction_of(self.body, t);
        self.limits.margin(local.z)
    }
}

/// A whole night as one period.
pub(crate) fn whole(night: &Night) -> Intervals {
    Intervals::one(night.start.seconds(), night.end.seconds())
}

/// The periods of a night that a list has: all of it where it has the evening,
/// else its periods.
fn listed(list: &DateList, zone: Zone, night: &Night) -> Intervals {
    if list.has_evening(night.date) {
        return whole(night);
    }
    let (start, end) = (night.start.seconds(), night.end.seconds());
    list.calendars()
        .flat_map(|calendar| calendar.periods_near(zone, night.date))
        .map(|[from, to]| Interval::new(from.seconds().max(start), to.seconds().min(end)))
        .collect()
}

/// The periods of a night in which the wall clock shows a time within the band,
/// on either side of a clock change.
fn clock_hours(band: ClockBand, zone: Zone, night: &Night) -> Intervals {
    let (start, end) = (night.start.seconds(), night.end.seconds());
    let mut edges = vec![(start, zone.offset_seconds_at(night.start))];
    edges.extend(
        zone.offset_changes(night.start, night.end)
            .into_iter()
            .map(|(moment, offset)| (moment.seconds(), offset)),
    );
    let ends: Vec<f64> = edges
        .iter()
        .skip(1)
        .map(|edge| edge.0)
        .chain([end])
        .collect();
    let seconds = |time: chrono::NaiveTime| {
        use chrono::Timelike;
        f64::from(time.num_seconds_from_midnight())
    };
    let (first, last) = (seconds(band.from), seconds(band.to));
    let width = (last - first).rem_euclid(86_400.0);
    edges
        .iter()
        .zip(ends)
        .flat_map(|(&(from, offset), to)| {
            // UTC seconds at which this offset's clock shows the band's first
            // time, from the day before on: J2000 is at noon.
            let zero = first - 43_200.0 - f64::from(offset);
            let day = ((from - zero) / 86_400.0).floor();
            (-1..=1).map(move |more| {
                let begin = zero + (day + f64::from(more)) * 86_400.0;
                Interval::new(begin.max(from), (begin + width).min(to))
            })
        })
        .collect()
}

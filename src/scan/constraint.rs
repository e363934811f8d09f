//! A night's rules one by one, so that any of them can be left out.

use super::{
    interval::Intervals,
    margin::{Direction as Facing, Margin},
    night::Night,
    outlook::Outlook,
    ridge::Terrain,
    rule_name::RuleName,
    rules::Rules,
    sweep::{Part, clock_hours},
};
use crate::scene::{ClockBand, Side};
use chrono::{Datelike, WeekdaySet};

/// One rule, ready to be asked when it holds. The length of the window is no
/// constraint: it is asked of what all of these leave.
#[derive(Debug, Clone)]
pub(crate) struct Constraint<'a> {
    pub name: RuleName,
    kind: Kind<'a>,
}

#[derive(Debug, Clone)]
enum Kind<'a> {
    Sky(Margin<'a>),
    Clock(ClockBand),
    Days(WeekdaySet),
}

impl<'a> Constraint<'a> {
    /// Every rule in force, cheapest first. Angle and side of the light are
    /// one margin to the sweep and two rules here.
    pub fn all(outlook: &Outlook<'a>, rules: &Rules) -> Vec<Self> {
        let sky = outlook.sky();
        let facing = Facing::of(rules.facing, outlook.site().subject_bearing_deg());
        let terrain = Terrain::of(outlook.site());
        let margins = |rules: &Rules| Margin::of_rules(rules, sky, facing, terrain, Part::All);
        let of_days = rules.weekdays.map(|days| Self {
            name: RuleName::Weekdays,
            kind: Kind::Days(days),
        });
        let of_clock = rules.clock.map(|band| Self {
            name: RuleName::Clock,
            kind: Kind::Clock(band),
        });
        let mut of_sky: Vec<Self> = margins(&rules.without(RuleName::LightSide))
            .into_iter()
            .map(|margin| Self {
                name: margin.name,
                kind: Kind::Sky(margin),
            })
            .collect();
        // The illuminated fraction settles most nights with one evaluation.
        of_sky.sort_by_key(|constraint| constraint.name != RuleName::MoonFraction);
        let of_side = (rules.light_side != Side::Either)
            .then(|| {
                margins(&rules.without(RuleName::LightAngle))
                    .into_iter()
                    .find(|margin| margin.name == RuleName::LightAngle)
            })
            .flatten()
            .map(|margin| Self {
                name: RuleName::LightSide,
                kind: Kind::Sky(margin),
            });
        of_days
            .into_iter()
            .chain(of_clock)
            .chain(of_sky)
            .chain(of_side)
            .collect()
    }

    /// One rule, if it is in force.
    pub fn named(outlook: &Outlook<'a>, rules: &Rules, name: RuleName) -> Option<Self> {
        Self::all(outlook, rules)
            .into_iter()
            .find(|constraint| constraint.name == name)
    }

    /// The parts of `within`, which belongs to `night`, in which it holds.
    pub fn held(&self, outlook: &Outlook<'_>, night: &Night, within: &Intervals) -> Intervals {
        if within.is_empty() {
            return Intervals::NONE;
        }
        match &self.kind {
            Kind::Sky(margin) => within.where_holds(|t| margin.read(outlook.sky(), t)),
            Kind::Clock(band) => within.and(&clock_hours(*band, outlook.site().zone, night)),
            Kind::Days(days) if days.contains(night.date.weekday()) => within.clone(),
            Kind::Days(_) => Intervals::NONE,
        }
    }
}

/// A whole night as one stretch.
pub(crate) fn whole(night: &Night) -> Intervals {
    Intervals::one(night.start.seconds(), night.end.seconds())
}

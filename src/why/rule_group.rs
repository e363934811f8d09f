//! Rules that a photographer thinks of as one.

use super::reasons::{NightReasons, RuleThrough};
use crate::rule::{
    ARCH_ALTITUDE, ARCH_OFFSET, CONTRAST, FRAMING, LIGHT_ANGLE, LIGHT_SIDE, MOON_ALTITUDE,
    MOON_FRACTION, MOON_IN_FRAME, MOON_RIDGE, Rule, SUN_ALTITUDE, TARGET_ALTITUDE, TARGET_AZIMUTH,
    TARGET_OFFSET, TARGET_PLACE, TARGET_RIDGE, TILT,
};
use crate::search::{Interval, Intervals, whole};

/// What some rules are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleGroup {
    /// The darkness of the sky.
    Dark,
    /// Where the target and the arch stand.
    Place,
    /// Where the Moon stands, and how much of it is lit.
    Moon,
    /// From where the light comes.
    Side,
    /// How the Milky Way stands out.
    Contrast,
    /// What the frame holds.
    Frame,
    /// Hours and days.
    Hours,
}

impl RuleGroup {
    const ALL: [Self; 7] = [
        Self::Dark,
        Self::Place,
        Self::Moon,
        Self::Side,
        Self::Contrast,
        Self::Frame,
        Self::Hours,
    ];

    /// The group of a rule.
    pub fn of(rule: &Rule) -> Self {
        let groups: [(&[&Rule], Self); 6] = [
            (&[&SUN_ALTITUDE], Self::Dark),
            (
                &[
                    &TARGET_ALTITUDE,
                    &TARGET_AZIMUTH,
                    &TARGET_OFFSET,
                    &TARGET_PLACE,
                    &TARGET_RIDGE,
                    &ARCH_ALTITUDE,
                    &ARCH_OFFSET,
                    &TILT,
                ],
                Self::Place,
            ),
            (&[&MOON_ALTITUDE, &MOON_FRACTION, &MOON_RIDGE], Self::Moon),
            (&[&LIGHT_ANGLE, &LIGHT_SIDE], Self::Side),
            (&[&CONTRAST], Self::Contrast),
            (&[&FRAMING, &MOON_IN_FRAME], Self::Frame),
        ];
        let found = groups.iter().find(|(rules, _)| rules.contains(&rule));
        found.map_or(Self::Hours, |(_, group)| *group)
    }
}

/// A group of rules through a night.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct GroupThrough<'a> {
    /// The group.
    pub group: RuleGroup,
    /// Its rules that cost some of the time in which the Sun is down.
    pub rules: Vec<&'a RuleThrough>,
    /// When all of them hold.
    pub held: Intervals,
    /// When every rule of the other groups holds.
    pub others: Intervals,
    /// Whether the night would have a long enough period without this group and
    /// has none with it.
    pub rejects_alone: bool,
}

/// Periods shorter than this are no loss, seconds: edges are good to a second.
const NO_LOSS_SECONDS: f64 = 2.0;

impl NightReasons {
    /// The rules that cost some of the time in which the Sun is down (of the
    /// whole night where it does not set), in groups.
    pub fn groups(&self) -> Vec<GroupThrough<'_>> {
        let all = whole(&self.night);
        let out = match self.sun_down.is_empty() {
            true => &all,
            false => &self.sun_down,
        };
        let costs = |through: &RuleThrough| {
            let left = through.held.and(out);
            60.0 * (out.minutes() - left.minutes()) > NO_LOSS_SECONDS
        };
        let is_found = self.windows.iter().any(|window| window.long_enough);
        let long = |periods: &Intervals| {
            let minutes = |period: &Interval| period.minutes() >= self.min_minutes;
            periods.as_slice().iter().any(minutes)
        };
        let of = |group| {
            let (own, rest): (Vec<_>, Vec<_>) = self
                .rules
                .iter()
                .partition(|through| RuleGroup::of(through.rule) == group);
            let rules: Vec<&RuleThrough> = own.into_iter().filter(|one| costs(one)).collect();
            let and = |rules: &[&RuleThrough]| {
                let held = rules.iter().map(|through| &through.held);
                held.fold(all.clone(), |left, held| left.and(held))
            };
            let (held, others) = (and(&rules), and(&rest));
            let rejects_alone = !is_found && long(&others);
            (!rules.is_empty()).then_some(GroupThrough {
                group,
                rules,
                held,
                others,
                rejects_alone,
            })
        };
        RuleGroup::ALL.into_iter().filter_map(of).collect()
    }
}

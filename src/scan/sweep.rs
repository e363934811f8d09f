//! The stretches of one night in which every rule holds.

use super::{
    interval::{Interval, Intervals},
    margin::{Direction as Facing, Margin},
    night::Night,
    ridge::Terrain,
    rule_name::RuleName,
    rules::Rules,
};
use crate::{
    ephemeris::Sky,
    scene::{ClockBand, Site, Zone},
};
use chrono::Datelike;

/// One place's rules made ready to be asked night by night.
#[derive(Debug, Clone)]
pub struct Sweep<'a> {
    sky: Sky<'a>,
    zone: Zone,
    rules: &'a Rules,
    terrain: Terrain<'a>,
    margins: Vec<Margin<'a>>,
    /// Those of a blend's dark spells.
    dark_margins: Vec<Margin<'a>>,
}

/// Which part of the rules a stretch must keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// Every rule.
    All,
    /// Sun and target, and no Moon: the dark spell of a blend.
    Dark,
    /// Sun, Moon and light: the moonlit spell of a blend.
    Land,
}

impl<'a> Sweep<'a> {
    /// The rules made ready for the sky over a site. Rules that face a subject
    /// which is not there face the target instead.
    pub fn new(sky: Sky<'a>, site: &'a Site, rules: &'a Rules) -> Self {
        let facing = Facing::of(rules.facing, site.subject_bearing_deg());
        let terrain = Terrain::of(site);
        let margins = |part| Margin::of_rules(rules, &sky, facing, terrain, part);
        Self {
            sky,
            zone: site.zone,
            rules,
            terrain,
            margins: margins(Part::All),
            dark_margins: margins(Part::Dark),
        }
    }

    /// The stretches of `night` in which every rule holds, however short;
    /// edges are good to a tenth of a second, and no stretch longer than two
    /// seconds is missed.
    pub fn night(&self, night: &Night) -> Intervals {
        self.held(&self.margins, night)
    }

    /// The first rule that, with those before it, leaves no time in `night`:
    /// weekdays, clock, Sun, fraction, target, Moon, directions, light, arch,
    /// tilt, and last the shortest useful length. `None` where windows are
    /// left.
    pub fn first_unmet(&self, night: &Night) -> Option<RuleName> {
        let unwanted = |days: chrono::WeekdaySet| !days.contains(night.date.weekday());
        if self.rules.weekdays.is_some_and(unwanted) {
            return Some(RuleName::Weekdays);
        }
        let mut held = Intervals::one(night.start.seconds(), night.end.seconds());
        if let Some(clock) = self.rules.clock {
            held = held.and(&clock_hours(clock, self.zone, night));
            if held.is_empty() {
                return Some(RuleName::Clock);
            }
        }
        let order = |name: RuleName| match name {
            RuleName::SunAltitude => 0,
            RuleName::MoonFraction => 1,
            RuleName::CoreAltitude => 2,
            RuleName::MoonAltitude => 3,
            RuleName::CoreAzimuth => 4,
            RuleName::CoreOffset => 5,
            RuleName::LightAngle => 6,
            _ => 7,
        };
        let mut margins: Vec<&Margin> = self.margins.iter().collect();
        margins.sort_by_key(|margin| order(margin.name));
        for margin in margins {
            held = held.where_holds(|t| margin.read(&self.sky, t));
            if held.is_empty() {
                return Some(margin.name);
            }
        }
        held.at_least_minutes(self.rules.min_minutes)
            .is_empty()
            .then_some(RuleName::MinMinutes)
    }

    /// The dark spells of a blend: no Moon, and the target where it should be.
    pub(crate) fn dark_spells(&self, night: &Night) -> Intervals {
        self.held(&self.dark_margins, night)
    }

    /// The moonlit spells of a blend for a camera that faces one way.
    pub(crate) fn land_spells(&self, night: &Night, facing_deg: f64) -> Intervals {
        let facing = Facing::bearing(facing_deg);
        let margins = Margin::of_rules(self.rules, &self.sky, facing, self.terrain, Part::Land);
        self.held(&margins, night)
    }

    fn held(&self, margins: &[Margin<'_>], night: &Night) -> Intervals {
        let unwanted = |days: chrono::WeekdaySet| !days.contains(night.date.weekday());
        if self.rules.weekdays.is_some_and(unwanted) {
            return Intervals::NONE;
        }
        let mut held = Intervals::one(night.start.seconds(), night.end.seconds());
        if let Some(clock) = self.rules.clock {
            held = held.and(&clock_hours(clock, self.zone, night));
        }
        for margin in margins {
            if held.is_empty() {
                break;
            }
            held = held.where_holds(|t| margin.read(&self.sky, t));
        }
        held
    }
}

/// The stretches of a night in which the wall clock shows a time of the band,
/// on either side of a clock change.
pub(crate) fn clock_hours(band: ClockBand, zone: Zone, night: &Night) -> Intervals {
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

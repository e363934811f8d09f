//! The stretches of one night in which every rule holds.

use super::{
    constraint::{Constraint, whole},
    interval::Intervals,
    night::Night,
};
use crate::{
    ephemeris::Sky,
    rule::{Bearing, Circumstances, MIN_MINUTES, Part, Rule, Rules, Terrain},
    scene::{Site, Zone},
};

/// One place's rules made ready to be asked night by night.
#[derive(Debug, Clone)]
pub struct Sweep<'a> {
    sky: Sky<'a>,
    zone: Zone,
    rules: &'a Rules,
    at: Circumstances<'a>,
    constraints: Vec<Constraint<'a>>,
    /// Those of a blend's dark spells.
    dark: Vec<Constraint<'a>>,
}

impl<'a> Sweep<'a> {
    /// The rules made ready for the sky over a site. Rules that face a subject
    /// which is not there face the target instead.
    pub fn new(sky: Sky<'a>, site: &'a Site, rules: &'a Rules) -> Self {
        let at = circumstances(&sky, site, rules);
        let dark = Circumstances {
            part: Part::Dark,
            ..at
        };
        Self {
            sky,
            zone: site.zone,
            rules,
            at,
            constraints: Constraint::all(rules, &at),
            dark: Constraint::all(rules, &dark),
        }
    }

    /// The stretches of `night` in which every rule holds, however short;
    /// edges are good to a tenth of a second, and no stretch longer than two
    /// seconds is missed.
    pub fn night(&self, night: &Night) -> Intervals {
        self.held(&self.constraints, night)
    }

    /// The first rule that, with those before it in the order in which rules
    /// are asked, leaves no time in `night`; the shortest useful length comes
    /// last. `None` where windows are left.
    pub fn first_unmet(&self, night: &Night) -> Option<&'static Rule> {
        let mut constraints: Vec<&Constraint<'_>> = self.constraints.iter().collect();
        constraints.sort_by_key(|constraint| constraint.rule);
        let mut held = whole(night);
        for constraint in constraints {
            held = constraint.held(&self.sky, self.zone, night, &held);
            if held.is_empty() {
                return Some(constraint.rule);
            }
        }
        held.at_least_minutes(self.rules.min_minutes())
            .is_empty()
            .then_some(&MIN_MINUTES)
    }

    /// The dark spells of a blend: no Moon, and the target where it should be.
    pub(crate) fn dark_spells(&self, night: &Night) -> Intervals {
        self.held(&self.dark, night)
    }

    /// The moonlit spells of a blend for a camera that faces one way.
    pub(crate) fn land_spells(&self, night: &Night, facing_deg: f64) -> Intervals {
        let at = Circumstances {
            facing: Bearing::bearing(facing_deg),
            part: Part::Land,
            ..self.at
        };
        self.held(&Constraint::all(self.rules, &at), night)
    }

    fn held(&self, constraints: &[Constraint<'_>], night: &Night) -> Intervals {
        constraints.iter().fold(whole(night), |held, constraint| {
            constraint.held(&self.sky, self.zone, night, &held)
        })
    }
}

/// What checks need to know of a site under some rules.
pub(super) fn circumstances<'a>(sky: &Sky<'_>, site: &'a Site, rules: &Rules) -> Circumstances<'a> {
    Circumstances {
        air: sky.refraction(),
        facing: Bearing::of(rules.facing, site.subject_bearing_deg()),
        terrain: Terrain::of(site),
        light: rules.light,
        part: Part::All,
    }
}

//! The periods of one night in which every rule holds.

use super::{
    constraint::{Constraint, whole},
    interval::Intervals,
    night::Night,
};
use crate::{
    ephemeris::Sky,
    rule::{Bearing, Circumstances, FrameWatch, Lighting, MIN_MINUTES, Part, Rule, Rules, Terrain},
    scene::{LightKind, Site, Zone},
};
use std::sync::Arc;

/// One place's rules, made ready for any night.
#[derive(Debug, Clone)]
pub struct Sweep {
    zone: Zone,
    rules: Arc<Rules>,
    at: Circumstances,
    constraints: Vec<Constraint>,
    /// Those of a blend's dark periods; of any other kind of light they are made
    /// when somebody asks.
    dark: Option<Vec<Constraint>>,
}

impl Sweep {
    /// The rules made ready for the sky over a site. Without a subject, rules
    /// that face it face the target instead.
    pub fn new(sky: &Sky<'_>, site: &Site, rules: &Rules) -> Self {
        let terrain = Terrain::of(site);
        let lighting = Lighting::of(site, rules.target, &terrain);
        let at = Circumstances {
            air: sky.refraction(),
            ..Circumstances::of(
                site,
                rules,
                terrain,
                Arc::new(lighting),
                FrameWatch::of(site, rules.facing),
            )
        };
        Self::made(site.zone, Arc::new(rules.clone()), at)
    }

    /// The same where the circumstances are known.
    pub(crate) fn made(zone: Zone, rules: Arc<Rules>, at: Circumstances) -> Self {
        let is_blend = rules.light == LightKind::Blend;
        Self {
            zone,
            constraints: Constraint::all(&rules, &at),
            dark: is_blend.then(|| dark_constraints(&rules, &at)),
            rules,
            at,
        }
    }

    /// The periods of `night` in which every rule holds, however short; edges
    /// are good to a tenth of a second, and no period longer than two seconds
    /// is missed. The sky is that over the site.
    pub fn night(&self, sky: &Sky<'_>, night: &Night) -> Intervals {
        self.held(&self.constraints, sky, night)
    }

    /// The same with one rule as `instead` has it, or without it.
    pub(crate) fn night_with(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        rule: &Rule,
        instead: Option<&Constraint>,
    ) -> Intervals {
        let others = self.constraints.iter();
        let others = others.filter_map(|own| if own.rule == rule { instead } else { Some(own) });
        others.fold(whole(night), |held, constraint| {
            constraint.held(sky, self.zone, night, &held)
        })
    }

    /// The first rule that, with those before it in the order in which rules
    /// are checked, leaves no time in `night`; the shortest useful length comes
    /// last. `None` if there are windows.
    pub fn first_unmet(&self, sky: &Sky<'_>, night: &Night) -> Option<&'static Rule> {
        let mut constraints: Vec<&Constraint> = self.constraints.iter().collect();
        constraints.sort_by_key(|constraint| constraint.rule);
        let mut held = whole(night);
        for constraint in constraints {
            held = constraint.held(sky, self.zone, night, &held);
            if held.is_empty() {
                return Some(constraint.rule);
            }
        }
        held.at_least_minutes(self.rules.min_minutes())
            .is_empty()
            .then_some(&MIN_MINUTES)
    }

    /// The dark periods of a blend: no Moon, and the target within the rules.
    pub(crate) fn dark_periods(&self, sky: &Sky<'_>, night: &Night) -> Intervals {
        match &self.dark {
            Some(dark) => self.held(dark, sky, night),
            None => self.held(&dark_constraints(&self.rules, &self.at), sky, night),
        }
    }

    /// The moonlit periods of a blend for a camera that faces one bearing.
    pub(crate) fn moonlit_periods(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        facing_deg: f64,
    ) -> Intervals {
        let at = Circumstances {
            facing: Bearing::fixed(facing_deg),
            part: Part::Land,
            ..self.at.clone()
        };
        self.held(&Constraint::all(&self.rules, &at), sky, night)
    }

    fn held(&self, constraints: &[Constraint], sky: &Sky<'_>, night: &Night) -> Intervals {
        constraints.iter().fold(whole(night), |held, constraint| {
            constraint.held(sky, self.zone, night, &held)
        })
    }
}

/// What holds in the dark periods of a blend.
fn dark_constraints(rules: &Arc<Rules>, at: &Circumstances) -> Vec<Constraint> {
    let dark = Circumstances {
        part: Part::Dark,
        ..at.clone()
    };
    Constraint::all(rules, &dark)
}

//! The periods of one night in which every rule holds.

use super::{
    constraint::{Constraint, whole},
    interval::Intervals,
    narrowing::not_ruled_out,
    night::Night,
    season::FractionSpells,
};
use crate::{
    ephemeris::Sky,
    rule::{
        Bearing, Circumstances, FROM_FACING, FrameWatch, Lighting, MIN_MINUTES, Part, Rule, Rules,
        Terrain,
    },
    scene::{LightKind, Site, Zone},
};
use std::sync::{Arc, OnceLock};

/// One place's rules, made ready for any night.
#[derive(Debug, Clone)]
pub struct Sweep {
    zone: Zone,
    rules: Arc<Rules>,
    at: Circumstances,
    /// The shortest useful period, minutes.
    least_minutes: f64,
    /// When the Moon's fraction is within limits, where that is known of a
    /// season.
    spells: Option<FractionSpells>,
    constraints: Vec<Constraint>,
    /// Those of a blend's two periods; of any other kind of light they are made
    /// when somebody asks.
    blend: Option<BlendConstraints>,
}

/// The rules of the two periods of a blend.
#[derive(Debug, Clone)]
struct BlendConstraints {
    dark: Vec<Constraint>,
    /// Those of the moonlit period that are not measured from the camera
    /// direction: which that is, the dark period tells.
    land: Vec<Constraint>,
    /// Those that are, for the direction that was asked about first: most cameras
    /// do not follow the sky.
    from_facing: OnceLock<(Bearing, Vec<Constraint>)>,
}

/// What the rules leave of a night that are not measured from the camera
/// direction. Another direction has to ask the others alone.
#[derive(Debug, Clone)]
pub(crate) struct AnyFacing {
    /// Of the night, or of the dark periods of a blend.
    sky: Intervals,
    /// Of the moonlit periods of a blend; `None` for any other kind of light.
    land: Option<Intervals>,
}

impl AnyFacing {
    /// Whether no camera direction has any time.
    pub fn is_empty(&self) -> bool {
        self.sky.is_empty() || self.land.as_ref().is_some_and(Intervals::is_empty)
    }
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
            blend: is_blend.then(|| BlendConstraints {
                dark: dark_constraints(&rules, &at),
                land: land_constraints(&rules, &at),
                from_facing: OnceLock::new(),
            }),
            least_minutes: rules.min_minutes(),
            spells: None,
            rules,
            at,
        }
    }

    /// The same where it is known when the Moon's fraction is within limits; the
    /// nights are those of that season.
    #[must_use]
    pub(super) fn with_spells(self, spells: Option<FractionSpells>) -> Self {
        Self { spells, ..self }
    }

    /// The same that knows what another of its season does.
    #[must_use]
    pub(super) fn knowing(self, other: &Self) -> Self {
        self.with_spells(other.spells.clone())
    }

    /// The same, whose periods may be of any length.
    #[must_use]
    pub(crate) fn however_short(self) -> Self {
        Self {
            least_minutes: 0.0,
            ..self
        }
    }

    /// The periods of `night` in which every rule holds, however short; edges
    /// are good to a tenth of a second, and no period longer than two seconds
    /// is missed. The sky is that over the site.
    pub fn night(&self, sky: &Sky<'_>, night: &Night) -> Intervals {
        self.kept(self.constraints.iter(), whole(night), sky, night, 0.0)
    }

    /// The rules in the order of the search.
    #[cfg(test)]
    pub(crate) fn constraints(&self) -> &[Constraint] {
        &self.constraints
    }

    /// The periods that are long enough, where it may be known what is left for
    /// any camera direction.
    pub(crate) fn night_of(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        known: Option<&AnyFacing>,
    ) -> Intervals {
        let known = known.map(|known| &known.sky);
        self.held(&self.constraints, sky, night, known)
    }

    /// What the rules leave of a night for any camera direction, under these
    /// rules or others that differ in nothing but the direction and the rules
    /// that are measured from it.
    pub(crate) fn any_facing(&self, sky: &Sky<'_>, night: &Night) -> AnyFacing {
        let left = |constraints: &[Constraint]| {
            let steady = constraints.iter().filter(|one| !one.is_from_facing());
            self.kept(steady, whole(night), sky, night, self.least_minutes)
        };
        let blend = self.blend.as_ref();
        AnyFacing {
            sky: left(blend.map_or(&self.constraints, |blend| &blend.dark)),
            land: blend.map(|blend| left(&blend.land)),
        }
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
        held.at_least_minutes(self.least_minutes)
            .is_empty()
            .then_some(&MIN_MINUTES)
    }

    /// The dark periods of a blend that are long enough: no Moon, and the target
    /// within the rules.
    pub(crate) fn dark_periods(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        known: Option<&AnyFacing>,
    ) -> Intervals {
        let known = known.map(|known| &known.sky);
        match &self.blend {
            Some(blend) => self.held(&blend.dark, sky, night, known),
            None => self.held(&dark_constraints(&self.rules, &self.at), sky, night, known),
        }
    }

    /// What is left for the moonlit periods of a blend by the rules that are not
    /// measured from the camera direction, where it is long enough.
    pub(crate) fn moonlit_for_any_facing(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        known: Option<&AnyFacing>,
    ) -> Intervals {
        if let Some(land) = known.and_then(|known| known.land.as_ref()) {
            return land.clone();
        }
        match &self.blend {
            Some(blend) => self.held(&blend.land, sky, night, None),
            None => {
                let land = land_constraints(&self.rules, &self.at);
                self.held(&land, sky, night, None)
            }
        }
    }

    /// The moonlit periods of a blend that are long enough, for a camera that
    /// faces one bearing, where it is known what is left for any.
    pub(crate) fn moonlit_periods(
        &self,
        sky: &Sky<'_>,
        night: &Night,
        facing_deg: f64,
        for_any_facing: Intervals,
    ) -> Intervals {
        if for_any_facing.is_empty() {
            return for_any_facing;
        }
        let facing = Bearing::fixed(facing_deg);
        let made = || self.land_from_facing(facing);
        let known = self.blend.as_ref().map(|blend| &blend.from_facing);
        let known = known.map(|known| known.get_or_init(|| (facing, made())));
        let kept = |constraints: &[Constraint]| {
            let least = self.least_minutes;
            self.kept(constraints.iter(), for_any_facing, sky, night, least)
        };
        match known {
            Some((of, constraints)) if *of == facing => kept(constraints),
            _ => kept(&made()),
        }
    }

    /// What holds in the moonlit periods of a blend that is measured from the
    /// camera direction.
    fn land_from_facing(&self, facing: Bearing) -> Vec<Constraint> {
        let at = of_land(&self.at, facing);
        let rules = FROM_FACING.iter();
        rules
            .filter_map(|rule| Constraint::one(&self.rules, rule, &at))
            .collect()
    }

    /// What all of these leave of a night and is long enough; where it is known
    /// what those leave that are not measured from the camera direction, the
    /// others are asked.
    fn held(
        &self,
        constraints: &[Constraint],
        sky: &Sky<'_>,
        night: &Night,
        known: Option<&Intervals>,
    ) -> Intervals {
        let asked = constraints.iter();
        let asked = asked.filter(|one| known.is_none() || one.is_from_facing());
        let start = known.map_or_else(|| whole(night), Intervals::clone);
        self.kept(asked, start, sky, night, self.least_minutes)
    }

    /// What rules keep of some periods of a night, where it is at least so many
    /// minutes long. No rule makes a period longer, so the next is not asked
    /// about one that is too short.
    pub(crate) fn kept<'a>(
        &self,
        constraints: impl Iterator<Item = &'a Constraint> + Clone,
        mut held: Intervals,
        sky: &Sky<'_>,
        night: &Night,
        least_minutes: f64,
    ) -> Intervals {
        let mut narrowed = false;
        for constraint in constraints.clone() {
            // What needs no place, or no sky at all, comes before.
            if !narrowed && constraint.needs_place() {
                narrowed = true;
                held =
                    not_ruled_out(constraints.clone(), sky, held).at_least_minutes(least_minutes);
            }
            if held.is_empty() {
                return held;
            }
            held = match self.spells_of(constraint) {
                Some(spells) => held.and(spells),
                None => constraint.held(sky, self.zone, night, &held),
            }
            .at_least_minutes(least_minutes);
        }
        held
    }

    /// The periods of the season in which a constraint holds, where they are
    /// known.
    fn spells_of(&self, constraint: &Constraint) -> Option<&Intervals> {
        let limits = constraint.moon_fraction()?;
        let spells = self.spells.as_ref()?;
        (spells.limits == limits).then_some(&*spells.periods)
    }
}

/// What holds in the moonlit periods of a blend wherever the camera looks.
fn land_constraints(rules: &Arc<Rules>, at: &Circumstances) -> Vec<Constraint> {
    let at = of_land(at, Bearing::fixed(0.0));
    let mut constraints = Constraint::all(rules, &at);
    constraints.retain(|one| !one.is_from_facing());
    constraints
}

fn of_land(at: &Circumstances, facing: Bearing) -> Circumstances {
    Circumstances {
        facing,
        part: Part::Land,
        ..at.clone()
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

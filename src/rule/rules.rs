//! The rules in use: a brief with every blank filled.

use super::{
    Asked, Brief, FACING, LIGHT, MIN_MINUTES, MIN_SCORE, PREFER, RULES, Rule, RuleValue, TARGET,
    WEIGHTS,
    refusals::{
        refuse_beside_moon, refuse_moon_in_frame, refuse_without_frame, refuse_without_size,
    },
    value::OfRule,
};
use crate::{
    ephemeris::Direction,
    scene::{Facing, LightKind, LightKinds, MoonInFrame, Preferences, Site, ValueError, Weights},
};
use std::sync::Arc;

/// Every rule of a scan. A rule that is off has no value.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rules {
    /// The kind of light.
    pub light: LightKind,
    /// What must stand in the sky.
    pub target: Direction,
    /// Where the camera looks.
    pub facing: Facing,
    /// What counts how much in the score.
    pub weights: Weights,
    /// What kinds of light are worth side by side, if that is given.
    pub prefer: Option<Preferences>,
    /// What the score of a window is multiplied by, 0 to 1: what this kind of
    /// light is worth beside the others that are asked for with it.
    pub preference: f64,
    /// The name of the brief file that they come from, if there is one.
    pub brief: Option<Arc<str>>,
    /// The rules that limit a night.
    limits: Brief,
}

/// The camera direction asked for is not known at the site.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{site} has no subject to face: give the site a [subject] with bearing_deg, or face a bearing, target or arch"
)]
pub struct NoSubject {
    /// The site's name.
    pub site: String,
}

/// Why a brief cannot be used at a site.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RulesError {
    /// A value that its rule does not accept.
    #[error("{key}: {error}")]
    Value {
        /// The rule's key.
        key: &'static str,
        /// What is wrong with its value.
        error: ValueError,
    },
    /// A camera that faces the subject of a site without one.
    #[error(transparent)]
    NoSubject(#[from] NoSubject),
    /// A rule about the frame of a camera that is not known.
    #[error(transparent)]
    NoCamera(#[from] NoCamera),
}

/// A rule about the frame is asked of a site whose camera is not known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{site} has no camera for {rule}: give the site a [camera] with focal_mm")]
pub struct NoCamera {
    /// The site's name.
    pub site: String,
    /// The rule's key.
    pub rule: &'static str,
}

impl NoSubject {
    pub(crate) fn at(site: &Site) -> Self {
        Self {
            site: site.title().into_owned(),
        }
    }
}

impl Rules {
    /// The rules that a brief makes at a site; a blank gets the default of its
    /// rule. Of several kinds of light the first counts; [`Rules::of_kinds`]
    /// gives the rules of each.
    ///
    /// # Errors
    ///
    /// A value that its rule does not accept; a brief that faces the subject of
    /// a site that has none; with the Moon as target a rule that has no meaning
    /// then.
    pub fn new(brief: &Brief, site: &Site) -> Result<Self, RulesError> {
        brief.check()?;
        let kinds = brief.get::<LightKinds>(&LIGHT);
        if let Some(kinds) = kinds.filter(LightKinds::are_several) {
            return Self::new(&of_kind(brief, kinds.first()), site);
        }
        let facing = match (brief.get(&FACING), site.subject.is_some()) {
            (Some(Facing::Subject), false) => {
                return Err(NoSubject::at(site).into());
            }
            (Some(facing), _) => facing.at(site).map_err(|error| RulesError::Value {
                key: FACING.key,
                error,
            })?,
            (None, true) => Facing::Subject,
            (None, false) => Facing::Target,
        };
        refuse_without_frame(brief, site, facing)?;
        let asked = Asked {
            facing,
            target: brief.get(&TARGET).unwrap_or(Direction::Core),
            camera: site.camera.is_some(),
            ..Asked::NOTHING
        };
        if asked.target.is_moon() {
            refuse_beside_moon(brief)?;
        }
        refuse_without_size(brief, site)?;
        let light = (LIGHT.default)(asked).and_then(LightKinds::of);
        let asked = Asked {
            light: kinds.or(light).map_or(asked.light, |kinds| kinds.first()),
            ..asked
        };
        if asked.light == LightKind::Dark {
            let expected = "no or any where no Moon is up";
            refuse_moon_in_frame(brief, MoonInFrame::Only, expected)?;
        }
        let mut limits = Brief::default();
        for rule in RULES.iter().filter(|rule| rule.limit.is_some()) {
            let default = || (rule.default)(asked);
            limits.put(rule, brief.value_of(rule).or_else(default));
        }
        Ok(Self {
            light: asked.light,
            target: asked.target,
            facing,
            weights: brief.get(&WEIGHTS).unwrap_or_default(),
            prefer: brief.get(&PREFER),
            preference: 1.0,
            brief: None,
            limits,
        })
    }

    /// The rules of each kind of light that a brief asks for, in order. Rules
    /// about moonlight do not apply to a night without it and are dropped there.
    ///
    /// # Errors
    ///
    /// As [`Rules::new`].
    pub fn of_kinds(brief: &Brief, site: &Site) -> Result<Vec<Self>, RulesError> {
        match brief.get::<LightKinds>(&LIGHT) {
            Some(kinds) if kinds.are_several() => Self::of_each(brief, kinds.as_slice(), site),
            _ => Ok(vec![Self::new(brief, site)?]),
        }
    }

    /// The rules of each of these kinds, with what each is worth beside the
    /// others.
    fn of_each(brief: &Brief, kinds: &[LightKind], site: &Site) -> Result<Vec<Self>, RulesError> {
        let prefer = brief.get::<Preferences>(&PREFER).unwrap_or_default();
        let of_each = kinds.iter().map(|kind| {
            Ok(Self {
                preference: prefer.beside(*kind, kinds),
                ..Self::new(&of_kind(brief, *kind), site)?
            })
        });
        of_each.collect()
    }

    /// The rules of each kind of night that a season shows: the kinds asked for,
    /// the only one where the target is the Moon, else raking, blend and dark.
    /// Rules about moonlight do not apply to a night without it and are dropped
    /// there.
    ///
    /// # Errors
    ///
    /// As [`Rules::new`].
    pub fn of_season(brief: &Brief, site: &Site) -> Result<Vec<Self>, RulesError> {
        let of_moon = |target: Direction| target.is_moon();
        if brief.value_of(&LIGHT).is_some() || brief.get(&TARGET).is_some_and(of_moon) {
            return Self::of_kinds(brief, site);
        }
        let kinds = [LightKind::Raking, LightKind::Blend, LightKind::Dark];
        let mut all = Self::of_each(brief, &kinds, site)?;
        if brief.value_of(&PREFER).is_none() {
            // The first kind that has a window is shown, so each keeps the
            // score that it has alone.
            all.iter_mut().for_each(|rules| rules.preference = 1.0);
        }
        Ok(all)
    }

    /// Whether the scores of some kinds of light were weighed to be compared:
    /// several kinds were asked for, or what each is worth.
    pub fn are_weighed<'a>(mut of_kinds: impl Iterator<Item = &'a Self>) -> bool {
        of_kinds.any(|rules| rules.prefer.is_some() || rules.preference < 1.0)
    }

    /// These rules with one of them typed again, as in an option or a brief;
    /// the defaults of the others do not change.
    ///
    /// # Errors
    ///
    /// An unknown key, or a value that the key does not accept.
    pub fn typed(&self, key: &str, text: &str) -> Result<Self, ValueError> {
        let mut given = Brief::default();
        given.set(key, text)?;
        let given = match given.value_of(&TARGET) {
            // The rules in use stay in use, whatever the target.
            Some(target) => self.to_brief().with(&TARGET, target),
            None => given.or(&self.to_brief()),
        };
        let mut limits = given.clone();
        for rule in RULES.iter().filter(|rule| rule.limit.is_none()) {
            limits.put(rule, None);
        }
        Ok(Self {
            light: given
                .get(&LIGHT)
                .map_or(self.light, |kinds: LightKinds| kinds.first()),
            target: given.get(&TARGET).unwrap_or(self.target),
            facing: given.get(&FACING).unwrap_or(self.facing),
            weights: given.get(&WEIGHTS).unwrap_or(self.weights),
            prefer: given.get(&PREFER).or(self.prefer),
            preference: self.preference,
            brief: self.brief.clone(),
            limits,
        })
    }

    /// These rules with a new value for one limit, which is not checked.
    #[must_use]
    pub fn with(mut self, rule: &Rule, value: impl Into<RuleValue>) -> Self {
        self.limits.put(rule, Some(value.into()));
        self
    }

    /// These rules without one limit, even if that makes little sense by day or
    /// below the horizon. The land stays where it is.
    #[must_use]
    pub fn without(mut self, rule: &Rule) -> Self {
        self.limits.put(rule, None);
        self
    }

    /// Checks that every value is possible.
    ///
    /// # Errors
    ///
    /// The first that is not possible.
    pub fn check(&self) -> Result<(), RulesError> {
        self.to_brief().check()
    }

    /// Removes every limit about moonlight.
    pub fn forget_moonlight(&mut self) {
        self.limits.forget_moonlight();
    }

    /// The value of a rule; `None` if it is off.
    pub fn value_of(&self, rule: &Rule) -> Option<RuleValue> {
        if rule.limit.is_some() {
            return self.limits.value_of(rule);
        }
        self.to_brief().value_of(rule)
    }

    /// Every rule that limits a night with its value, in the order of [`RULES`];
    /// `None` if it is off.
    pub(super) fn limits(&self) -> impl Iterator<Item = (&'static Rule, Option<&RuleValue>)> {
        let all = self.limits.all();
        all.filter(|(rule, _)| rule.limit.is_some())
    }

    /// The value of a limit as its own type; `None` if it is off.
    pub fn get<T: OfRule>(&self, rule: &Rule) -> Option<T> {
        self.limits.get(rule)
    }

    /// What the target is called, see [`Direction::name`].
    pub fn target_name(&self) -> &'static str {
        self.target.name()
    }

    /// The shortest useful window, minutes.
    pub fn min_minutes(&self) -> f64 {
        self.get(&MIN_MINUTES).unwrap_or(0.0)
    }

    /// The lowest score of a window that is worth its night, 0 to 100.
    pub fn min_score(&self) -> f64 {
        match self.value_of(&MIN_SCORE) {
            Some(RuleValue::Score(score)) => score,
            _ => 0.0,
        }
    }

    /// What a rule says, as it can be typed; `None` if it is off.
    pub fn text_of(&self, rule: &Rule) -> Option<String> {
        self.value_of(rule).map(|value| value.to_string())
    }

    /// The rules as a brief that gives everything.
    pub fn to_brief(&self) -> Brief {
        let mut brief = self.limits.clone();
        brief.put(&PREFER, self.prefer.map(RuleValue::from));
        brief
            .with(&LIGHT, self.light)
            .with(&TARGET, self.target)
            .with(&FACING, self.facing)
            .with(&WEIGHTS, self.weights)
    }
}

/// A brief for one of the kinds of light that it asks for.
fn of_kind(brief: &Brief, kind: LightKind) -> Brief {
    Brief::default().with(&LIGHT, kind).or(brief)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn season(rules: &[(&str, &str)]) -> Vec<Rules> {
        let mut brief = Brief::default();
        for (key, text) in rules {
            brief.set(key, text).expect("a rule in the test");
        }
        let site = Site::new(-31.4, 139.2).expect("a place");
        Rules::of_season(&brief, &site).expect("no subject is faced")
    }

    #[test]
    fn a_season_shows_the_kind_asked_for() {
        let shown = season(&[("light", "any")]);
        let lights: Vec<LightKind> = shown.iter().map(|rules| rules.light).collect();
        assert_eq!(lights, [LightKind::Any]);
    }

    #[test]
    fn else_it_shows_three_and_asks_no_moonlight_of_dark_nights() {
        let shown = season(&[("moon_altitude", "3..12"), ("target_altitude", "20..")]);
        let told = |rules: &Rules, key: &str| {
            let entries = rules.to_brief().entries();
            let found = entries.into_iter().find(|(of, _)| *of == key);
            found.map(|(_, text)| text)
        };
        let moon: Vec<_> = shown
            .iter()
            .map(|rules| (rules.light, told(rules, "moon_altitude")))
            .collect();
        let asked = Some("3..12".to_owned());
        // What a dark night asks of the Moon by default.
        let unasked = season(&[("light", "dark")]);
        let by_default = told(&unasked[0], "moon_altitude");
        assert_ne!(by_default, asked);
        assert_eq!(
            moon,
            [
                (LightKind::Raking, asked.clone()),
                (LightKind::Blend, asked),
                (LightKind::Dark, by_default),
            ]
        );
        let core = |rules: &Rules| told(rules, "target_altitude");
        assert!(shown.iter().all(|rules| core(rules) == core(&shown[0])));
    }
}

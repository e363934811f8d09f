//! A site with its rules, ready for questions about nights and instants.

use super::{
    caveats::CaveatWatch,
    constraint::{Constraint, whole},
    interval::Intervals,
    night::{Night, nights},
    plan_error::PlanError,
    score::Aim,
    season::Season,
    sweep::Sweep,
};
use crate::{
    ephemeris::{DirectionTrack, LightGeometry, Moment, Observer, Sky},
    light::{LightInput, Optics},
    rule::{
        Brief, Circumstances, Conditions, FACING, FrameWatch, Lighting, NoSubject, Rule, Rules,
        RulesError, Terrain,
    },
    scene::{Dates, Facing, Site},
};
use chrono::NaiveDate;
use std::sync::Arc;

/// A site with its rules through a season: it gives the windows, nights and
/// instants.
///
/// It owns what it needs, shares the sky of its [`Season`] with every other
/// planner of that season, and can be used from any thread.
///
/// # Example
///
/// ```
/// use chrono::NaiveDate;
/// use rakelight::{
///     rule::Brief,
///     search::Planner,
///     scene::{Dates, Site},
/// };
///
/// let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).unwrap();
/// let site = Site::new(-31.4, 139.2)?;
/// let dates = Dates::new(day(4, 1), day(9, 30))?;
/// let planner = Planner::new(site, &Brief::default(), dates)?;
/// let windows = planner.windows();
/// assert_eq!(windows[0].rank, 1);
/// let best = planner.at(windows[0].best.moment())?;
/// assert!(best.sky.target.apparent_altitude_deg >= 10.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Planner {
    pub(super) season: Season,
    target: Arc<DirectionTrack>,
    pub(super) site: Arc<Site>,
    pub(super) rules: Arc<Rules>,
    observer: Observer,
    pub(super) terrain: Terrain,
    pub(super) lighting: Arc<Lighting>,
    pub(super) frames: Option<FrameWatch>,
    pub(super) sweep: Sweep,
    subject_bearing_deg: Option<f64>,
    pub(super) doubts: CaveatWatch,
    pub(super) aim: Aim,
}

impl Planner {
    /// The planner of a site under a brief, over some dates. The sky is fitted
    /// anew; [`Season::planner`] shares that of a season.
    ///
    /// # Errors
    ///
    /// An impossible site or camera, a value that its rule does not accept, a
    /// brief that faces the subject of a site that has none.
    pub fn new(site: Site, brief: &Brief, dates: Dates) -> Result<Self, PlanError> {
        let rules = Rules::new(brief, &site)?;
        Season::new(dates).planner(site, rules)
    }

    /// The same if site and rules are known to be valid.
    pub(crate) fn unchecked(season: Season, site: Arc<Site>, rules: Arc<Rules>) -> Self {
        let terrain = Terrain::of(&site);
        let lighting = Arc::new(Lighting::of(&site, rules.target, &terrain));
        let frames = FrameWatch::of(&site, rules.facing);
        let at = Circumstances::of(
            &site,
            &rules,
            terrain.clone(),
            Arc::clone(&lighting),
            frames.clone(),
        );
        Self {
            target: season.target(rules.target),
            sweep: Sweep::made(site.zone, Arc::clone(&rules), at)
                .with_spells(season.fraction_spells(&rules)),
            season,
            observer: Observer::new(site.latitude_deg, site.longitude_deg, site.elevation_m),
            subject_bearing_deg: site.subject_bearing_deg(),
            terrain,
            lighting,
            frames,
            doubts: CaveatWatch::of(&site),
            aim: Aim::of(&rules),
            site,
            rules,
        }
    }

    /// The same place and season under other rules, which are not checked.
    #[must_use]
    pub(crate) fn with_rules(&self, rules: &Rules) -> Self {
        let rules = Arc::new(rules.clone());
        let at = self.circumstances(&rules);
        let target = if rules.target == self.rules.target {
            Arc::clone(&self.target)
        } else {
            self.season.target(rules.target)
        };
        Self {
            target,
            lighting: Arc::clone(&at.lighting),
            frames: at.frames.clone(),
            sweep: Sweep::made(self.site.zone, Arc::clone(&rules), at).knowing(&self.sweep),
            aim: Aim::of(&rules),
            rules,
            ..self.clone()
        }
    }

    /// The same for one night of the season.
    ///
    /// # Errors
    ///
    /// A night outside the season.
    pub fn of_night(&self, night: NaiveDate) -> Result<Self, PlanError> {
        Ok(Self {
            season: self.season.of_night(night)?,
            ..self.clone()
        })
    }

    /// What checks need to know of the place under some rules.
    pub(crate) fn circumstances(&self, rules: &Rules) -> Circumstances {
        let lighting = if rules.target == self.rules.target {
            Arc::clone(&self.lighting)
        } else {
            Arc::new(Lighting::of(&self.site, rules.target, &self.terrain))
        };
        let frames = if rules.facing == self.rules.facing {
            self.frames.clone()
        } else {
            FrameWatch::of(&self.site, rules.facing)
        };
        Circumstances::of(&self.site, rules, self.terrain.clone(), lighting, frames)
    }

    /// Every rule of `rules`, which need not be the planner's own, made ready
    /// for its place.
    pub(crate) fn constraints(&self, rules: &Rules) -> Vec<Constraint> {
        Constraint::all(rules, &self.circumstances(rules))
    }

    /// One rule, if it is in use.
    pub(crate) fn constraint(&self, rules: &Rules, rule: &'static Rule) -> Option<Constraint> {
        Constraint::one(rules, rule, &self.circumstances(rules))
    }

    /// The parts of `within`, which belongs to `night`, in which a rule holds.
    pub(crate) fn held(
        &self,
        constraint: &Constraint,
        night: &Night,
        within: &Intervals,
    ) -> Intervals {
        constraint.held(&self.sky(), self.site.zone, night, within)
    }

    /// Whether a rule holds at an instant, seconds; `None` for rules of the
    /// calendar.
    pub(crate) fn holds(&self, constraint: &Constraint, t: f64) -> Option<bool> {
        constraint.holds(&self.sky(), t)
    }

    /// What these rules leave of a night by the search of a scan, where it is at
    /// least so many minutes long.
    pub(crate) fn kept<'a>(
        &self,
        constraints: impl Iterator<Item = &'a Constraint> + Clone,
        night: &Night,
        least_minutes: f64,
    ) -> Intervals {
        self.sweep
            .kept(constraints, whole(night), &self.sky(), night, least_minutes)
    }

    /// The site.
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// The rules.
    pub fn rules(&self) -> &Rules {
        &self.rules
    }

    /// The season.
    pub fn season(&self) -> &Season {
        &self.season
    }

    /// The nights that are searched.
    pub fn dates(&self) -> Dates {
        self.season.dates()
    }

    /// The nights that are searched, one by one.
    pub fn nights(&self) -> impl Iterator<Item = Night> + use<> {
        let dates = self.dates();
        nights(
            self.site.longitude_deg,
            self.site.zone,
            dates.first(),
            dates.last(),
        )
    }

    /// The sky over the site.
    pub(crate) fn sky(&self) -> Sky<'_> {
        Sky::new(
            self.season.ephemeris(),
            &self.target,
            self.observer,
            self.site.air.refraction(),
        )
    }

    /// The night of a date.
    ///
    /// # Errors
    ///
    /// A date outside the season, or one that the zone's calendar skips.
    pub fn night(&self, date: NaiveDate) -> Result<Night, PlanError> {
        let night = Night::of(&self.site, date).filter(|_| self.dates().contains(date));
        night.ok_or_else(|| PlanError::no_such_night(date, self.dates()))
    }

    /// Sky and light at `moment`.
    ///
    /// # Errors
    ///
    /// An instant at which the season's sky is not known: it reaches a day and
    /// a half beyond its nights.
    pub fn at(&self, moment: Moment) -> Result<Conditions, PlanError> {
        self.check_known(moment)?;
        Ok(self.instant_at(moment))
    }

    /// Refuses a moment at which the season's sky is not known.
    pub(crate) fn check_known(&self, moment: Moment) -> Result<(), PlanError> {
        let ephemeris = self.season.ephemeris();
        // NaN lies in no range.
        if (ephemeris.from()..=ephemeris.to()).contains(&moment) {
            return Ok(());
        }
        Err(PlanError::Instant {
            asked: moment.to_utc(),
            from: ephemeris.from().to_utc(),
            to: ephemeris.to().to_utc(),
        })
    }

    /// The bearing in which the rules face, degrees.
    pub(super) fn facing_deg(&self, sky: &LightGeometry) -> f64 {
        let arch = || match self.rules.facing {
            Facing::Arch => self.sky().arch_azimuth_deg(sky.moment),
            _ => None,
        };
        let fixed = self.fixed_facing_deg();
        fixed.or_else(arch).unwrap_or(sky.target.azimuth_deg)
    }

    /// The camera direction, degrees, if it is the same at any moment.
    pub(super) fn fixed_facing_deg(&self) -> Option<f64> {
        match self.rules.facing {
            Facing::Bearing(bearing) | Facing::Magnetic(bearing) => Some(bearing),
            Facing::Subject => self.subject_bearing_deg,
            Facing::Target | Facing::Arch => None,
        }
    }

    pub(super) fn light_input(&self, sky: &LightGeometry, facing_deg: f64) -> LightInput {
        let ephemeris = self.season.ephemeris();
        self.lighting.input(sky, ephemeris, facing_deg)
    }
}

impl Season {
    /// The planner of a site under some rules over this season, sharing its
    /// sky.
    ///
    /// # Errors
    ///
    /// An impossible site or camera, a value that its rule does not accept,
    /// rules that face the subject of a site that has none.
    pub fn planner(
        &self,
        site: impl Into<Arc<Site>>,
        rules: impl Into<Arc<Rules>>,
    ) -> Result<Planner, PlanError> {
        let (site, rules) = (site.into(), rules.into());
        site.check()?;
        site.camera.as_ref().map(Optics::try_from).transpose()?;
        self.check(&rules)?;
        if rules.facing == Facing::Subject && site.subject.is_none() {
            return Err(NoSubject::at(&site).into());
        }
        // Whatever made the rules, a planner knows true bearings alone.
        let facing = rules.facing.at(&site).map_err(|error| RulesError::Value {
            key: FACING.key,
            error,
        })?;
        let rules = match facing == rules.facing {
            true => rules,
            false => {
                let mut own = Rules::clone(&rules);
                own.facing = facing;
                Arc::new(own)
            }
        };
        Ok(Planner::unchecked(self.clone(), site, rules))
    }

    /// A planner for each kind of night that a season shows; see
    /// [`Rules::of_season`].
    ///
    /// # Errors
    ///
    /// An impossible site, a value that its rule does not accept, a brief that
    /// faces the subject of a site that has none.
    pub fn planners(&self, site: &Arc<Site>, brief: &Brief) -> Result<Vec<Planner>, PlanError> {
        Rules::of_season(brief, site)?
            .into_iter()
            .map(|rules| self.planner(Arc::clone(site), rules))
            .collect()
    }
}

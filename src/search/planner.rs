//! A site with its rules, ready to be asked about nights and instants.

use super::{
    caveats::{CaveatWatch, Caveats},
    frame_settings::FrameSettings,
    interval::{Interval, Intervals},
    night::{Night, nights},
    score::{Aim, Factors, length_quality, raking_quality},
    season::Season,
    sweep::Sweep,
    window::{MoonlitPeriod, Window},
};
use crate::{
    ephemeris::{EclipseKind, LightGeometry, Moment, Observer, Sky, SkyState, StarTrack},
    light::{Assessment, LightError, LightInput, MoonEclipse, assess, balance, milky_way},
    parallel,
    rule::{
        Brief, Circumstances, Conditions, NoSubject, Rule, Rules, RulesError, Terrain, offset_deg,
    },
    scene::{Dates, Facing, LightKind, Site, SiteError, ValueError},
};
use chrono::{DateTime, NaiveDate, Utc};
use std::sync::Arc;

/// Nights that are worth a task of their own, some 0.1 ms.
const NIGHTS_A_TASK: usize = 60;

/// A site under its rules through a season: what answers for its windows,
/// nights and instants.
///
/// It owns what it needs, shares the sky of its [`Season`] with every other
/// planner of that season, and can be asked from any thread.
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
    season: Season,
    target: Arc<StarTrack>,
    site: Arc<Site>,
    rules: Arc<Rules>,
    observer: Observer,
    terrain: Terrain,
    sweep: Sweep,
    subject_bearing_deg: Option<f64>,
    doubts: CaveatWatch,
    aim: Aim,
}

/// What a planner cannot be made of, or cannot answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// A site that cannot be.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// A value that its rule does not take.
    #[error("{key}: {error}")]
    Rule {
        /// The rule's key.
        key: &'static str,
        /// What is wrong with its value.
        error: ValueError,
    },
    /// Rules that face a subject which the site does not have.
    #[error(transparent)]
    NoSubject(#[from] NoSubject),
    /// An instant at which the season's sky is not known.
    #[error("{asked} lies outside the season, which is known from {from} to {to}")]
    Instant {
        /// The instant asked for.
        asked: DateTime<Utc>,
        /// The first instant known.
        from: DateTime<Utc>,
        /// The last instant known.
        to: DateTime<Utc>,
    },
    /// A night that is not of the season, or not in the site's calendar.
    #[error("{asked} is no night of the season, which goes from {first} to {last}")]
    Night {
        /// The night asked for.
        asked: NaiveDate,
        /// The first night of the season.
        first: NaiveDate,
        /// The last night of the season.
        last: NaiveDate,
    },
    /// A camera that cannot be.
    #[error(transparent)]
    Camera(#[from] LightError),
}

/// Samples of a window before its best instant is narrowed down: one in twenty
/// minutes, three at least and nine at most. What is sampled changes by
/// fractions of the sky's turning.
const SAMPLE_MINUTES: f64 = 20.0;
/// How closely the best instant is found, seconds.
const BEST_SECONDS: f64 = 15.0;

impl From<RulesError> for PlanError {
    fn from(error: RulesError) -> Self {
        match error {
            RulesError::Value { key, error } => Self::Rule { key, error },
            RulesError::NoSubject(error) => Self::NoSubject(error),
        }
    }
}

impl PlanError {
    pub(crate) fn no_such_night(asked: NaiveDate, dates: Dates) -> Self {
        Self::Night {
            asked,
            first: dates.first(),
            last: dates.last(),
        }
    }
}

impl Planner {
    /// The planner of a site under a brief, over some dates. The sky is fitted
    /// anew; [`Season::planner`] shares that of a season.
    ///
    /// # Errors
    ///
    /// A site or a camera that cannot be, a value that its rule does not take, a
    /// brief that faces the subject of a site that has none.
    pub fn new(site: Site, brief: &Brief, dates: Dates) -> Result<Self, PlanError> {
        let rules = Rules::new(brief, &site)?;
        Season::new(dates).planner(site, rules)
    }

    /// The same where site and rules are known to be sound.
    pub(crate) fn unchecked(season: Season, site: Arc<Site>, rules: Arc<Rules>) -> Self {
        let terrain = Terrain::of(&site);
        let at = Circumstances::of(site.air.refraction(), &site, &rules, terrain.clone());
        Self {
            target: season.target(rules.target),
            season,
            observer: Observer::new(site.latitude_deg, site.longitude_deg, site.elevation_m),
            sweep: Sweep::made(site.zone, Arc::clone(&rules), at),
            subject_bearing_deg: site.subject_bearing_deg(),
            terrain,
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
            sweep: Sweep::made(self.site.zone, Arc::clone(&rules), at),
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
        let air = self.site.air.refraction();
        Circumstances::of(air, &self.site, rules, self.terrain.clone())
    }

    /// The stretches of a night that keep every rule and are long enough, but
    /// for a blend.
    pub(crate) fn stretches(&self, night: &Night) -> Intervals {
        self.sweep
            .night(&self.sky(), night)
            .at_least_minutes(self.rules.min_minutes())
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

    /// Every window, best score first; equal scores in order of time. Ranks are
    /// filled in.
    pub fn windows(&self) -> Vec<Window> {
        let nights: Vec<Night> = self.nights().collect();
        // Shared out within a site too: one site alone must not leave the other
        // cores idle.
        let mut windows =
            parallel::flat_map(&nights, NIGHTS_A_TASK, |night| self.night_windows(night));
        windows.sort_by(|a, b| {
            b.score
                .total_cmp(&a.score)
                .then(a.interval.start.total_cmp(&b.interval.start))
        });
        for (index, window) in windows.iter_mut().enumerate() {
            window.rank = index + 1;
        }
        windows
    }

    /// The night that a date names.
    ///
    /// # Errors
    ///
    /// A date outside the season, or one that the zone's calendar leaves out.
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
        // A moment that is no number lies in no range.
        if (ephemeris.from()..=ephemeris.to()).contains(&moment) {
            return Ok(());
        }
        Err(PlanError::Instant {
            asked: moment.to_utc(),
            from: ephemeris.from().to_utc(),
            to: ephemeris.to().to_utc(),
        })
    }

    /// Sky and light at a moment within the season.
    pub(crate) fn instant_at(&self, moment: Moment) -> Conditions {
        let sky = self.sky().at(moment);
        self.instant(sky, self.facing_deg(&LightGeometry::from(&sky)))
    }

    /// Sky and light at `moment` for a camera that faces one way.
    pub(crate) fn at_facing(&self, moment: Moment, facing_deg: f64) -> Conditions {
        self.instant(self.sky().at(moment), facing_deg)
    }

    fn instant(&self, sky: SkyState, facing_deg: f64) -> Conditions {
        Conditions {
            sky,
            target: self.rules.target,
            facing_deg,
            light: self.light(&LightGeometry::from(&sky), facing_deg),
        }
    }

    /// The bearing in which the rules face, degrees.
    fn facing_deg(&self, sky: &LightGeometry) -> f64 {
        match self.rules.facing {
            Facing::Bearing(bearing) => bearing,
            Facing::Subject => self.subject_bearing_deg.unwrap_or(sky.target.azimuth_deg),
            Facing::Target => sky.target.azimuth_deg,
            Facing::Arch => self
                .sky()
                .arch_azimuth_deg(sky.moment)
                .unwrap_or(sky.target.azimuth_deg),
        }
    }

    fn light(&self, sky: &LightGeometry, facing_deg: f64) -> Assessment {
        let subject = self.site.subject.as_ref();
        assess(&LightInput {
            sun_altitude_deg: sky.sun_altitude_deg,
            moon_altitude_deg: sky.moon.apparent_altitude_deg,
            moon_azimuth_deg: sky.moon.azimuth_deg,
            moon_phase_angle_deg: sky.phase_angle_deg,
            moon_distance_km: sky.moon.distance_km.unwrap_or(384_400.0),
            target_altitude_deg: sky.target.apparent_altitude_deg,
            target_azimuth_deg: sky.target.azimuth_deg,
            moon_target_separation_deg: sky.moon_target_separation_deg,
            facing_deg,
            zenith_mag_arcsec2: self.site.sky.zenith_mag_arcsec2,
            extinction_mag: self.site.sky.extinction_mag,
            reflectance: subject
                .and_then(|subject| subject.reflectance)
                .unwrap_or(balance::DEFAULT_REFLECTANCE),
            milky_way_mag_arcsec2: milky_way::CORE_MAG_ARCSEC2,
            moon_shaded: self.terrain.subject.as_ref().is_some_and(|horizon| {
                sky.moon.apparent_altitude_deg < horizon.altitude_deg_at(sky.moon.azimuth_deg)
            }),
            eclipse: self.eclipse_at(sky.moment),
        })
    }

    fn eclipse_at(&self, moment: Moment) -> MoonEclipse {
        let within = |pair: [Moment; 2]| pair[0] <= moment && moment <= pair[1];
        let Some(eclipse) = self.season.eclipses().iter().find(|e| within(e.penumbral)) else {
            return MoonEclipse::None;
        };
        if eclipse.partial.is_some_and(within) {
            MoonEclipse::Umbral
        } else {
            MoonEclipse::Penumbral
        }
    }

    /// The first rule that leaves no time in `night`; see
    /// [`Sweep::first_unmet`].
    pub(crate) fn first_unmet(&self, night: &Night) -> Option<&'static Rule> {
        self.sweep.first_unmet(&self.sky(), night)
    }

    /// The windows of one night of the season that are long enough, in order of
    /// time; their ranks are 0.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn windows_of(&self, date: NaiveDate) -> Result<Vec<Window>, PlanError> {
        Ok(self.night_windows(&self.night(date)?))
    }

    /// The windows of one night that are long enough, in order of time.
    pub(crate) fn night_windows(&self, night: &Night) -> Vec<Window> {
        if self.rules.light == LightKind::Blend {
            return self.blends(night);
        }
        self.sweep
            .night(&self.sky(), night)
            .at_least_minutes(self.rules.min_minutes())
            .as_slice()
            .iter()
            .map(|interval| {
                let (best, factors) = self.best_sky(*interval);
                self.window(night, *interval, self.instant_at(best), factors, None)
            })
            .collect()
    }

    /// The score's factors at an instant of a window `minutes` long.
    pub fn factors(&self, instant: &Conditions, minutes: f64) -> Factors {
        let sky = LightGeometry::from(&instant.sky);
        self.factors_of(&sky, instant.facing_deg, &instant.light, minutes)
    }

    fn factors_of(
        &self,
        sky: &LightGeometry,
        facing_deg: f64,
        light: &Assessment,
        minutes: f64,
    ) -> Factors {
        self.aim.factors(
            light,
            sky.moon.apparent_altitude_deg,
            sky.target.apparent_altitude_deg,
            offset_deg(sky.target.azimuth_deg, facing_deg),
            minutes,
        )
    }

    /// The instant of a stretch with the highest score.
    fn best_sky(&self, interval: Interval) -> (Moment, Factors) {
        self.best_of(interval, |moment| {
            let sky = self.sky().light_geometry(moment);
            let facing_deg = self.facing_deg(&sky);
            let light = self.light(&sky, facing_deg);
            self.factors_of(&sky, facing_deg, &light, interval.minutes())
        })
    }

    fn window(
        &self,
        night: &Night,
        interval: Interval,
        best: Conditions,
        factors: Factors,
        land: Option<MoonlitPeriod>,
    ) -> Window {
        // A spell and the land's are two stretches: what lies between them is
        // no part of the window.
        let stretches = || std::iter::once(interval).chain(land.as_ref().map(|land| land.interval));
        let eclipse = stretches()
            .filter_map(|interval| self.eclipse_in(interval))
            .max();
        let doubts = stretches()
            .map(|spell| self.doubts.over(&self.sky(), spell))
            .fold(Caveats::default(), Caveats::or);
        Window {
            night: night.date,
            rank: 0,
            score: factors.score(&self.rules.weights),
            factors,
            interval,
            frame: FrameSettings::at(&self.site, &best),
            best,
            land,
            eclipse,
            doubts,
        }
    }

    /// The deepest phase of an eclipse within a stretch with the Moon up.
    fn eclipse_in(&self, interval: Interval) -> Option<EclipseKind> {
        let meets = |pair: [Moment; 2]| {
            let from = pair[0].seconds().max(interval.start);
            let to = pair[1].seconds().min(interval.end);
            // The Moon moves one way while a window lasts, or is up all along.
            let up = |t: f64| {
                self.sky()
                    .at(Moment::from_seconds(t))
                    .moon
                    .apparent_altitude_deg
                    > 0.0
            };
            from <= to && (up(from) || up(to))
        };
        let eclipse = self.season.eclipses().iter().find(|e| meets(e.penumbral))?;
        Some(if eclipse.total.is_some_and(meets) {
            EclipseKind::Total
        } else if eclipse.partial.is_some_and(meets) {
            EclipseKind::Partial
        } else {
            EclipseKind::Penumbral
        })
    }

    /// The instant of a stretch with the highest score: a few samples, then a
    /// golden section around the best of them.
    fn best_of(&self, interval: Interval, judge: impl Fn(Moment) -> Factors) -> (Moment, Factors) {
        let judged = |t: f64| {
            let moment = Moment::from_seconds(t);
            let factors = judge(moment);
            (factors.score(&self.rules.weights), moment, factors)
        };
        let count = ((interval.minutes() / SAMPLE_MINUTES).ceil() as usize).clamp(2, 8);
        let step = (interval.end - interval.start) / count as f64;
        let mut best = judged(interval.start);
        let mut at = 0;
        for index in 1..=count {
            let next = judged(interval.start + step * index as f64);
            if next.0 > best.0 {
                (best, at) = (next, index);
            }
        }
        let mut low = interval.start + step * at.saturating_sub(1) as f64;
        let mut high = interval.start + step * (at + 1).min(count) as f64;
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let mut a = judged(high - GOLDEN * (high - low));
        let mut b = judged(low + GOLDEN * (high - low));
        while high - low > BEST_SECONDS {
            if a.0 >= b.0 {
                high = low + GOLDEN * (high - low);
                b = a;
                a = judged(high - GOLDEN * (high - low));
            } else {
                low = high - GOLDEN * (high - low);
                a = b;
                b = judged(low + GOLDEN * (high - low));
            }
        }
        let finer = if a.0 >= b.0 { a } else { b };
        if finer.0 > best.0 {
            best = finer;
        }
        (best.1, best.2)
    }

    /// Nights that offer both: the Moon low and to the side for the land, and
    /// a dark spell with the target up. The camera stays as it is, so where
    /// the rules face what moves, it faces where that stands when the sky is
    /// best, and the light angle is counted from there.
    fn blends(&self, night: &Night) -> Vec<Window> {
        let minutes = self.rules.min_minutes();
        let dark = self
            .sweep
            .dark_spells(&self.sky(), night)
            .at_least_minutes(minutes);
        dark.as_slice()
            .iter()
            .filter_map(|interval| {
                let best = self.instant_at(self.best_sky(*interval).0);
                let spells = self.sweep.land_spells(&self.sky(), night, best.facing_deg);
                let spell = nearest(&spells.at_least_minutes(minutes), interval)?;
                let (land, _) = self.best_of(spell, |moment| {
                    let moon = self.sky().moon_place(moment);
                    let angle_deg = offset_deg(moon.azimuth_deg, best.facing_deg).abs();
                    Factors {
                        raking: Some(raking_quality(angle_deg, moon.apparent_altitude_deg)),
                        ..Factors::default()
                    }
                });
                let land = self.at_facing(land, best.facing_deg);
                let factors = Factors {
                    contrast: Some(best.light.contrast_kept),
                    // Two exposures: each is set for itself.
                    balance: None,
                    raking: Some(raking_quality(
                        land.signed_light_angle_deg().abs(),
                        land.sky.moon.apparent_altitude_deg,
                    )),
                    position: Some(self.aim.position_quality(
                        best.sky.target.apparent_altitude_deg,
                        best.target_offset_deg(),
                    )),
                    length: Some(length_quality(interval.minutes().min(spell.minutes()))),
                };
                let land = MoonlitPeriod {
                    interval: spell,
                    best: land,
                };
                Some(self.window(night, *interval, best, factors, Some(land)))
            })
            .collect()
    }
}

/// The stretch with the least wait between it and `interval`.
fn nearest(spells: &Intervals, interval: &Interval) -> Option<Interval> {
    let wait = |spell: &Interval| {
        (interval.start - spell.end)
            .max(spell.start - interval.end)
            .max(0.0)
    };
    spells
        .as_slice()
        .iter()
        .copied()
        .min_by(|a, b| wait(a).total_cmp(&wait(b)))
}

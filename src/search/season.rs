//! A range of nights, shared by every site planned over it.

use super::{
    fraction_spells::fraction_spells, interval::Intervals, plan_error::PlanError, recent::Recent,
};
use crate::{
    ephemeris::{Direction, DirectionTrack, Eclipse, Ephemeris, Moment},
    parallel,
    rule::{Limits, MOON_FRACTION, Rules, RulesError},
    scene::{Band, Dates},
};
use chrono::{NaiveDate, NaiveTime};
use std::sync::Arc;

const DAY_SECONDS: f64 = 86_400.0;

/// A range of nights with the sky's motions over it.
///
/// Built once and shared by every site and thread; a copy shares the sky.
#[derive(Debug, Clone)]
pub struct Season {
    dates: Dates,
    sky: Arc<FittedSky>,
}

/// The periods of a season in which the Moon's fraction is within some limits:
/// the same for all places.
#[derive(Debug, Clone)]
pub(super) struct FractionSpells {
    pub limits: Limits,
    pub periods: Arc<Intervals>,
}

/// What is fitted once for all sites.
#[derive(Debug)]
struct FittedSky {
    ephemeris: Ephemeris,
    core: Arc<DirectionTrack>,
    eclipses: Vec<Eclipse>,
    /// Other directions followed through the season.
    tracks: Recent<(Direction, Arc<DirectionTrack>)>,
    /// When the Moon's fraction is within some limits.
    spells: Recent<FractionSpells>,
    /// Rules whose values are possible. Nobody changes them while they are here.
    checked: Recent<Arc<Rules>>,
}

impl Season {
    /// The nights of some dates. It takes 2 ms a year on two cores.
    pub fn new(dates: Dates) -> Self {
        let noon = |date: NaiveDate| {
            Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc()).plus_seconds(43_200.0)
        };
        // Solar noon of a civil date falls within a day of noon UTC of that
        // date, whatever the longitude and the zone; the night ends a day
        // later.
        let ephemeris = Ephemeris::covering(
            noon(dates.first()).plus_seconds(-1.5 * DAY_SECONDS),
            noon(dates.last()).plus_seconds(2.5 * DAY_SECONDS),
        );
        let (core, eclipses) = parallel::join(
            || Arc::new(ephemeris.star(Direction::Core)),
            || ephemeris.lunar_eclipses(ephemeris.from(), ephemeris.to()),
        );
        let sky = FittedSky {
            ephemeris,
            core,
            eclipses,
            tracks: Recent::default(),
            spells: Recent::default(),
            checked: Recent::default(),
        };
        Self {
            dates,
            sky: Arc::new(sky),
        }
    }

    /// One night of this season, sharing its sky.
    ///
    /// # Errors
    ///
    /// A night that is not of the season.
    pub fn of_night(&self, night: NaiveDate) -> Result<Self, PlanError> {
        if !self.dates.contains(night) {
            return Err(PlanError::no_such_night(night, self.dates));
        }
        Ok(Self {
            dates: Dates::clamped(night, night),
            sky: Arc::clone(&self.sky),
        })
    }

    /// The nights.
    pub fn dates(&self) -> Dates {
        self.dates
    }

    /// The sky's motions.
    pub fn ephemeris(&self) -> &Ephemeris {
        &self.sky.ephemeris
    }

    /// The lunar eclipses of the season.
    pub(crate) fn eclipses(&self) -> &[Eclipse] {
        &self.sky.eclipses
    }

    /// A direction followed through the season.
    pub(crate) fn target(&self, direction: Direction) -> Arc<DirectionTrack> {
        if direction == Direction::Core {
            return Arc::clone(&self.sky.core);
        }
        let tracks = &self.sky.tracks;
        let known = tracks.find(|(of, track)| (*of == direction).then(|| Arc::clone(track)));
        known.unwrap_or_else(|| {
            let track = Arc::new(self.sky.ephemeris.star(direction));
            tracks.keep((direction, Arc::clone(&track)));
            track
        })
    }

    /// When the Moon's fraction is as some rules want it; `None` if they do not
    /// limit it. It is searched once for many sites.
    pub(super) fn fraction_spells(&self, rules: &Rules) -> Option<FractionSpells> {
        let limits = Limits::of_fractions(rules.get::<Band>(&MOON_FRACTION)?);
        let spells = &self.sky.spells;
        let known = spells.find(|known| (known.limits == limits).then(|| known.clone()));
        Some(known.unwrap_or_else(|| {
            let ephemeris = &self.sky.ephemeris;
            let span = [ephemeris.from(), ephemeris.to()].map(Moment::seconds);
            let periods = fraction_spells(ephemeris, limits, span);
            let made = FractionSpells {
                limits,
                periods: Arc::new(periods),
            };
            spells.keep(made.clone());
            made
        }))
    }

    /// Checks that every value of some rules is possible. Rules that many sites
    /// share are checked once.
    ///
    /// # Errors
    ///
    /// The first that is not possible.
    pub(super) fn check(&self, rules: &Arc<Rules>) -> Result<(), RulesError> {
        let checked = &self.sky.checked;
        let known = checked.find(|known| Arc::ptr_eq(known, rules).then_some(()));
        if known.is_none() {
            rules.check()?;
            checked.keep(Arc::clone(rules));
        }
        Ok(())
    }
}

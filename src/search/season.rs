//! A range of nights, shared by every site planned over it.

use super::{plan_error::PlanError, recent::Recent};
use crate::{
    ephemeris::{Direction, DirectionTrack, Eclipse, Ephemeris, Moment},
    parallel,
    rule::{Rules, RulesError},
    scene::Dates,
};
use chrono::{NaiveDate, NaiveTime};
use std::sync::Arc;

/// A range of nights with the sky's motions over it.
///
/// Built once and shared by every site and thread; a copy shares the sky.
#[derive(Debug, Clone)]
pub struct Season {
    dates: Dates,
    sky: Arc<FittedSky>,
}

/// What is fitted once for all sites.
#[derive(Debug)]
struct FittedSky {
    ephemeris: Ephemeris,
    core: Arc<DirectionTrack>,
    eclipses: Vec<Eclipse>,
    /// Other directions followed through the season.
    tracks: Recent<(Direction, Arc<DirectionTrack>)>,
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
        let day = 86_400.0;
        let ephemeris = Ephemeris::covering(
            noon(dates.first()).plus_seconds(-1.5 * day),
            noon(dates.last()).plus_seconds(2.5 * day),
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

//! The periods of a night that decide what is shot when.

use crate::{
    rule::Rules,
    rule::{CLOCK, DATES, MOON_ALTITUDE, NOT_DATES, SUN_ALTITUDE, TIMES, WEEKDAYS},
    scene::{Band, LightKind},
    search::{Interval, Night, Planner, Sweep},
};

/// The Sun's altitude below which frames of the land by moonlight alone are
/// made, degrees: the end of nautical twilight. Common practice, no source.
const MOONLIT_SUN_DEG: f64 = -12.0;
/// A Moon lower than this hardly lights the land, degrees. Common practice, no
/// source.
const MOONLIT_MOON_DEG: f64 = 1.0;
/// The Sun's altitude for a dark sky if the rules allow a brighter one,
/// degrees.
const DARK_SUN_DEG: f64 = -18.0;

/// The periods of a night that decide what is shot when, whatever the rules say
/// about the Moon, the clock or the day.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Periods {
    /// The target is within the rules and clear of the ridge, by day or night.
    pub in_place: Vec<Interval>,
    /// The Moon lights the land: at least 1 degree up and clear of the ridge,
    /// with the Sun below -12 degrees.
    pub moonlit: Vec<Interval>,
    /// No Moon, the Sun below -18 degrees (or lower, where the rules say so)
    /// and the target in place.
    pub dark: Vec<Interval>,
}

impl Periods {
    /// The periods of `night`.
    pub fn of(planner: &Planner, night: &Night) -> Self {
        let (rules, sky) = (planner.rules(), planner.sky());
        let of_calendar = [&CLOCK, &WEEKDAYS, &DATES, &NOT_DATES, &TIMES];
        let mut free = of_calendar
            .into_iter()
            .fold(rules.clone(), |rules, rule| rules.without(rule));
        free.forget_moonlight();
        let sweep = |rules: &Rules, ask: &dyn Fn(&Sweep) -> Vec<Interval>| {
            ask(&Sweep::new(&sky, planner.site(), rules).however_short())
        };
        let mut by_day = free.clone().without(&SUN_ALTITUDE);
        by_day.light = LightKind::Any;
        let in_place = sweep(&by_day, &|s| s.night(&sky, night).as_slice().to_vec());
        let mut by_moon = free
            .clone()
            .with(&SUN_ALTITUDE, Band::up_to(MOONLIT_SUN_DEG))
            .with(&MOON_ALTITUDE, Band::from(MOONLIT_MOON_DEG));
        by_moon.light = LightKind::Raking;
        let moonlit = sweep(&by_moon, &|s| {
            let left = s.moonlit_for_any_facing(&sky, night, None);
            s.moonlit_periods(&sky, night, 0.0, left)
                .as_slice()
                .to_vec()
        });
        let sun = rules.get(&SUN_ALTITUDE).unwrap_or(Band::ANY);
        let moonless = free.with(&SUN_ALTITUDE, Band::up_to(sun.high.min(DARK_SUN_DEG)));
        let dark = sweep(&moonless, &|s| {
            s.dark_periods(&sky, night, None).as_slice().to_vec()
        });
        Self {
            in_place,
            moonlit,
            dark,
        }
    }
}

//! Quarters of the Moon, perigees and apogees.

use super::{Ephemeris, Moment, bounded::Reading, search::crossings};
use std::f64::consts::{FRAC_PI_2, TAU};

/// A quarter of the Moon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quarter {
    /// New Moon.
    New,
    /// First quarter.
    First,
    /// Full Moon.
    Full,
    /// Last quarter.
    Last,
}

/// The Moon's nearest or farthest point from the Earth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ApsisKind {
    /// Nearest.
    Perigee,
    /// Farthest.
    Apogee,
}

/// A perigee or apogee.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Apsis {
    /// Which.
    pub kind: ApsisKind,
    /// When.
    pub moment: Moment,
    /// Distance between the centres of Earth and Moon, kilometres.
    pub distance_km: f64,
}

/// Faster than the Moon ever gains on the Sun, radians a second: its 15.4
/// degrees a day near perigee, with a fixed Sun.
const FASTEST_GAIN: f64 = 15.5 * std::f64::consts::PI / 180.0 / 86_400.0;
/// The last step toward a quarter, seconds; the time is then solved for.
const CLOSE_SECONDS: f64 = 0.05;
/// Greater than any change of the Moon's radial speed, km/s2. Its distance
/// swings by 21 000 km in 27.3 days, 3 700 km in 31.8 days and 3 000 km in
/// 14.8 days (the greatest terms of its distance, Chapront & Chapront-Touze
/// 1988, as in Meeus, ch. 47): together 2.4e-7.
const SHARPEST_RADIAL: f64 = 6e-7;

impl Ephemeris {
    /// Longitude of the Moon east of the Sun on the ecliptic of date, both
    /// apparent and geocentric, radians, 0 to 2 pi.
    fn longitude_gain(&self, moment: Moment) -> f64 {
        let pole = self.ecliptic_pole(moment);
        let (sun, moon) = (self.sun_km(moment), self.moon_km(moment));
        let sine = pole.dot(sun.cross(moon));
        let cosine = sun.dot(moon) - sun.dot(pole) * moon.dot(pole);
        sine.atan2(cosine).rem_euclid(TAU)
    }

    /// Every quarter of the Moon from `from` to `to` within the span: the
    /// apparent geocentric longitudes of Moon and Sun differ by 0, 90, 180 or
    /// 270 degrees.
    pub fn quarters(&self, from: Moment, to: Moment) -> Vec<(Quarter, Moment)> {
        const ORDER: [Quarter; 4] = [Quarter::New, Quarter::First, Quarter::Full, Quarter::Last];
        let mut quarters = Vec::new();
        let mut time = from.seconds();
        let mut gain = self.longitude_gain(from);
        // The next quarter's number, counted from the last new Moon.
        let mut next = (gain / FRAC_PI_2).floor() as usize + 1;
        let mut goal = next as f64 * FRAC_PI_2;
        while time < to.seconds() {
            let left = goal - gain;
            let step = left / FASTEST_GAIN;
            if step > CLOSE_SECONDS {
                time += step;
                let now = self.longitude_gain(Moment::from_seconds(time));
                // Past the new Moon the gain starts again from 0.
                gain = now + TAU * ((gain - now) / TAU).round();
                continue;
            }
            if time <= to.seconds() {
                quarters.push((ORDER[next % 4], Moment::from_seconds(time + step)));
            }
            next += 1;
            goal += FRAC_PI_2;
        }
        quarters
    }

    /// Days since the last new Moon; `None` if that is before the span.
    pub fn moon_age_days(&self, moment: Moment) -> Option<f64> {
        // A lunation lasts at most 29.84 days.
        let from = moment.plus_seconds(-30.0 * 86_400.0);
        let from = if self.contains(from) {
            from
        } else {
            self.from()
        };
        self.quarters(from, moment)
            .into_iter()
            .rev()
            .find(|(quarter, _)| *quarter == Quarter::New)
            .map(|(_, new)| (moment.seconds() - new.seconds()) / 86_400.0)
    }

    /// Every perigee and apogee from `from` to `to` within the span.
    pub fn apsides(&self, from: Moment, to: Moment) -> Vec<Apsis> {
        let mut times = Vec::new();
        let mut receding = |t: f64| {
            let (position, rate) = self.moon_km_with_rate(Moment::from_seconds(t));
            let speed = position.dot(rate) / position.length();
            Reading {
                margin: speed,
                safe_seconds: speed.abs() / SHARPEST_RADIAL,
            }
        };
        let mut away = crossings(from.seconds(), to.seconds(), &mut receding, |t| {
            times.push(t)
        });
        times
            .into_iter()
            .map(|time| {
                away = !away;
                let moment = Moment::from_seconds(time);
                Apsis {
                    kind: if away {
                        ApsisKind::Perigee
                    } else {
                        ApsisKind::Apogee
                    },
                    moment,
                    distance_km: self.moon_km(moment).length(),
                }
            })
            .collect()
    }
}

//! Rise, set, transit and the twilights.

use super::{Moment, Sky, bounded::Bounded, search::crossings};

/// Mean radius of the Moon, kilometres (IAU Working Group on Cartographic
/// Coordinates and Rotational Elements, 2009 report).
pub(crate) const MOON_RADIUS_KM: f64 = 1737.4;
/// Refraction at the horizon by the convention of rise and set, degrees: 34'.
const HORIZON_REFRACTION_DEG: f64 = 34.0 / 60.0;
/// Geometric altitude of the Sun's centre at its rise and set, degrees: 34' of
/// refraction and 16' of semi-diameter.
const SUN_RISE_DEG: f64 = -50.0 / 60.0;

/// What happens.
///
/// Sun and Moon rise and set by the upper limb with 34' of refraction at a
/// level sea horizon (U.S. Naval Observatory, *Rise, Set, and Twilight
/// Definitions*; HM Nautical Almanac Office, *Astronomical Information Sheet
/// No. 7*, 1996): the Sun's centre at -50', the Moon's at -34' less its
/// semi-diameter as it is at that instant. The target rises and sets at
/// apparent altitude 0; where it is the Moon, moonrise and moonset are all that
/// is said of it. Twilights end and begin with the Sun's centre at
/// geometric -6, -12 and -18 degrees. A transit is the upper one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
#[non_exhaustive]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// The Sun's upper limb sinks below the horizon.
    Sunset,
    /// The Sun sinks below -6 degrees.
    CivilDusk,
    /// The Sun sinks below -12 degrees.
    NauticalDusk,
    /// The Sun sinks below -18 degrees.
    AstronomicalDusk,
    /// The Sun rises above -18 degrees.
    AstronomicalDawn,
    /// The Sun rises above -12 degrees.
    NauticalDawn,
    /// The Sun rises above -6 degrees.
    CivilDawn,
    /// The Sun's upper limb appears.
    Sunrise,
    /// The Moon's upper limb appears.
    Moonrise,
    /// The Moon crosses the meridian above the pole.
    MoonTransit,
    /// The Moon's upper limb sinks.
    Moonset,
    /// The target rises.
    TargetRise,
    /// The target crosses the meridian above the pole.
    TargetTransit,
    /// The target sets.
    TargetSet,
}

/// Something that happens at a moment.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Event {
    /// What.
    pub kind: EventKind,
    /// When.
    pub moment: Moment,
}

impl Sky<'_> {
    /// Everything that happens from `from` to `to`, in order of time.
    ///
    /// An event that does not happen is not in the list: a polar day has no
    /// sunset, and about once in 29 days there is no moonrise.
    ///
    /// Errors: a few seconds against DE421 with the same conventions unless the
    /// body grazes; the real air shifts rise and set by a minute or two.
    pub fn events(&self, from: Moment, to: Moment) -> Vec<Event> {
        use EventKind::{
            AstronomicalDawn, AstronomicalDusk, CivilDawn, CivilDusk, MoonTransit, Moonrise,
            Moonset, NauticalDawn, NauticalDusk, Sunrise, Sunset, TargetRise, TargetSet,
            TargetTransit,
        };
        let mut events = Vec::new();
        let mut watch = |rising: Option<EventKind>,
                         falling: Option<EventKind>,
                         quantity: &dyn Fn(f64) -> Bounded| {
            let mut times = Vec::new();
            let mut holds = crossings(
                from.seconds(),
                to.seconds(),
                &mut |t: f64| quantity(t).reading(),
                |t| times.push(t),
            );
            for time in times {
                holds = !holds;
                if let Some(kind) = if holds { rising } else { falling } {
                    events.push(Event {
                        kind,
                        moment: Moment::from_seconds(time),
                    });
                }
            }
        };
        let sine = |degrees: f64| Bounded::constant(degrees.to_radians().sin());
        for (altitude, dawn, dusk) in [
            (SUN_RISE_DEG, Sunrise, Sunset),
            (-6.0, CivilDawn, CivilDusk),
            (-12.0, NauticalDawn, NauticalDusk),
            (-18.0, AstronomicalDawn, AstronomicalDusk),
        ] {
            watch(Some(dawn), Some(dusk), &|t| self.sun_up(t) - sine(altitude));
        }
        watch(Some(Moonrise), Some(Moonset), &|t| {
            self.moon_over_horizon(t)
        });
        // West of the meridian the east component is negative; it falls
        // through zero at the upper transit and rises at the lower.
        watch(None, Some(MoonTransit), &|t| self.moon(t).0.east);
        if !self.target_is_moon() {
            let target_rise = sine(self.refraction().true_deg(0.0));
            watch(Some(TargetRise), Some(TargetSet), &|t| {
                self.target(t).up - target_rise
            });
            watch(None, Some(TargetTransit), &|t| self.target(t).east);
        }
        events.sort_by(|a, b| {
            a.moment
                .seconds()
                .total_cmp(&b.moment.seconds())
                .then(a.kind.cmp(&b.kind))
        });
        events
    }
}

impl Sky<'_> {
    /// How far the Moon is above where it rises and sets, as the sine of its
    /// altitude: positive from moonrise to moonset.
    pub(crate) fn moon_over_horizon(&self, t: f64) -> Bounded {
        let (moon, distance_km) = self.moon(t);
        moon.up - Bounded::constant(moon_rise_sine(distance_km))
    }
}

/// Sine of the geometric altitude of the Moon's centre when its upper limb
/// shows on the horizon.
fn moon_rise_sine(distance_km: f64) -> f64 {
    let semi_diameter = (MOON_RADIUS_KM / distance_km).asin();
    -(HORIZON_REFRACTION_DEG.to_radians() + semi_diameter).sin()
}

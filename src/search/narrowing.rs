//! What a night's rules of altitude rule out in closed form, before anything is
//! searched.

use super::{constraint::Constraint, interval::Intervals};
use crate::ephemeris::{Body, Sky};

/// The parts of `within` that rules of altitude among `constraints` do not rule
/// out: none in which all of them hold is lost, and the edges that are left
/// still have to be searched. It costs a place and an arc cosine for each body.
pub(crate) fn not_ruled_out<'a>(
    constraints: impl Iterator<Item = &'a Constraint>,
    sky: &Sky<'_>,
    mut within: Intervals,
) -> Intervals {
    if within.is_empty() {
        return within;
    }
    // The star first, whose circle is known best. The Moon, whose circle is
    // known least, is left the fewest hours.
    let mut of_bodies = [(Body::Target, None), (Body::Sun, None), (Body::Moon, None)];
    for (body, limits) in constraints.filter_map(Constraint::altitude) {
        let of_body = of_bodies.iter_mut().find(|(of, _)| *of == body);
        if let Some((_, known)) = of_body {
            *known = Some(limits);
        }
    }
    for (body, limits) in of_bodies {
        let Some(limits) = limits else { continue };
        within = within.parts(|period, part| {
            let circle = sky.diurnal_circle(body, period.middle());
            let ends = [period.start, period.end];
            circle.may_be_within([limits.low, limits.high], ends, part);
        });
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        ephemeris::{Direction, Ephemeris, Moment, Observer, Refraction, SkyState},
        rule::{
            Brief, LIGHT, MOON_ALTITUDE, MOON_FRACTION, Rules, SUN_ALTITUDE, TARGET,
            TARGET_ALTITUDE,
        },
        scene::{Band, LightKind, Site, Zone},
        search::{Interval, Night, Sweep, constraint::whole},
    };

    /// Numbers that look random (the generator of Steele, Lea & Flood 2014).
    struct Dice(u64);

    impl Dice {
        fn between(&mut self, low: f64, high: f64) -> f64 {
            self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            low + (high - low) * ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
        }

        fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
            all[(self.between(0.0, all.len() as f64) as usize).min(all.len() - 1)]
        }
    }

    /// A band of altitudes that ends near one that a body turns at or passes, to
    /// a hair or to some degrees.
    fn band(dice: &mut Dice, altitudes_deg: &[f64]) -> Band {
        let highest = altitudes_deg.iter().copied().fold(f64::MIN, f64::max);
        let lowest = altitudes_deg.iter().copied().fold(f64::MAX, f64::min);
        let passed = dice.one_of(altitudes_deg);
        let end = dice.one_of(&[highest, lowest, passed]);
        let off = dice.one_of(&[-1.0, 1.0]) * 10_f64.powf(dice.between(-6.0, 1.0));
        let end = (end + off).clamp(-89.9, 89.9);
        match dice.one_of(&[0, 1, 2]) {
            0 => Band::from(end),
            1 => Band::up_to(end),
            _ => Band::new((end - dice.between(1e-3, 60.0)).max(-90.0), end),
        }
    }

    /// A night under random rules with what is ruled out beforehand and
    /// without: both, and whether anything was.
    fn both_ways(seed: u64) -> (Intervals, Intervals, bool) {
        let mut dice = Dice(seed);
        let hair = dice.between(-1e-3, 1e-3);
        let any = dice.between(-90.0, 90.0);
        let latitude = dice.one_of(&[90.0, -90.0, 89.99, -89.99, 66.5 + hair, 0.0, any, any]);
        let anywhere = dice.between(-90.0, 90.0);
        // Through the zenith, along the horizon, at the pole, on the equator.
        let horizon = 90.0 - latitude.abs() + hair;
        let declination = dice.one_of(&[anywhere, latitude + hair, horizon, 90.0, 0.0]);
        let star = Direction::Icrs {
            right_ascension_deg: dice.between(0.0, 360.0),
            declination_deg: declination.clamp(-90.0, 90.0),
        };
        let target = dice.one_of(&[star, star, Direction::Core, Direction::Moon]);
        let mut site = Site::new(latitude, dice.between(-180.0, 180.0)).expect("a place");
        site.zone = Zone::UTC;
        let observer = Observer::new(latitude, site.longitude_deg, dice.between(-400.0, 8000.0));
        let air = Refraction::new(dice.between(300.0, 1080.0), dice.between(-60.0, 50.0));
        let moment = Moment::from_seconds(dice.between(-3.15e9, 3.15e9));
        let night = Night::at(site.longitude_deg, site.zone, moment);
        let ephemeris = Ephemeris::covering(night.start, night.end);
        let track = ephemeris.star(target);
        let sky = Sky::new(&ephemeris, &track, observer, air);
        let times = (0..=288).map(|step| night.start.plus_seconds(300.0 * f64::from(step)));
        let states: Vec<SkyState> = times.map(|moment| sky.at(moment)).collect();
        let altitudes = |altitude: fn(&SkyState) -> f64| states.iter().map(altitude).collect();
        let of_target: Vec<f64> = altitudes(|sky| sky.target.apparent_altitude_deg);
        let of_sun: Vec<f64> = altitudes(|sky| sky.sun.altitude_deg);
        let of_moon: Vec<f64> = altitudes(|sky| sky.moon.apparent_altitude_deg);
        let mut brief = Brief::default()
            .with(&LIGHT, LightKind::Any)
            .with(&TARGET, target)
            .with(&SUN_ALTITUDE, Band::new(-90.0, 90.0))
            .with(&TARGET_ALTITUDE, Band::new(-90.0, 90.0));
        let asked = dice.between(1.0, 15.99) as u32;
        if asked & 1 != 0 {
            brief = brief.with(&TARGET_ALTITUDE, band(&mut dice, &of_target));
        }
        if asked & 2 != 0 {
            brief = brief.with(&SUN_ALTITUDE, band(&mut dice, &of_sun));
        }
        if asked & 4 != 0 {
            brief = brief.with(&MOON_ALTITUDE, band(&mut dice, &of_moon));
        }
        if asked & 8 != 0 {
            let fraction = states[144].phase.illuminated_fraction;
            let low = (fraction - dice.between(0.0, 0.2)).max(0.0);
            brief = brief.with(&MOON_FRACTION, Band::new(low, (low + 0.2).min(1.0)));
        }
        let rules = Rules::new(&brief, &site).expect("rules");
        let rules = rules.without(&crate::rule::CONTRAST);
        let sweep = Sweep::new(&sky, &site, &rules);
        let constraints = sweep.constraints();
        let plainly = constraints.iter().fold(whole(&night), |held, constraint| {
            constraint.searched(&sky, &night, &held)
        });
        let left = not_ruled_out(constraints.iter(), &sky, whole(&night));
        (sweep.night(&sky, &night), plainly, left != whole(&night))
    }

    /// Whether each period of more than two seconds is among others, with edges
    /// within a tenth of a second.
    fn lost(periods: &Intervals, others: &Intervals) -> Option<Interval> {
        let same = |a: &Interval, b: &Interval| {
            (a.start - b.start).abs() < 0.1 && (a.end - b.end).abs() < 0.1
        };
        let long = periods.as_slice().iter().filter(|a| a.end - a.start > 2.0);
        let mut lost = long.filter(|a| !others.as_slice().iter().any(|b| same(a, b)));
        lost.next().copied()
    }

    #[test]
    fn what_is_ruled_out_beforehand_changes_no_period() {
        let (mut found, mut short, mut narrowed) = (0, 0, 0);
        for seed in 0..1500 {
            let (ours, plainly, less) = both_ways(seed);
            assert_eq!(
                lost(&plainly, &ours),
                None,
                "seed {seed}: lost from {plainly:?}"
            );
            assert_eq!(
                lost(&ours, &plainly),
                None,
                "seed {seed}: invented beside {plainly:?}"
            );
            found += ours.as_slice().len();
            let brief = |period: &&Interval| period.minutes() < 10.0;
            short += ours.as_slice().iter().filter(brief).count();
            narrowed += usize::from(less);
        }
        // The dice must really have asked something.
        assert!(
            found > 800 && short > 80 && narrowed > 600,
            "{found} {short} {narrowed}"
        );
    }
}

//! Whether a contrast is within its band for some time, told from one instant.

use super::{
    lighting::{ECLIPSE_WITHIN_DEG, Lighting},
    pace::TURN,
};
use crate::{
    ephemeris::{Body, MOON_STRAY, Moment, SUN_STRAY, Sky, SkyRegion},
    light::{Within, moon_below::NO_GLOW_DEG, twilight},
    scene::Band,
};

/// Fastest change of the angle between Moon and target, degrees a second: the
/// Moon's own motion and its parallax.
pub(super) const SEPARATION_RATE: f64 = 3e-4;
/// Fastest change of the dark sky by zodiacal light alone, per second: the Sun
/// moves by a degree a day.
pub(super) const ZODIACAL_RATE: f64 = 2e-6;
/// Fastest change of the Moon's light outside the air, per second: 0.12
/// magnitudes a degree of phase near new Moon, where it goes 0.65 degrees an
/// hour, and its distance as the Earth turns.
const MOONLIGHT_RATE: f64 = 2.5e-5;
/// What the published constants leave open: a bound that is passed by less.
const SPARE: f64 = 1e-6;

impl Lighting {
    /// Whether the contrast is within a band at all times between two, seconds;
    /// `None` if this does not tell.
    pub fn is_contrast_within(&self, band: Band, sky: &Sky<'_>, times: [f64; 2]) -> Option<bool> {
        let Some([least, most]) = self.contrast_between(sky, times) else {
            return Some(true);
        };
        let (surely, at_most) = (least * (1.0 - SPARE), most * (1.0 + SPARE));
        if band.low <= surely && at_most <= band.high {
            Some(true)
        } else if at_most < band.low || band.high < surely {
            Some(false)
        } else {
            None
        }
    }

    /// Between which values the contrast stays; `None` where the target's
    /// brightness is not known.
    fn contrast_between(&self, sky: &Sky<'_>, [from, to]: [f64; 2]) -> Option<[f64; 2]> {
        self.milky_way_mag_arcsec2?;
        let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
        let now = sky.light_geometry(Moment::from_seconds(middle));
        let input = self.input(&now, sky.ephemeris(), 0.0);
        // Only as exactly as it counts.
        let region = |body, altitude_deg: f64, stray: f64, counts_from_deg: f64| {
            let highest_deg = altitude_deg + TURN * (1.0 + stray) * half;
            let counts = highest_deg >= counts_from_deg;
            counts.then(|| sky.region_of(body, [from, to]))
        };
        let altitudes =
            |region: Option<SkyRegion>| region.map_or([-90.0; 2], |at| at.altitudes_deg);
        let sun = region(
            Body::Sun,
            now.sun_altitude_deg,
            SUN_STRAY,
            twilight::END_DEG,
        );
        let moon = region(Body::Moon, now.moon.altitude_deg, MOON_STRAY, NO_GLOW_DEG);
        let target = sky.region_of(Body::Target, [from, to]);
        let (azimuth_deg, reach_deg) = (now.target.azimuth_deg, target.reach_deg());
        let azimuth_from_sun_deg = sun.map_or([0.0, 180.0], |sun| {
            let off = (azimuth_deg - sun.azimuth_deg()).rem_euclid(360.0);
            let off = off.min(360.0 - off);
            let reach = reach_deg + sun.reach_deg();
            [(off - reach).max(0.0), (off + reach).min(180.0)]
        });
        let strayed = SEPARATION_RATE * half;
        let separation_deg = input.moon_target_separation_deg;
        let air = sky.refraction();
        let target_altitude_deg = target.altitudes_deg.map(|deg| air.apparent_deg(deg));
        let may_be_eclipsed = now.phase_angle_deg < ECLIPSE_WITHIN_DEG + strayed;
        input.contrast_between(&Within {
            target_altitude_deg,
            moon_altitude_deg: altitudes(moon).map(|deg| air.apparent_deg(deg)),
            sun_altitude_deg: altitudes(sun),
            moon_target_separation_deg: [
                (separation_deg - strayed).max(0.0),
                (separation_deg + strayed).min(180.0),
            ],
            azimuth_from_sun_deg,
            glow_cd_m2: self.glow_between(azimuth_deg, reach_deg, target_altitude_deg),
            moonlight_factor: [
                if may_be_eclipsed {
                    0.0
                } else {
                    (-MOONLIGHT_RATE * half).exp()
                },
                (MOONLIGHT_RATE * half).exp(),
            ],
            dark_factor: [(-ZODIACAL_RATE * half).exp(), (ZODIACAL_RATE * half).exp()],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        ephemeris::{Direction, Ephemeris, Observer, Refraction},
        light::sky_behind,
        rule::Terrain,
        scene::{Site, SkyGlow},
    };

    /// A place with much that can change a sky: a town, snow or bare rock, haze.
    fn lighting(number: u32) -> Lighting {
        let mut site = Site::new(0.0, 0.0).expect("a place");
        site.sky.extinction_mag = [0.12, 0.2, 0.45][(number % 3) as usize];
        site.sky.zenith_mag_arcsec2 = [21.8, 20.1][(number % 2) as usize];
        if number % 5 < 2 {
            site.sky_glow = vec![SkyGlow {
                bearing_deg: f64::from(number % 7) * 50.0,
                half_width_deg: 25.0,
                top_altitude_deg: 20.0,
                mag_arcsec2: 18.5,
            }];
        }
        let mut lighting = Lighting::of(&site, Direction::Core, &Terrain::default());
        lighting.reflectance = [0.15, 0.8][(number / 2 % 2) as usize];
        lighting
    }

    #[test]
    fn no_contrast_is_beyond_what_is_known_of_it() {
        let start = Moment::from_seconds(26.2 * 365.25 * 86_400.0);
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(70.0 * 86_400.0));
        let star = ephemeris.star(Direction::Core);
        let air = Refraction::new(1010.0, 10.0);
        let (mut told, mut narrow) = (0, 0);
        for (latitude, lengths) in [
            (-90.0, [7200.0, 300.0]),
            (-61.0, [1800.0, 60.0]),
            (-29.0, [10_800.0, 900.0]),
            (-1.0, [3600.0, 60.0]),
            (12.0, [7200.0, 600.0]),
            (47.0, [3600.0, 300.0]),
            (69.0, [20_000.0, 60.0]),
        ] {
            let observer = Observer::new(latitude, 17.0, 0.0);
            let sky = Sky::new(&ephemeris, &star, observer, air);
            for step in 0..500_u32 {
                let lighting = lighting(step);
                for length in lengths {
                    let from = start.seconds() + 10_000.0 + f64::from(step) * 11_371.0;
                    let to = from + length;
                    let Some([least, most]) = lighting.contrast_between(&sky, [from, to]) else {
                        panic!("the core's brightness is known");
                    };
                    for part in 0..=8 {
                        let t = from + length * f64::from(part) / 8.0;
                        let now = sky.light_geometry(Moment::from_seconds(t));
                        let input = lighting.input(&now, sky.ephemeris(), 0.0);
                        let contrast = sky_behind(&input).contrast().expect("a contrast");
                        assert!(
                            least * (1.0 - SPARE) <= contrast && contrast <= most * (1.0 + SPARE),
                            "{latitude} {step} {length}: {contrast} of {least}..{most}"
                        );
                    }
                    told += 1;
                    narrow += i32::from(most < 2.0 * least);
                }
            }
        }
        // They must say something.
        assert!(narrow * 2 > told, "{narrow} of {told}");
    }
}

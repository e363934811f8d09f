//! What the light at a place depends on besides the time.

use super::ridge::Terrain;
use crate::{
    ephemeris::{Direction, Ephemeris, Horizontal, LandGeometry, LightGeometry},
    light::{
        Assessment, Balances, LandRange, LightInput, NO_SKYLINE_DEG, PlaceLight, balance,
        eclipse_drop_mag,
        land_range::{ReflectanceKnown, half_width_stops},
        moon_disc,
        photometry::{luminance_cd_m2, s10_to_mag_arcsec2},
        sky_glow::{self, Dome},
        starlight::{self, CORE_FIELD_S10, Field},
        zodiacal::zodiacal_s10,
    },
    scene::{Site, Skyline},
};
use std::sync::Arc;

/// Phase angle beyond which the Moon is in no shadow of the Earth, degrees: the
/// penumbra and the Moon together reach 1.6 degrees from its axis.
pub(super) const ECLIPSE_WITHIN_DEG: f64 = 2.0;

/// The size of the field over which the contrast of a target is meant,
/// degrees: that of the core's, see [`starlight::CORE_FIELD`].
const FIELD_DEG: (f64, f64) = (
    starlight::CORE_FIELD.width_deg,
    starlight::CORE_FIELD.height_deg,
);

/// How far a zenith brightness by Bortle class or a guess may be off,
/// magnitudes.
const UNSURE_ZENITH_MAG: f64 = 0.3;
/// How far a meter reading of another night may be off, magnitudes.
const UNSURE_METER_MAG: f64 = 0.2;
/// Clear and hazy air over the usual one of an elevation: 0.14 and 0.27 at the
/// sea.
const USUAL_AIR: [f64; 2] = [0.7, 1.35];
/// How far a given extinction may be off, magnitudes.
const UNSURE_AIR_MAG: [f64; 2] = [-0.03, 0.03];

/// The light of a place and a target, ready to be asked for any instant.
#[derive(Debug, Clone)]
pub(crate) struct Lighting {
    zenith_mag_arcsec2: f64,
    pub(super) extinction_mag: f64,
    pub(super) reflectance: f64,
    reflectance_known: ReflectanceKnown,
    zenith_approximate: bool,
    extinction_assumed: bool,
    pub(super) milky_way_mag_arcsec2: Option<f64>,
    target_is_moon: bool,
    target_ecliptic_latitude_deg: f64,
    target_ecliptic_level: f64,
    /// What its light takes from sky and air at any instant.
    pub place_light: PlaceLight,
    skyline: Option<Arc<Skyline>>,
    domes: Vec<Dome>,
}

impl Lighting {
    /// That of a site and a target.
    pub fn of(site: &Site, target: Direction, terrain: &Terrain) -> Self {
        let subject = site.subject.as_ref();
        let latitude_deg = target.ecliptic_latitude_deg();
        Self {
            zenith_mag_arcsec2: site.sky.zenith_mag_arcsec2,
            extinction_mag: site.sky.extinction_mag,
            reflectance: subject
                .and_then(|subject| subject.reflectance)
                .unwrap_or(balance::DEFAULT_REFLECTANCE),
            reflectance_known: match subject {
                Some(s) if s.reflectance.is_some() && s.reflectance_measured.is_some() => {
                    ReflectanceKnown::Calibrated
                }
                Some(s) if s.reflectance.is_some() => ReflectanceKnown::Given,
                _ => ReflectanceKnown::Default,
            },
            zenith_approximate: site.sky.approximate,
            extinction_assumed: site.sky.extinction_assumed,
            milky_way_mag_arcsec2: starlight_mag(target),
            target_is_moon: target.is_moon(),
            target_ecliptic_latitude_deg: latitude_deg,
            target_ecliptic_level: latitude_deg.to_radians().cos().max(1e-6),
            place_light: PlaceLight::of(&LightInput {
                zenith_mag_arcsec2: site.sky.zenith_mag_arcsec2,
                extinction_mag: site.sky.extinction_mag,
                ..LightInput::default()
            }),
            skyline: terrain.subject.clone(),
            domes: {
                let low_cd_m2 = sky_glow::sky_under_domes_cd_m2(&site.sky);
                site.domes().map(|glow| Dome::of(glow, low_cd_m2)).collect()
            },
        }
    }

    /// What the light depends on at an instant, for a camera that faces one
    /// way.
    pub fn input(&self, sky: &LightGeometry, ephemeris: &Ephemeris, facing_deg: f64) -> LightInput {
        LightInput {
            sun_azimuth_deg: sky.sun_azimuth_deg,
            target_altitude_deg: sky.target.apparent_altitude_deg,
            target_azimuth_deg: sky.target.azimuth_deg,
            // Where the Moon is the target, the sky is that beside its disc.
            moon_target_separation_deg: match self.target_is_moon {
                true => moon_disc::BESIDE_DEG,
                false => sky.moon_target_separation_deg,
            },
            milky_way_mag_arcsec2: self.milky_way_mag_arcsec2,
            zodiacal_s10: self.zodiacal_s10(sky.sun_target_cos),
            glow_cd_m2: self.glow_cd_m2(&sky.target),
            ..self.input_of_land(&LandGeometry::from(sky), ephemeris, facing_deg)
        }
    }

    /// The part of it that the light on the land depends on; nothing is known of
    /// the rest.
    #[inline]
    pub fn input_of_land(
        &self,
        sky: &LandGeometry,
        ephemeris: &Ephemeris,
        facing_deg: f64,
    ) -> LightInput {
        let shadowed = sky.phase_angle_deg < ECLIPSE_WITHIN_DEG;
        LightInput {
            sun_altitude_deg: sky.sun_altitude_deg,
            moon_altitude_deg: sky.moon.apparent_altitude_deg,
            moon_azimuth_deg: sky.moon.azimuth_deg,
            moon_phase_angle_deg: sky.phase_angle_deg,
            moon_distance_km: sky.moon.distance_km.unwrap_or(384_400.0),
            facing_deg,
            zenith_mag_arcsec2: self.zenith_mag_arcsec2,
            extinction_mag: self.extinction_mag,
            reflectance: self.reflectance,
            skyline_altitude_deg: self.skyline.as_ref().map_or(NO_SKYLINE_DEG, |skyline| {
                skyline.altitude_deg_at(sky.moon.azimuth_deg)
            }),
            eclipse_drop_mag: if shadowed {
                eclipse_drop_mag(ephemeris.shadow_magnitudes(sky.moment).umbral)
            } else {
                0.0
            },
            ..LightInput::default()
        }
    }

    /// How sure the balance of land and sky of an instant is: from what is known
    /// of the land, and from the balances that an unsure zenith sky and unsure
    /// air would give.
    pub fn land_range(&self, input: &LightInput) -> LandRange {
        self.range_of(&Balances::of(input), input.extinction_mag)
    }

    /// What the light is like at an instant, and how sure its balance is.
    pub fn assessment_with_range(&self, input: &LightInput) -> (Assessment, LandRange) {
        let balances = Balances::of(input);
        let range = self.range_of(&balances, input.extinction_mag);
        (balances.assessment(), range)
    }

    fn range_of(&self, balances: &Balances, extinction_mag: f64) -> LandRange {
        let zenith = |mag: f64| balances.with_fainter_zenith(mag);
        let air = |mag: f64| balances.with_extinction(mag);
        let half = |a: f64, b: f64| 0.5 * (a - b).abs();
        let unsure_mag = if self.zenith_approximate {
            UNSURE_ZENITH_MAG
        } else {
            UNSURE_METER_MAG
        };
        let [clear, hazy] = if self.extinction_assumed {
            USUAL_AIR.map(|share| share * extinction_mag)
        } else {
            UNSURE_AIR_MAG.map(|mag| extinction_mag + mag)
        };
        let half_width = half_width_stops(
            self.reflectance_known,
            half(zenith(unsure_mag), zenith(-unsure_mag)),
            half(air(hazy), air(clear)),
        );
        LandRange::new(balances.stops(), half_width)
    }

    /// What the domes of towns add behind a place of the sky, cd/m2.
    fn glow_cd_m2(&self, place: &Horizontal) -> f64 {
        let domes = self.domes.iter();
        domes
            .map(|dome| dome.added_cd_m2(place.azimuth_deg, place.apparent_altitude_deg))
            .sum()
    }

    /// The least and the most of it for places within some degrees of an azimuth,
    /// between two apparent altitudes.
    pub(super) fn glow_between(
        &self,
        azimuth_deg: f64,
        reach_deg: f64,
        altitudes_deg: [f64; 2],
    ) -> [f64; 2] {
        self.domes.iter().fold([0.0, 0.0], |[least, most], dome| {
            let [low, high] = dome.added_between(azimuth_deg, reach_deg, altitudes_deg);
            [least + low, most + high]
        })
    }

    /// The steepest change of the logarithm of the domes' sky above an altitude,
    /// per degree.
    pub(super) fn glow_slope(&self, lowest_deg: f64) -> f64 {
        if self.domes.is_empty() {
            return 0.0;
        }
        // Zodiacal light may have been taken away from the sky.
        let dark_cd_m2 = 0.5 * luminance_cd_m2(self.zenith_mag_arcsec2);
        sky_glow::steepest(&self.domes, lowest_deg, dark_cd_m2)
    }

    /// Zodiacal light behind the target. The Sun stands on the ecliptic, so the
    /// angle to it and the target's latitude give the longitude between them.
    fn zodiacal_s10(&self, sun_target_cos: f64) -> f64 {
        let cos = (sun_target_cos / self.target_ecliptic_level).clamp(-1.0, 1.0);
        zodiacal_s10(cos.acos().to_degrees(), self.target_ecliptic_latitude_deg)
    }
}

/// Middles and radii of what the tables of starlight leave out, galactic
/// degrees: the Large and the Small Magellanic Cloud.
const UNKNOWN: [(f64, f64, f64); 2] = [(280.5, -32.9, 6.0), (302.8, -44.3, 4.0)];

/// Surface brightness of the Milky Way in a direction above the air, V
/// mag/arcsec2: the mean over a field as large as that of the core. `None`
/// where it is not known, and for the Moon, which outshines it.
fn starlight_mag(target: Direction) -> Option<f64> {
    if target == Direction::Core {
        return Some(s10_to_mag_arcsec2(CORE_FIELD_S10));
    }
    let (longitude_deg, latitude_deg) = target.galactic_deg()?;
    let is_near = |(l, b, radius): (f64, f64, f64)| {
        let unit = |l: f64, b: f64| {
            let (l, b) = (l.to_radians(), b.to_radians());
            [b.cos() * l.cos(), b.cos() * l.sin(), b.sin()]
        };
        let (a, b) = (unit(l, b), unit(longitude_deg, latitude_deg));
        let cos: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
        cos > radius.to_radians().cos()
    };
    if UNKNOWN.into_iter().any(is_near) {
        return None;
    }
    let field = Field {
        longitude_deg,
        latitude_deg,
        width_deg: FIELD_DEG.0,
        height_deg: FIELD_DEG.1,
    };
    Some(s10_to_mag_arcsec2(starlight::mean_s10(&field)))
}

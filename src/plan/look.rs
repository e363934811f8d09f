//! What an instant looks like to a camera on a tripod.

use crate::{
    ephemeris::{Moment, Place},
    light::{Exposure, ExposureAims, LightError, Optics, plan_exposure, trail::shutter_npf_s},
    rule::Conditions,
    scene::{Camera, Horizon, Site},
    search::Planner,
};

/// The camera that exposures are worked out for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    /// The camera.
    pub camera: Camera,
    /// Whether the site names no camera, so that the default one stands in.
    pub assumed: bool,
    /// Factor of the full NPF rule, 1 strict to 3 lenient.
    pub npf_factor: f64,
    optics: Optics,
}

impl Lens {
    /// The site's camera, or the default one where it names none.
    ///
    /// # Errors
    ///
    /// A camera that cannot be, as [`Optics::new`] says.
    pub fn of(site: &Site, npf_factor: f64) -> Result<Self, LightError> {
        let camera = site.camera.unwrap_or_default();
        Ok(Self {
            camera,
            assumed: site.camera.is_none(),
            npf_factor,
            optics: Optics::try_from(&camera)?,
        })
    }

    /// Lens and sensor, checked.
    pub fn optics(&self) -> &Optics {
        &self.optics
    }
}

/// Sky, light and settings at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Look {
    /// Sky and light.
    pub instant: Conditions,
    /// Longest shutter by the full NPF rule at the target's declination,
    /// seconds.
    pub longest_shutter_s: f64,
    /// Settings that place the sky behind the target.
    pub exposure: Exposure,
    /// Whether the target stands above the horizon and the camera's ridge.
    pub target_clear: bool,
    /// Whether the Moon stands above the horizon and the subject's ridge.
    pub moon_clear: bool,
}

impl Look {
    /// What `moment` looks like.
    pub fn at(planner: &Planner, lens: &Lens, moment: Moment) -> Self {
        Self::of(planner.site(), lens, planner.instant_at(moment))
    }

    /// What an instant at a site looks like.
    pub fn of(site: &Site, lens: &Lens, instant: Conditions) -> Self {
        let optics = lens.optics();
        let declination_deg = instant.sky.target_declination_deg;
        let longest_shutter_s = shutter_npf_s(optics, declination_deg, lens.npf_factor);
        let exposure = plan_exposure(
            optics,
            longest_shutter_s,
            instant.light.sky_cd_m2,
            instant.light.foreground_cd_m2,
            &ExposureAims::default(),
        );
        Self {
            instant,
            longest_shutter_s,
            exposure,
            target_clear: is_clear(&instant.sky.target, site.horizon.as_ref()),
            moon_clear: is_clear(&instant.sky.moon, land_horizon(site)),
        }
    }
}

/// The terrain that keeps moonlight from the land: the subject's own profile,
/// or the camera's where the subject has none.
pub(super) fn land_horizon(site: &Site) -> Option<&Horizon> {
    site.subject_horizon.as_ref().or(site.horizon.as_ref())
}

fn is_clear(place: &Place, horizon: Option<&Horizon>) -> bool {
    let ridge = horizon.map_or(0.0, |horizon| horizon.altitude_deg_at(place.azimuth_deg));
    // A hair less, so that the instant of a crossing counts as clear.
    place.apparent_altitude_deg >= ridge - 1e-3
}

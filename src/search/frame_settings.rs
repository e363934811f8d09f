//! What a camera on a tripod does at one instant: settings, and what is in the
//! picture.

use crate::{
    light::{
        Exposure, ExposureAims, LightError, Optics, Orientation, Pointing, TrailLimit, View,
        moon_disc::DISC_PLACEMENT_STOPS, plan_exposure,
    },
    rule::Conditions,
    scene::{Camera, Site},
};

/// The camera that exposures are worked out for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    /// The camera.
    pub camera: Camera,
    /// Whether the site gives no camera, so that the default one is used.
    pub assumed: bool,
    /// Factor of the full NPF rule, 1 strict to 3 lenient.
    pub npf_factor: f64,
    optics: Optics,
}

impl Lens {
    /// The site's camera, or the default one if it gives none.
    ///
    /// # Errors
    ///
    /// An impossible camera; see [`Optics::new`].
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

/// Where a camera points to hold land and target: half-way from the level in
/// the camera direction to the target.
///
/// `None` where the target is exactly opposite.
pub fn half_way_to_target(instant: &Conditions) -> Option<Pointing> {
    let level = Pointing::new(instant.facing_deg, 0.0);
    Pointing::between(level, target(instant))
}

fn target(instant: &Conditions) -> Pointing {
    let target = &instant.sky.target;
    Pointing::new(target.azimuth_deg, target.apparent_altitude_deg)
}

/// The declination at the centre of a frame that points half-way to the target,
/// degrees; of one that points at the target where no direction is half-way.
pub fn frame_centre_declination_deg(site: &Site, instant: &Conditions) -> f64 {
    half_way_to_target(instant)
        .unwrap_or(target(instant))
        .declination_deg(site.latitude_deg)
}

/// What the exposure of an instant aims at: the sky behind the target where
/// [`ExposureAims`] puts it; with the Moon as target and up, its disc
/// [`DISC_PLACEMENT_STOPS`] above mid-tone, but the sky no brighter than
/// mid-tone.
pub fn exposure_aims(instant: &Conditions) -> ExposureAims {
    let usual = ExposureAims::default();
    let of_disc = |over_sky: f64| (DISC_PLACEMENT_STOPS - over_sky).min(0.0);
    ExposureAims {
        sky_placement_stops: instant
            .moon_disc_vs_sky_stops()
            .map_or(usual.sky_placement_stops, of_disc),
        ..usual
    }
}

/// What a camera does at an instant: landscape, pointed half-way from the
/// level in the facing direction to the target, shutter by the full NPF rule,
/// sky and disc where [`exposure_aims`] puts them.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct FrameSettings {
    /// Longest shutter by the full NPF rule for the fastest star in the frame,
    /// seconds.
    pub longest_shutter_s: f64,
    /// Settings that place the sky behind the target.
    pub exposure: Exposure,
    /// Whether the target is in the frame.
    pub target_in_frame: bool,
    /// Whether the subject's foot is in the frame; `None` without a subject.
    pub subject_in_frame: Option<bool>,
    /// Whether the Moon is in the frame.
    pub moon_in_frame: bool,
}

impl FrameSettings {
    /// The site's own camera at an instant, by the strict rule; `None` where
    /// the site has none.
    pub fn at(site: &Site, instant: &Conditions) -> Option<Self> {
        site.camera?;
        // A site's camera was checked when it was read.
        let lens = Lens::of(site, 1.0).ok()?;
        Some(Self::of(site, &lens, instant))
    }

    /// A camera at an instant.
    pub fn of(site: &Site, lens: &Lens, instant: &Conditions) -> Self {
        let optics = lens.optics();
        let (sky, light) = (&instant.sky, &instant.light);
        let longest_shutter_s = TrailLimit::Npf(lens.npf_factor)
            .longest_shutter_s(optics, frame_centre_declination_deg(site, instant));
        let exposure = plan_exposure(
            optics,
            longest_shutter_s,
            light.sky_cd_m2,
            light.land_cd_m2,
            &exposure_aims(instant),
        );
        let target = target(instant);
        let moon = Pointing::new(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
        let pointing = half_way_to_target(instant).unwrap_or(target);
        let view = View::new(optics, Orientation::Landscape, pointing);
        Self {
            longest_shutter_s,
            exposure,
            target_in_frame: view.holds(target),
            subject_in_frame: site
                .subject_bearing_deg()
                .map(|bearing| view.holds(Pointing::new(bearing, 0.0))),
            moon_in_frame: view.holds(moon),
        }
    }
}

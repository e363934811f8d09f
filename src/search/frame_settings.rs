//! What a camera on a tripod does at one instant: settings, and what is in the
//! picture.

use super::{
    frame_plan::{FramePlan, FramedAs},
    planner::Planner,
};
use crate::{
    light::{
        Exposure, ExposureAims, LightError, Optics, Pointing, TrailLimit,
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
fn half_way_to_target(instant: &Conditions) -> Option<Pointing> {
    let level = Pointing::new(instant.facing_deg, 0.0);
    Pointing::between(level, target(instant))
}

fn target(instant: &Conditions) -> Pointing {
    let target = &instant.sky.target;
    Pointing::new(target.azimuth_deg, target.apparent_altitude_deg)
}

/// Where a frame points: as its plan says if one frame holds land and target,
/// else half-way to the target, or at it where no direction is half-way.
fn axis(instant: &Conditions, plan: Option<&FramePlan>) -> Pointing {
    match plan {
        Some(plan) if plan.framed_as == FramedAs::One => {
            Pointing::new(plan.bearing_deg, plan.pitch_deg)
        }
        _ => half_way_to_target(instant).unwrap_or(target(instant)),
    }
}

/// The declination at the centre of a frame with this plan, degrees; without
/// one the frame points half-way from the level in the camera direction to the
/// target.
pub fn frame_centre_declination_deg(
    site: &Site,
    instant: &Conditions,
    plan: Option<&FramePlan>,
) -> f64 {
    axis(instant, plan).declination_deg(site.latitude_deg)
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

/// What a camera does at an instant: held and pointed as its plan says, shutter
/// by the full NPF rule, sky and disc where [`exposure_aims`] puts them.
///
/// Where no single frame holds land and target, or the camera is not known, the
/// shutter is that of a frame that points half-way from the level in the camera
/// direction to the target.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct FrameSettings {
    /// Longest shutter by the full NPF rule for the fastest star in the frame,
    /// seconds.
    pub longest_shutter_s: f64,
    /// Settings that place the sky behind the target.
    pub exposure: Exposure,
    /// How land and target get into the picture; `None` where the site's camera
    /// is not known.
    pub plan: Option<FramePlan>,
}

impl FrameSettings {
    /// Those of a lens with a plan.
    pub(super) fn new(
        site: &Site,
        lens: &Lens,
        instant: &Conditions,
        plan: Option<FramePlan>,
    ) -> Self {
        let light = &instant.light;
        let declination_deg = frame_centre_declination_deg(site, instant, plan.as_ref());
        let longest_shutter_s =
            TrailLimit::Npf(lens.npf_factor).longest_shutter_s(&lens.optics, declination_deg);
        let exposure = plan_exposure(
            &lens.optics,
            longest_shutter_s,
            light.sky_cd_m2,
            light.land_cd_m2,
            &exposure_aims(instant),
        );
        Self {
            longest_shutter_s,
            exposure,
            plan,
        }
    }

    /// Those of the default camera by the strict rule, for a site whose camera
    /// is not known; `None` if it is.
    pub fn assumed(site: &Site, instant: &Conditions) -> Option<Self> {
        let lens = Lens::of(site, 1.0).ok().filter(|lens| lens.assumed)?;
        Some(Self::new(site, &lens, instant, None))
    }
}

impl Planner {
    /// The site's own camera at an instant, by the strict rule; `None` where
    /// the site has none.
    pub fn own_settings(&self, instant: &Conditions) -> Option<FrameSettings> {
        self.site.camera?;
        // A site's camera was checked when it was read.
        let lens = Lens::of(&self.site, 1.0).ok()?;
        Some(self.settings(&lens, instant))
    }

    /// A camera at an instant.
    pub fn settings(&self, lens: &Lens, instant: &Conditions) -> FrameSettings {
        let plan = self.frame_plan(instant).filter(|_| !lens.assumed);
        FrameSettings::new(&self.site, lens, instant, plan)
    }
}

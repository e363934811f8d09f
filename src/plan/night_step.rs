//! An instant of a night for a camera on a tripod.

use crate::{
    ephemeris::{Horizontal, Moment},
    light::{LandAims, LandFrame, plan_land_frame},
    rule::Conditions,
    scene::{Site, Skyline},
    search::{FrameSettings, Lens, Planner},
};

/// Sky, light and settings at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NightStep {
    /// Sky and light.
    pub instant: Conditions,
    /// The camera's settings and what is in its frame.
    pub frame: FrameSettings,
    /// Whether the target is above the horizon and the camera's skyline.
    pub target_clear: bool,
    /// Whether the Moon is above the horizon and the subject's skyline.
    pub moon_clear: bool,
}

impl NightStep {
    /// The step at `moment`.
    pub(super) fn at(planner: &Planner, lens: &Lens, moment: Moment) -> Self {
        Self::of(planner, lens, planner.instant_at(moment))
    }

    /// The step of an instant at a site.
    pub(super) fn of(planner: &Planner, lens: &Lens, instant: Conditions) -> Self {
        let site = planner.site();
        Self {
            instant,
            frame: planner.settings(lens, &instant),
            target_clear: is_clear(&instant.sky.target, site.skyline.as_ref()),
            moon_clear: is_clear(&instant.sky.moon, land_skyline(site)),
        }
    }
}

/// The settings that place the land of an instant in a frame of its own; `None`
/// where the lens cannot.
pub(super) fn land_frame(lens: &Lens, instant: &Conditions) -> Option<LandFrame> {
    let land_cd_m2 = instant.light.land_cd_m2;
    plan_land_frame(lens.optics(), land_cd_m2, &LandAims::default(), 0.0).ok()
}

/// The skyline that keeps moonlight from the land: the subject's own, or the
/// camera's if the subject has none.
pub(super) fn land_skyline(site: &Site) -> Option<&Skyline> {
    site.subject_skyline.as_ref().or(site.skyline.as_ref())
}

fn is_clear(place: &Horizontal, skyline: Option<&Skyline>) -> bool {
    let ridge = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(place.azimuth_deg));
    // A hair less, so that the instant of a crossing counts as clear.
    place.apparent_altitude_deg >= ridge - 1e-3
}

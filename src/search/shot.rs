//! One frame of a window: settings and what is in the picture.

use crate::{
    light::{
        Exposure, ExposureAims, Optics, Orientation, Pointing, View, plan_exposure,
        trail::shutter_npf_s,
    },
    rule::Conditions,
    scene::Site,
};

/// What the site's own camera does at an instant: landscape, pointed half-way
/// from the level in the facing direction to the target, shutter by the full
/// NPF rule with factor 1, the sky two stops below mid-tone.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Shot {
    /// The settings.
    pub exposure: Exposure,
    /// Whether the target is in the frame.
    pub core_in_frame: bool,
    /// Whether the subject's foot is in the frame; `None` without a subject.
    pub subject_in_frame: Option<bool>,
    /// Whether the Moon is in the frame.
    pub moon_in_frame: bool,
}

impl Shot {
    /// The frame at an instant; `None` where the site has no camera.
    pub fn at(site: &Site, instant: &Conditions) -> Option<Self> {
        // A site's camera was checked when it was read.
        let optics = Optics::try_from(site.camera.as_ref()?).ok()?;
        let (sky, light) = (&instant.sky, &instant.light);
        let exposure = plan_exposure(
            &optics,
            shutter_npf_s(&optics, sky.target_declination_deg, 1.0),
            light.sky_cd_m2,
            light.foreground_cd_m2,
            &ExposureAims::default(),
        );
        let level = Pointing::new(instant.facing_deg, 0.0);
        let target = Pointing::new(sky.target.azimuth_deg, sky.target.apparent_altitude_deg);
        let moon = Pointing::new(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
        let pointing = Pointing::between(level, target).unwrap_or(target);
        let view = View::new(&optics, Orientation::Landscape, pointing);
        Some(Self {
            exposure,
            core_in_frame: view.holds(target),
            subject_in_frame: site
                .subject_bearing_deg()
                .map(|bearing| view.holds(Pointing::new(bearing, 0.0))),
            moon_in_frame: view.holds(moon),
        })
    }
}

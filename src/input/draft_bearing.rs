//! Bearings of a site while it is being read: a magnetic one is a true one as
//! soon as the place is known.

use super::site_draft::{Context, SiteDraft};
use crate::scene::SkyGlow;
use crate::scene::bearing::Bearing;

impl SiteDraft {
    /// A subject's bearing as a true one; a magnetic one waits for the camera's
    /// place.
    pub(super) fn true_bearing(
        &mut self,
        context: &Context<'_>,
        bearing: Bearing,
        camera: Option<(f64, f64)>,
    ) -> Option<f64> {
        let (latitude_deg, longitude_deg) = match (bearing, camera) {
            (Bearing::True(degrees), _) => return Some(degrees),
            (Bearing::Magnetic(_), camera) => camera?,
        };
        let elevation_m = self.elevation_m.unwrap_or(0.0);
        bearing
            .true_deg(latitude_deg, longitude_deg, elevation_m)
            .map_err(|error| self.complain(context, "subject.bearing_deg", error))
            .ok()
    }

    /// The domes, their bearings true ones.
    pub(super) fn take_glow(
        &mut self,
        context: &Context<'_>,
        camera: Option<(f64, f64)>,
    ) -> Vec<SkyGlow> {
        let (Some(typed), Some(camera)) = (self.sky_glow.take(), camera) else {
            return Vec::new();
        };
        let elevation_m = self.elevation_m.unwrap_or(0.0);
        let mut domes = Vec::with_capacity(typed.len());
        for dome in typed {
            match dome.at(camera, elevation_m) {
                Ok(dome) => domes.push(dome),
                Err(error) => self.complain(context, "sky.glow", error),
            }
        }
        domes
    }
}

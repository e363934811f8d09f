//! The settings of a photograph against those of the plan.

use crate::{
    scene::{Camera, Photo, Site, ZoneFrom, zone_of_place},
    search::FrameSettings,
    terrain::GroundPoint,
};

/// The settings of a photograph, and what they did to stars, sky and land.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PhotoSettings {
    /// The longest shutter without trails for its lens, seconds.
    pub longest_shutter_s: f64,
    /// Times that limit; `None` for a photograph that does not give its shutter.
    pub of_longest: Option<f64>,
    /// Where sky and land fell, stops from mid-tone; `None` for one that lacks its
    /// shutter or its ISO.
    pub placements_stops: Option<(f64, f64)>,
    /// What the plan for its lens at that instant was.
    pub planned: FrameSettings,
}

impl PhotoSettings {
    /// Those of a photograph whose lens has these settings as its plan.
    pub fn of(photo: &Photo, planned: FrameSettings) -> Self {
        let exposure = &planned.exposure;
        let longest_shutter_s = planned.longest_shutter_s;
        let placements_stops = photo.shutter_s.zip(photo.iso).map(|(shutter_s, iso)| {
            exposure.placements_of(exposure.f_number, shutter_s, f64::from(iso))
        });
        Self {
            longest_shutter_s,
            of_longest: photo
                .shutter_s
                .map(|shutter_s| shutter_s / longest_shutter_s),
            placements_stops,
            planned,
        }
    }
}

impl Site {
    /// This site with the camera of a photograph: its focal length and f-number,
    /// the site's sensor, else the usual one. Without either the site's stays.
    #[must_use]
    pub fn with_camera_of(mut self, photo: &Photo) -> Self {
        if photo.focal_mm.is_some() || photo.f_number.is_some() {
            let camera = self.camera.unwrap_or_default();
            self.camera = Some(Camera {
                focal_mm: photo.focal_mm.unwrap_or(camera.focal_mm),
                f_number: photo.f_number.unwrap_or(camera.f_number),
                ..camera
            });
        }
        self
    }

    /// This site where a photograph was taken, if it says where, and how far that
    /// is, metres. What stands there, its elevation and a zone that was given stay.
    #[must_use]
    pub fn at_place_of(mut self, photo: &Photo) -> (Self, Option<f64>) {
        let Some((latitude_deg, longitude_deg)) = photo.place_deg else {
            return (self, None);
        };
        let here = GroundPoint::new(self.latitude_deg, self.longitude_deg);
        let there = GroundPoint::new(latitude_deg, longitude_deg);
        let away_m = here
            .ok()
            .zip(there.ok())
            .map(|(here, there)| here.line_to(there).map_or(0.0, |line| line.distance_m));
        (self.latitude_deg, self.longitude_deg) = (latitude_deg, longitude_deg);
        // At a border the site's own stays.
        if self.zone_from != ZoneFrom::Given
            && let Ok(found) = zone_of_place(latitude_deg, longitude_deg)
        {
            (self.zone, self.zone_from) = found;
        }
        (self, away_m)
    }
}

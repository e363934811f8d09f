//! A site while it is being read: each key is checked as it comes, the whole at
//! the end.

use super::fault::{Fault, Faults, Place};
use super::places::Places;
use super::read_glow::TypedGlow;
use super::site_defaults::{SiteDefaults, zone_told};
use super::site_files::SiteFiles;
use crate::rule::Brief;
use crate::scene::ValueError;
use crate::scene::Zone;
use crate::scene::bearing::Bearing;
use crate::scene::coordinates::check_filled_in;
use crate::scene::subject_check::{check_distance, check_subject_coordinates};
use crate::scene::zone_at_place::check_zone;
use crate::scene::{
    Air, Camera, Conventions, DarkSky, OwnValues, Position, Site, SiteError, Subject, SubjectPlace,
};
use chrono::NaiveDate;
use std::{borrow::Cow, sync::Arc};

/// The values of a site so far; the keys' checks fill it.
#[derive(Debug, Default, Clone)]
pub(crate) struct SiteDraft {
    /// The places of each key and each table, whether or not its value was
    /// valid.
    pub(super) places: Places,
    pub(super) faults: Vec<Fault>,
    pub name: Option<String>,
    pub view: Option<String>,
    pub position: Option<Position>,
    pub latitude_deg: Option<f64>,
    pub longitude_deg: Option<f64>,
    pub elevation_m: Option<f64>,
    pub zone: Option<Zone>,
    /// The brief file that gives the zone, if the site itself does not.
    pub zone_from: Option<String>,
    /// Whether a brief file alone can give its zone: a point of a map has no
    /// place for one.
    pub zone_by_brief: bool,
    pub notes: Option<String>,
    pub subject: SubjectDraft,
    pub zenith_mag_arcsec2: Option<f64>,
    pub bortle: Option<u32>,
    pub extinction_mag: Option<f64>,
    pub towns: Option<bool>,
    pub sky_glow: Option<Vec<TypedGlow>>,
    pub pressure_hpa: Option<f64>,
    pub temperature_c: Option<f64>,
    pub clear_nights: Option<[f64; 12]>,
    pub climate_file: Option<String>,
    pub sensor_mm: Option<[f64; 2]>,
    pub pixels: Option<[u32; 2]>,
    pub focal_mm: Option<f64>,
    pub f_number: Option<f64>,
    pub skyline_file: Option<String>,
    pub subject_skyline_file: Option<String>,
    pub log_file: Option<String>,
    pub brief: Brief,
    pub own: OwnValues,
}

#[derive(Debug, Default, Clone)]
pub(crate) struct SubjectDraft {
    pub name: Option<String>,
    pub bearing: Option<Bearing>,
    pub distance_m: Option<f64>,
    pub position: Option<Position>,
    pub latitude_deg: Option<f64>,
    pub longitude_deg: Option<f64>,
    pub elevation_m: Option<f64>,
    pub height_m: Option<f64>,
    pub width_m: Option<f64>,
    pub reflectance: Option<f64>,
    pub reflectance_measured: Option<NaiveDate>,
}

/// What the final check needs to know about the file.
pub(crate) struct Context<'a> {
    /// The file as the user gave it.
    pub file: &'a str,
    /// The name for a site that gives none.
    pub default_name: Option<String>,
    /// Whether the file has no errors of form, so that what is missing from
    /// the draft is missing from the file.
    pub well_formed: bool,
    /// Where something that is missing should have been.
    pub start: Place,
    /// The files it refers to.
    pub files: &'a dyn SiteFiles,
    /// What it gets if it says nothing of it.
    pub defaults: &'a SiteDefaults,
}

/// Sizes of a pixel that a camera can have, micrometres.
const PIXEL_PITCHES_UM: std::ops::RangeInclusive<f64> = 0.5..=50.0;

impl SiteDraft {
    /// Records that a table is in the file, and where.
    pub fn begin_table(&mut self, table: impl Into<Cow<'static, str>>, place: Place) {
        self.places.put_first(table.into(), place);
    }

    /// Records a fault that the reader itself found.
    pub fn fault(&mut self, fault: Fault) {
        self.faults.push(fault);
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.places.get(key).is_some()
    }

    /// The place of `key`, else of its table, else where it should be.
    pub(super) fn place(&self, key: &str, start: Place) -> Place {
        let table = key.split_once('.').map_or("", |(table, _)| table);
        let known = self.places.get(key).or_else(|| self.places.get(table));
        known.unwrap_or(start)
    }

    pub(super) fn complain(&mut self, context: &Context<'_>, key: &str, error: ValueError) {
        let key = self.key_given(key);
        let place = self.place(key, context.start);
        self.fault(Fault::at(context.file, place, Some(key), error));
    }

    /// Reports what is wrong where several values are seen together.
    fn check(&mut self, context: &Context<'_>, checked: Result<(), SiteError>) -> Option<()> {
        checked
            .map_err(|wrong| self.complain(context, wrong.key, wrong.error))
            .ok()
    }

    /// Reports that `key` is missing, unless it is there with a bad value,
    /// which was reported already.
    pub(super) fn missing(
        &mut self,
        context: &Context<'_>,
        key: &str,
        expected: &str,
        remedy: &str,
    ) {
        if context.well_formed && !self.has(key) {
            let error = ValueError::new("", expected).with_remedy(remedy);
            self.complain(context, key, error);
        }
    }

    /// The site, if everything about it was valid.
    pub fn finish(mut self, context: &Context<'_>) -> Result<Site, Faults> {
        context.defaults.fill(&mut self, context.start);
        let name = self.take_name(context);
        self.spread_position(context, "");
        self.spread_position(context, "subject.");
        let place = self.camera_place(context);
        let subject = self.take_subject(context, place);
        let elevation_m = self.elevation_m.unwrap_or(0.0);
        let sky_glow = self.take_glow(context, place);
        let sky = self.sky(context, elevation_m);
        let skyline_file = self.skyline_file.take();
        let skyline = |name: &str| context.files.skyline(name);
        let near = self.load(context, "skyline.file", skyline_file, skyline);
        let subject_file = self.subject_skyline_file.take();
        let far = self.load(context, "skyline.subject_file", subject_file, skyline);
        let log_file = self.log_file.take();
        let log = self.load(context, "log", log_file, |name| context.files.log(name));
        let climate = self.take_climate(context, &name);
        self.load_rule_files(context);
        let (zone, zone_from) = self.take_zone(context, place);
        let site = place.map(|(latitude_deg, longitude_deg)| Site {
            name,
            view: self.view.take(),
            latitude_deg,
            longitude_deg,
            elevation_m,
            zone,
            zone_from,
            notes: self.notes.take(),
            subject,
            sky,
            sky_glow,
            towns: None,
            air: self.air(elevation_m),
            climate,
            forecast: None,
            camera: self.camera(context),
            skyline: near.map(Arc::unwrap_or_clone),
            subject_skyline: far.map(Arc::unwrap_or_clone),
            standing_rules: self.brief.entries(),
            own: std::mem::take(&mut self.own),
            calendars: self.brief.calendars(),
            log,
            conventions: Conventions::default(),
        });
        match site {
            Some(site) if self.faults.is_empty() => match self.towns {
                Some(false) => Ok(site),
                _ => Ok(site.with_towns()),
            },
            _ => Err(self.into_faults(context.file)),
        }
    }

    /// The faults in the order of `file`, then those in files it refers to.
    fn into_faults(mut self, file: &str) -> Faults {
        self.faults
            .sort_by_key(|fault| (fault.file != file, fault.line, fault.column));
        Faults::of(self.faults)
    }

    fn take_name(&mut self, context: &Context<'_>) -> String {
        let name = self.name.take().or_else(|| context.default_name.clone());
        name.unwrap_or_else(|| {
            self.missing(context, "name", "a name", "give the site a name");
            String::new()
        })
    }

    /// Latitude and longitude of the camera, which must be filled in and suit
    /// the zone.
    fn camera_place(&mut self, context: &Context<'_>) -> Option<(f64, f64)> {
        let (latitude_deg, longitude_deg) = self.coordinates(context, "")?;
        let remedy = match self.has("position") {
            true => "fill in the place; for one within a metre of it write 0.00001,0",
            false => {
                "fill in latitude_deg and longitude_deg; for a place within a metre of it write \
                 0.00001"
            }
        };
        let filled_in = check_filled_in(latitude_deg, longitude_deg, remedy);
        self.check(context, filled_in)?;
        if let Some(zone) = self.zone {
            let fits = check_zone(zone, latitude_deg, longitude_deg)
                .map_err(|wrong| zone_told(wrong, self.zone_from.as_deref()));
            self.check(context, fits);
        }
        Some((latitude_deg, longitude_deg))
    }

    fn take_subject(
        &mut self,
        context: &Context<'_>,
        camera: Option<(f64, f64)>,
    ) -> Option<Subject> {
        if !self.has("subject") {
            return None;
        }
        let place = self.subject_place(context, camera)?;
        let subject = std::mem::take(&mut self.subject);
        Some(Subject {
            name: subject.name,
            place,
            height_m: subject.height_m,
            width_m: subject.width_m,
            reflectance: subject.reflectance,
            reflectance_measured: subject.reflectance_measured,
        })
    }

    fn subject_place(
        &mut self,
        context: &Context<'_>,
        camera: Option<(f64, f64)>,
    ) -> Option<SubjectPlace> {
        let coordinate_keys = [
            "subject.position",
            "subject.latitude_deg",
            "subject.longitude_deg",
            "subject.elevation_m",
        ];
        let with_coordinates = coordinate_keys.iter().any(|key| self.has(key));
        if !with_coordinates {
            let Some(bearing) = self.subject.bearing else {
                self.missing(
                    context,
                    "subject.bearing_deg",
                    "where the subject stands",
                    "add bearing_deg, or latitude_deg and longitude_deg",
                );
                return None;
            };
            let distance_m = self.subject.distance_m;
            if let Some(distance_m) = distance_m {
                self.check(context, check_distance(distance_m, self.subject.height_m));
            }
            let bearing_deg = self.true_bearing(context, bearing, camera)?;
            return Some(SubjectPlace::Bearing {
                bearing_deg,
                distance_m,
            });
        }
        let (latitude_deg, longitude_deg) = self.coordinates(context, "subject.")?;
        if let Some(camera) = camera {
            let bearing_deg = match self.subject.bearing {
                Some(bearing) => self.true_bearing(context, bearing, Some(camera)),
                None => None,
            };
            let SubjectDraft {
                distance_m,
                height_m,
                ..
            } = self.subject;
            let subject = (latitude_deg, longitude_deg);
            for wrong in
                check_subject_coordinates(camera, subject, bearing_deg, distance_m, height_m)
            {
                self.complain(context, wrong.key, wrong.error);
            }
        }
        Some(SubjectPlace::Coordinates {
            latitude_deg,
            longitude_deg,
            elevation_m: self.subject.elevation_m,
        })
    }

    fn sky(&mut self, context: &Context<'_>, elevation_m: f64) -> DarkSky {
        if let (Some(_), Some(class)) = (self.zenith_mag_arcsec2, self.bortle) {
            let found = format!("{class} beside zenith_mag_arcsec2");
            let error = ValueError::new(&found, "a meter reading or a Bortle class, not both")
                .with_remedy("keep the meter reading, it says more");
            self.complain(context, "sky.bortle", error);
        }
        let natural = DarkSky::natural(elevation_m);
        let (zenith_mag_arcsec2, approximate) = match (self.zenith_mag_arcsec2, self.bortle) {
            (Some(reading), _) => (reading, false),
            (None, Some(class)) => (DarkSky::zenith_mag_of_bortle(class), true),
            (None, None) => (natural.zenith_mag_arcsec2, true),
        };
        DarkSky {
            zenith_mag_arcsec2,
            approximate,
            extinction_mag: self.extinction_mag.unwrap_or(natural.extinction_mag),
            extinction_assumed: self.extinction_mag.is_none(),
        }
    }

    fn air(&self, elevation_m: f64) -> Air {
        let standard = Air::standard(elevation_m);
        Air {
            pressure_hpa: self.pressure_hpa.unwrap_or(standard.pressure_hpa),
            temperature_c: self.temperature_c.unwrap_or(standard.temperature_c),
        }
    }

    /// The camera, whose sensor and pixels must also match: exposure and
    /// framing can work with whatever is accepted here.
    fn camera(&mut self, context: &Context<'_>) -> Option<Camera> {
        if !self.has("camera") {
            return None;
        }
        let usual = Camera::default();
        let camera = Camera {
            sensor_mm: self.sensor_mm.unwrap_or(usual.sensor_mm),
            pixels: self.pixels.unwrap_or(usual.pixels),
            focal_mm: self.focal_mm.unwrap_or(usual.focal_mm),
            f_number: self.f_number.unwrap_or(usual.f_number),
        }
        .lying();
        let pitch_um = 1000.0 * camera.sensor_mm[0] / f64::from(camera.pixels[0].max(1));
        if !PIXEL_PITCHES_UM.contains(&pitch_um) {
            let found = format!(
                "{} mm over {} pixels, {pitch_um:.3} micrometres a pixel",
                camera.sensor_mm[0], camera.pixels[0]
            );
            let error = ValueError::new(&found, "0.5 to 50 micrometres a pixel")
                .with_remedy("check sensor_mm and pixels: both are width, then height");
            let key = if self.has("camera.pixels") {
                "camera.pixels"
            } else {
                "camera.sensor_mm"
            };
            self.complain(context, key, error);
        }
        Some(camera)
    }
}

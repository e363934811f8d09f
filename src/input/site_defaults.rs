//! What a brief file gives to every site that lacks it.

use super::fault::{Fault, Faults, Place};
use super::site_draft::{Context, SiteDraft};
use super::site_files::NoFiles;
use crate::plain_words::printable;
use crate::scene::{Site, SiteError, ValueError, Zone, ZoneFrom};

/// The tables of a site that a brief file may have too.
pub(super) const DEFAULT_TABLES: [&str; 4] = ["subject", "sky", "air", "camera"];
/// The one key of a site that a brief file may have too.
pub(super) const DEFAULT_KEY: &str = "time_zone";

/// Time zone, subject, sky, air and camera for the sites of a run that say
/// nothing of them. What a site says itself always wins.
#[derive(Debug, Clone, Default)]
pub struct SiteDefaults(
    /// What one brief file gives after the other; what an earlier one gives
    /// wins.
    Vec<GivenByBrief>,
);

/// What one brief file gives.
#[derive(Debug, Clone)]
struct GivenByBrief {
    /// The brief file as the user gave it.
    file: String,
    given: SiteDraft,
}

impl SiteDefaults {
    /// What `given` of the brief `file` says.
    ///
    /// # Errors
    ///
    /// Everything wrong in it, whatever site it is for.
    pub(super) fn of(file: &str, mut given: SiteDraft) -> Result<Self, Faults> {
        let mut faults = std::mem::take(&mut given.faults);
        for key in ["position", "latitude_deg", "longitude_deg", "elevation_m"] {
            let key = format!("subject.{key}");
            if let Some(place) = given.places.get(&key) {
                let error =
                    ValueError::new(&key, "a subject that stands the same way at each site")
                        .with_remedy("give bearing_deg here, coordinates in the site's own file");
                faults.push(Fault::at(file, place, Some(&key), error));
            }
        }
        if let (Some(place), false) = (
            given.places.get("subject"),
            given.has("subject.bearing_deg"),
        ) {
            let key = "subject.bearing_deg";
            let error = ValueError::new("", "the bearing of the subject, the same at each site")
                .with_remedy("add bearing_deg");
            faults.push(Fault::at(file, place, Some(key), error));
        }
        // A site of no meaning shows what does not go together.
        let mut sample = given.clone();
        sample.name = Some("site".to_owned());
        (sample.latitude_deg, sample.longitude_deg) = (Some(1.0), Some(1.0));
        sample.zone = None;
        if faults.is_empty()
            && let Err(wrong) = sample.finish(&Context {
                file,
                default_name: None,
                well_formed: true,
                start: Place::START,
                files: &NoFiles,
                defaults: &Self::default(),
            })
        {
            faults.extend(wrong);
        }
        let gives = !given.places.is_empty();
        let file = file.to_owned();
        let given = gives.then_some(GivenByBrief { file, given });
        Faults::of(faults).or_value(Self(given.into_iter().collect()))
    }

    /// Whether nothing is given.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The first brief file that gives something, as the user gave it.
    pub fn file(&self) -> &str {
        self.0.first().map_or("", |given| &given.file)
    }

    /// This, and what it leaves open from another brief file.
    #[must_use]
    pub fn or(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// The time zone, if it is given.
    pub fn zone(&self) -> Option<Zone> {
        self.0.iter().find_map(|given| given.given.zone)
    }

    /// The site with what it lacks, for one that is known by its place alone.
    ///
    /// # Errors
    ///
    /// A time zone that is not that of the place.
    pub fn complete(&self, bare: Site) -> Result<Site, Faults> {
        let mut draft = SiteDraft {
            name: Some(bare.name),
            latitude_deg: Some(bare.latitude_deg),
            longitude_deg: Some(bare.longitude_deg),
            elevation_m: Some(bare.elevation_m),
            ..SiteDraft::default()
        };
        if bare.zone_from == ZoneFrom::Given {
            draft.zone = Some(bare.zone);
        }
        draft.finish(&Context {
            file: "--place",
            default_name: None,
            well_formed: true,
            start: Place::START,
            files: &NoFiles,
            defaults: self,
        })
    }

    /// Gives `site` what it lacks: its zone, its subject as a whole, and of sky,
    /// air and camera what belongs together.
    pub(super) fn fill(&self, site: &mut SiteDraft, start: Place) {
        for given in &self.0 {
            given.fill(site, start);
        }
    }
}

impl GivenByBrief {
    fn fill(&self, site: &mut SiteDraft, start: Place) {
        let given = &self.given;
        if site.zone.is_none() && !site.has(DEFAULT_KEY) && given.zone.is_some() {
            site.zone = given.zone;
            site.zone_from = Some(self.file.clone());
        }
        // A view says itself what its picture is of.
        if given.has("subject") && !site.has("subject") && site.view.is_none() {
            site.subject = given.subject.clone();
            site.begin_table("subject", start);
        }
        // A meter reading and a class say the same, so one replaces both.
        if site.zenith_mag_arcsec2.is_none() && site.bortle.is_none() {
            site.zenith_mag_arcsec2 = given.zenith_mag_arcsec2;
            site.bortle = given.bortle;
        }
        site.towns = site.towns.or(given.towns);
        site.extinction_mag = site.extinction_mag.or(given.extinction_mag);
        if site.sky_glow.is_none() {
            site.sky_glow.clone_from(&given.sky_glow);
        }
        site.pressure_hpa = site.pressure_hpa.or(given.pressure_hpa);
        site.temperature_c = site.temperature_c.or(given.temperature_c);
        if !given.has("camera") {
            return;
        }
        // The pixels are those of one sensor.
        if site.sensor_mm.is_none() && site.pixels.is_none() {
            site.sensor_mm = given.sensor_mm;
            site.pixels = given.pixels;
        }
        site.focal_mm = site.focal_mm.or(given.focal_mm);
        site.f_number = site.f_number.or(given.f_number);
        site.begin_table("camera", start);
    }
}

/// What is wrong with a time zone, with the brief file that gives it.
pub(super) fn zone_told(mut wrong: SiteError, brief: Option<&str>) -> SiteError {
    if let Some(file) = brief {
        let found = &mut wrong.error.found;
        found.push_str(&format!(" (time_zone of {})", printable(file)));
    }
    wrong
}

//! A tripod position, for people and as JSON.

use super::{
    grid::STRONG,
    json::{document, list, object, query, site_object},
    map,
    rows::tripod,
    waypoint::{self, Role, Waypoint},
    words::{
        bearing_words, capitalised, distance_words, height_words, north_words, position_words,
    },
    wrap::write_wrapped,
};
use crate::{
    Figure,
    plan::WindowMap,
    scene::{North, Subject, Units, offset_text},
};
use serde_json::{Map, Value};
use std::io::{self, Write};

pub use super::rows::tripod::TripodReport;

impl TripodReport<'_> {
    /// Writes the JSON object.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_json(&self, out: &mut impl Write) -> io::Result<()> {
        let from_camera = self.stand.from_camera;
        let from_camera = from_camera.map(|line| list(tripod::FROM_CAMERA, &line));
        let mut body = Map::new();
        body.insert("site".into(), site_object(self.site));
        body.extend(object(tripod::TIME, self));
        body.insert("asked".into(), list(tripod::ASKED, self));
        body.insert("tripod".into(), list(tripod::TRIPOD, self));
        body.insert("from_camera".into(), from_camera.into());
        body.insert("target".into(), list(tripod::TARGET, self));
        let moon = self.stand.moon.map(|disc| list(tripod::MOON, &disc));
        body.insert("moon".into(), moon.into());
        body.insert("subject".into(), list(tripod::SUBJECT, self));
        body.insert("foot_and_target_fit".into(), list(tripod::FIT, self));
        let document = document(query("tripod"), Value::Object(body));
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    /// Writes the answer for people.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let Self { site, stand, .. } = *self;
        writeln!(
            out,
            "{STRONG}{}{STRONG:#}  {} {}",
            site.title(),
            self.local_time(),
            offset_text(site.zone.offset_seconds_at(stand.moment)),
        )?;
        writeln!(
            out,
            "{STRONG}Tripod at {}{STRONG:#}",
            position_words(
                site.conventions.coordinates,
                stand.point.latitude_deg(),
                stand.point.longitude_deg(),
                6
            ),
        )?;
        for line in self.sentences() {
            write_wrapped(out, "", &line, width.min(96))?;
        }
        Ok(())
    }

    fn local_time(&self) -> impl std::fmt::Display {
        let local = self.site.zone.local(self.stand.moment);
        local.format("%a %Y-%m-%d %H:%M:%S").to_string()
    }

    /// What there is to say of the position.
    fn sentences(&self) -> Vec<String> {
        let Self {
            site, stand, aims, ..
        } = *self;
        let conventions = &site.conventions;
        let metres = |metres| distance_words(conventions.units, metres);
        let words = |say: fn(&Subject) -> String, without: &str| {
            site.subject
                .as_ref()
                .map_or_else(|| without.to_string(), say)
        };
        let subject = words(Subject::within_sentence, "the subject");
        let mut lines = Vec::new();
        lines.push(match stand.from_camera {
            Some(line) => format!(
                "{} from the site's camera position toward {}.",
                metres(line.distance_m),
                self.bearing(line.bearing_deg)
            ),
            None => "That is the site's camera position.".to_string(),
        });
        lines.push(format!(
            "{} is {} away toward {}; its top appears {:.2}° up.",
            words(Subject::at_sentence_start, "The subject"),
            metres(stand.subject_distance_m),
            self.bearing(stand.subject_bearing_deg),
            Figure(stand.top_altitude_deg)
        ));
        let word = self.target_word;
        lines.push(format!(
            "The {word} is {:.2}° up at {}: {}{:.2}° {} the top{}.",
            Figure(stand.target.apparent_altitude_deg),
            match conventions.north {
                North::True => format!("{:.2}° true", stand.target.azimuth_deg),
                north => bearing_words(north, stand.target.azimuth_deg, 2),
            },
            if stand.moon.is_some() {
                "its lower limb "
            } else {
                ""
            },
            aims.clearance_deg.abs(),
            if aims.clearance_deg < 0.0 {
                "below"
            } else {
                "above"
            },
            match aims.offset_deg {
                0.0 if aims.clearance_deg < 0.0 => ", straight behind it".to_string(),
                0.0 => ", straight above".to_string(),
                offset if offset < 0.0 => format!(" and {:.2}° left of it", -offset),
                offset => format!(" and {offset:.2}° right of it"),
            }
        ));
        if stand.behind_subject {
            lines.push(if stand.moon.is_some() {
                "The subject hides a part of the disc or all of it.".to_owned()
            } else {
                format!("The subject hides the {word}.")
            });
        }
        lines.push(match stand.moves_toward_deg {
            Some(toward) => format!(
                "The position moves {} per minute toward {}.",
                height_words(conventions.units, stand.speed_m_min, 2),
                self.bearing(toward)
            ),
            None => "The position does not move.".to_string(),
        });
        let camera = &self.lens.camera;
        lines.push(format!(
            "At {} mm{} {subject} is {:.1} mm high on the sensor, {:.0}% of the frame's \
             height; foot and {word} {}.",
            camera.focal_mm,
            if self.lens.assumed { " (assumed)" } else { "" },
            stand.subject_mm,
            100.0 * stand.frame_share,
            match (stand.fits_level, stand.fits_upright) {
                (true, _) => "fit in one frame, landscape or portrait",
                (false, true) => "fit in one frame in portrait only",
                (false, false) => "do not fit in one frame, landscape or portrait",
            }
        ));
        if let Some(disc) = &stand.moon {
            lines.push(format!(
                "The Moon's disc is {:.1}' across: {:.2} mm on the sensor, {:.0} pixels, {:.2} \
                 times the height of {subject}.",
                60.0 * disc.diameter_deg,
                disc.on_sensor_mm,
                disc.pixels,
                disc.share_of_subject
            ));
        }
        lines.push(format!(
            "The ground there is assumed to be {} up, level with the {}, the lens {} above it: \
             check the real ground.",
            height_words(conventions.units, stand.ground_m, 0),
            if stand.ground_m == site.elevation_m {
                "camera's"
            } else {
                "subject's foot"
            },
            match conventions.units {
                Units::Metric => format!("{} m", aims.eye_height_m),
                units => height_words(units, aims.eye_height_m, 1),
            }
        ));
        lines.extend(
            north_words(conventions.north).map(|words| format!("{}.", capitalised(&words))),
        );
        if let Err(error) = &self.compass {
            lines.push(format!("Compass: {error}."));
        }
        lines
    }

    /// Tripod, camera and subject as points.
    pub fn waypoints(&self) -> Vec<Waypoint> {
        let Self { site, stand, .. } = *self;
        let offset = offset_text(site.zone.offset_seconds_at(stand.moment));
        let mut lines = vec![format!("{} {offset}", self.local_time())];
        lines.extend(self.sentences());
        let tripod = Waypoint {
            point: stand.point,
            elevation_m: Some(stand.ground_m),
            name: format!("{}: tripod", site.title()),
            role: Role::Tripod,
            lines,
        };
        let places = WindowMap::places(site);
        let camera = places.map(|(point, _)| waypoint::camera(site, point, Vec::new()));
        let subject = waypoint::subject(site, stand.subject);
        [tripod]
            .into_iter()
            .chain(camera)
            .chain([subject])
            .collect()
    }

    /// Writes tripod, subject and line of sight as GeoJSON.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_map(&self, out: &mut impl Write) -> io::Result<()> {
        let features = map::stand_features(self.site, self.stand);
        write!(
            out,
            "{}\n{}\n{}",
            map::BEGIN,
            map::joined(&features),
            map::END
        )
    }

    fn bearing(&self, true_deg: f64) -> String {
        let north = self.site.conventions.north;
        match &self.compass {
            _ if north != North::True => bearing_words(north, true_deg, 1),
            Ok(field) => format!(
                "{true_deg:.1}° true ({:.1}° by compass)",
                field.magnetic_bearing_deg(true_deg)
            ),
            Err(_) => format!("{true_deg:.1}° true"),
        }
    }
}

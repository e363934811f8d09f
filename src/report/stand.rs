//! A standing point, for people and as JSON.

use super::{
    cell::Cell,
    grid::STRONG,
    json::{document, query, rounded, site_object},
    map,
    wrap::write_wrapped,
};
use crate::{
    Figure,
    plan::{TripodAims, TripodPosition},
    scene::{Site, Subject, offset_text},
    search::Lens,
    terrain::{MagneticError, MagneticField},
};
use serde_json::{Value, json};
use std::io::{self, Write};

/// A standing point with what it was asked for.
#[derive(Debug, Clone, Copy)]
pub struct TripodReport<'a> {
    /// The site.
    pub site: &'a Site,
    /// The camera.
    pub lens: &'a Lens,
    /// What was asked for.
    pub aims: &'a TripodAims,
    /// The answer.
    pub stand: &'a TripodPosition,
    /// Where a compass points.
    pub compass: Result<MagneticField, MagneticError>,
    /// The target's word, such as `core`.
    pub target_word: &'a str,
}

impl TripodReport<'_> {
    /// Writes the JSON object.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write_json(&self, out: &mut impl Write) -> io::Result<()> {
        let Self {
            site, stand, aims, ..
        } = *self;
        let optional = |value: Option<f64>, decimals| {
            value.map_or(Value::Null, |value| rounded(value, decimals))
        };
        let body = json!({
            "site": site_object(site),
            "time_utc": Cell::Utc(stand.moment).to_json(),
            "time_local": Cell::Local(site.zone.local(stand.moment)).to_json(),
            "utc_offset": offset_text(site.zone.offset_seconds_at(stand.moment)),
            "asked": {
                "clearance_deg": aims.clearance_deg,
                "offset_deg": aims.offset_deg,
                "eye_height_m": aims.eye_height_m,
            },
            "tripod": {
                "latitude_deg": rounded(stand.point.latitude_deg(), 7),
                "longitude_deg": rounded(stand.point.longitude_deg(), 7),
                "ground_m": rounded(stand.ground_m, 2),
                "subject_bearing_deg": rounded(stand.subject_bearing_deg, 4),
                "subject_magnetic_bearing_deg": optional(
                    self.compass.as_ref().ok()
                        .map(|field| field.magnetic_bearing_deg(stand.subject_bearing_deg)), 2),
                "subject_distance_m": rounded(stand.subject_distance_m, 3),
                "moves_m_per_minute": rounded(stand.speed_m_min, 3),
                "moves_toward_deg": optional(stand.moves_toward_deg, 2),
            },
            "from_camera": stand.from_camera.map(|line| json!({
                "bearing_deg": rounded(line.bearing_deg, 4),
                "distance_m": rounded(line.distance_m, 3),
            })),
            "target": {
                "apparent_altitude_deg": rounded(stand.target.apparent_altitude_deg, 5),
                "azimuth_deg": rounded(stand.target.azimuth_deg, 5),
            },
            "subject": {
                "latitude_deg": rounded(stand.subject.latitude_deg(), 7),
                "longitude_deg": rounded(stand.subject.longitude_deg(), 7),
                "top_altitude_deg": rounded(stand.top_altitude_deg, 5),
                "foot_altitude_deg": rounded(stand.foot_altitude_deg, 5),
                "on_sensor_mm": rounded(stand.subject_mm, 3),
                "share_of_frame_height": rounded(stand.frame_share, 4),
            },
            "foot_and_target_fit": {
                "landscape": stand.fits_level,
                "portrait": stand.fits_upright,
            },
        });
        let document = document(query("tripod"), body);
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    /// Writes the answer for people.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write_table(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let Self {
            site, stand, aims, ..
        } = *self;
        let words = |say: fn(&Subject) -> String, without: &str| {
            site.subject
                .as_ref()
                .map_or_else(|| without.to_string(), say)
        };
        let subject = words(Subject::within_sentence, "the subject");
        writeln!(
            out,
            "{STRONG}{}{STRONG:#}  {} {}",
            site.name,
            site.zone.local(stand.moment).format("%a %Y-%m-%d %H:%M:%S"),
            offset_text(site.zone.offset_seconds_at(stand.moment)),
        )?;
        writeln!(
            out,
            "{STRONG}Stand at {:.6} {:.6}{STRONG:#}",
            Figure(stand.point.latitude_deg()),
            Figure(stand.point.longitude_deg()),
        )?;
        let mut lines = Vec::new();
        lines.push(match stand.from_camera {
            Some(line) => format!(
                "{} from the site's camera place toward {}.",
                metres(line.distance_m),
                self.bearing(line.bearing_deg)
            ),
            None => "That is the site's camera place.".to_string(),
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
            "The {word} stands {:.2}° up at {:.2}° true: {:.2}° over the top{}.",
            Figure(stand.target.apparent_altitude_deg),
            stand.target.azimuth_deg,
            Figure(aims.clearance_deg),
            match aims.offset_deg {
                0.0 => ", straight above".to_string(),
                offset if offset < 0.0 => format!(" and {:.2}° left of it", -offset),
                offset => format!(" and {offset:.2}° right of it"),
            }
        ));
        lines.push(match stand.moves_toward_deg {
            Some(toward) => format!(
                "The place moves {:.2} m a minute toward {}.",
                stand.speed_m_min,
                self.bearing(toward)
            ),
            None => "The place does not move.".to_string(),
        });
        let camera = &self.lens.camera;
        lines.push(format!(
            "At {} mm{} {subject} is {:.1} mm high on the sensor, {:.0}% of the frame's \
             height; foot and {word} fit in one frame {}.",
            camera.focal_mm,
            if self.lens.assumed { " (assumed)" } else { "" },
            stand.subject_mm,
            100.0 * stand.frame_share,
            match (stand.fits_level, stand.fits_upright) {
                (true, _) => "with the long side level or upright",
                (false, true) => "with the long side upright only",
                (false, false) => "in neither position",
            }
        ));
        lines.push(format!(
            "Ground there is taken as {:.0} m up, level with the {}, the lens {} m above it: look \
             at the real ground.",
            Figure(stand.ground_m),
            if stand.ground_m == site.elevation_m {
                "camera's"
            } else {
                "subject's foot"
            },
            aims.eye_height_m
        ));
        if let Err(error) = &self.compass {
            lines.push(format!("Compass: {error}."));
        }
        for line in lines {
            write_wrapped(out, "", &line, width.min(96))?;
        }
        Ok(())
    }

    /// Writes tripod, subject and line of sight as GeoJSON.
    ///
    /// # Errors
    ///
    /// What `out` says.
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
        match &self.compass {
            Ok(field) => format!(
                "{true_deg:.1}° true ({:.1}° by compass)",
                field.magnetic_bearing_deg(true_deg)
            ),
            Err(_) => format!("{true_deg:.1}° true"),
        }
    }
}

fn metres(distance_m: f64) -> String {
    if distance_m < 10_000.0 {
        format!("{distance_m:.1} m")
    } else {
        format!("{:.2} km", distance_m / 1000.0)
    }
}

//! Latitude and longitude of a site while it is being read, from the keys of
//! those names or from a position.

use super::site_draft::{Context, SiteDraft};
use crate::scene::ValueError;
use crate::scene::coordinates::check_coordinates;

/// The key of the camera's position (no prefix) or of the subject's.
fn position_key(table: &str) -> &'static str {
    match table {
        "" => "position",
        _ => "subject.position",
    }
}

impl SiteDraft {
    /// The key that gave a value: a latitude or a longitude may have come with
    /// the position.
    pub(super) fn key_given<'k>(&self, key: &'k str) -> &'k str {
        let position = match key {
            "latitude_deg" | "longitude_deg" => "position",
            "subject.latitude_deg" | "subject.longitude_deg" => "subject.position",
            _ => return key,
        };
        match self.has(position) && !self.has(key) {
            true => position,
            false => key,
        }
    }

    /// Puts the numbers of a position, that of the camera or of the subject,
    /// where those of the other keys are; none may be given twice.
    pub(super) fn spread_position(&mut self, context: &Context<'_>, table: &str) {
        let key = position_key(table);
        if !self.has(key) {
            return;
        }
        let position = match table {
            "" => self.position.take(),
            _ => self.subject.position.take(),
        };
        let in_it = |height: bool| position.is_some_and(|p| p.elevation_m.is_some()) || !height;
        let others = [
            ("latitude_deg", false),
            ("longitude_deg", false),
            ("elevation_m", true),
        ];
        let twice = others
            .into_iter()
            .find(|(other, height)| in_it(*height) && self.has(&format!("{table}{other}")));
        if let Some((other, _)) = twice {
            let mut error = ValueError::new("", "each of them once").with_remedy(match other {
                "elevation_m" => "keep one of the two",
                _ => "keep position, or latitude_deg and longitude_deg",
            });
            error.found = format!("it beside {other}");
            self.complain(context, key, error);
            return;
        }
        let Some(position) = position else { return };
        let (latitude, longitude, elevation) = match table {
            "" => (
                &mut self.latitude_deg,
                &mut self.longitude_deg,
                &mut self.elevation_m,
            ),
            _ => (
                &mut self.subject.latitude_deg,
                &mut self.subject.longitude_deg,
                &mut self.subject.elevation_m,
            ),
        };
        *latitude = Some(position.latitude_deg);
        *longitude = Some(position.longitude_deg);
        *elevation = elevation.take().or(position.elevation_m);
    }

    /// Latitude and longitude of the camera (no prefix) or of the subject.
    pub(super) fn coordinates(&mut self, context: &Context<'_>, table: &str) -> Option<(f64, f64)> {
        let (latitude_key, longitude_key) = match table {
            "" => ("latitude_deg", "longitude_deg"),
            _ => ("subject.latitude_deg", "subject.longitude_deg"),
        };
        let (latitude_deg, longitude_deg) = match table {
            "" => (self.latitude_deg, self.longitude_deg),
            _ => (self.subject.latitude_deg, self.subject.longitude_deg),
        };
        // A position that is wrong was reported already.
        let has_position = self.has(position_key(table));
        if latitude_deg.is_none() && !has_position {
            self.missing(
                context,
                latitude_key,
                "a number from -90 to 90",
                "add latitude_deg, north positive",
            );
        }
        if longitude_deg.is_none() && !has_position {
            self.missing(
                context,
                longitude_key,
                "a number from -180 to 180",
                "add longitude_deg, east positive",
            );
        }
        let (latitude_error, longitude_error) = check_coordinates(latitude_deg, longitude_deg);
        if let Some(error) = latitude_error {
            self.complain(context, latitude_key, error);
            return None;
        }
        if let Some(error) = longitude_error {
            self.complain(context, longitude_key, error);
            return None;
        }
        latitude_deg.zip(longitude_deg)
    }
}

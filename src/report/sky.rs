//! One instant, as a table and as JSON.

use super::{
    cell::Cell,
    columns::{light_angle_deg, light_side_word},
    grid::{FAINT, Grid, STRONG, Side},
    json::{document, query, rounded, site_object},
    words::{doubt_words, light_words, lit_side_word, settings_text, stops},
};
use crate::{
    Figure,
    ephemeris::Horizontal,
    rule::Conditions,
    scene::{Site, offset_text},
    search::{Caveats, FrameSettings},
};
use serde_json::{Map, Value, json};
use std::io::{self, Write};

/// Where everything is at one instant, and how bright it is.
#[derive(Debug, Clone, Copy)]
pub struct SkyReport<'a> {
    /// The site.
    pub site: &'a Site,
    /// The instant.
    pub instant: Conditions,
    /// Days since the last new Moon, where known.
    pub age_days: Option<f64>,
    /// What the site's own camera does, where it has one.
    pub frame: Option<FrameSettings>,
}

fn place(place: &Horizontal) -> Map<String, Value> {
    let mut object = Map::new();
    object.insert("altitude_deg".into(), rounded(place.altitude_deg, 5));
    object.insert(
        "apparent_altitude_deg".into(),
        rounded(place.apparent_altitude_deg, 5),
    );
    object.insert("azimuth_deg".into(), rounded(place.azimuth_deg, 5));
    object
}

fn optional(value: Option<f64>, decimals: usize) -> Value {
    value.map_or(Value::Null, |value| rounded(value, decimals))
}

impl SkyReport<'_> {
    /// The instant as one JSON object.
    pub fn to_json(&self) -> Value {
        let (site, sky, light) = (self.site, &self.instant.sky, &self.instant.light);
        let mut moon = place(&sky.moon);
        for (key, value) in [
            ("distance_km", optional(sky.moon.distance_km, 1)),
            ("moon_fraction", rounded(sky.phase.illuminated_fraction, 6)),
            ("phase_angle_deg", rounded(sky.phase.phase_angle_deg, 4)),
            ("elongation_deg", rounded(sky.phase.elongation_deg, 4)),
            ("waxing", Value::from(sky.phase.waxing)),
            ("age_days", optional(self.age_days, 3)),
        ] {
            moon.insert(key.into(), value);
        }
        let arch = sky.arch.map_or(Value::Null, |arch| {
            json!({
                "top": {
                    "altitude_deg": rounded(arch.top_altitude_deg, 4),
                    "azimuth_deg": rounded(arch.top_azimuth_deg, 4),
                    "galactic_longitude_deg": rounded(arch.top_galactic_longitude_deg, 4),
                },
                "feet": arch.feet.iter().map(|foot| json!({
                    "azimuth_deg": rounded(foot.azimuth_deg, 4),
                    "galactic_longitude_deg": rounded(foot.galactic_longitude_deg, 4),
                })).collect::<Vec<_>>(),
            })
        });
        json!({
            "time_utc": Cell::Utc(sky.moment).to_json(),
            "time_local": Cell::Local(site.zone.local(sky.moment)).to_json(),
            "utc_offset": offset_text(site.zone.offset_seconds_at(sky.moment)),
            "sun": place(&sky.sun),
            "moon": moon,
            "target": place(&sky.target),
            "moon_target_separation_deg": rounded(sky.moon_target_separation_deg, 4),
            "arch": arch,
            "tilt_deg": optional(sky.tilt_deg, 4),
            "facing_deg": rounded(self.instant.facing_deg, 4),
            "light": {
                "moonlight_lux": rounded(light.moonlight_lux, 6),
                "beam_lux": rounded(light.beam_lux, 6),
                "face_lux": rounded(light.face_lux, 6),
                "ambient_lux": rounded(light.ambient_lux, 6),
                "light_angle_deg": optional(light_angle_deg(&self.instant), 3),
                "light_side": light_side_word(&self.instant),
                "lit_side": lit_side_word(light.lit_side),
                "shadow_azimuth_deg": optional(light.shadow_azimuth_deg, 2),
                "shadow_length_per_height": optional(light.shadow_length_per_height, 3),
                "sky_mag_arcsec2": rounded(light.sky_mag_arcsec2, 3),
                "sky_cd_m2": rounded(light.sky_cd_m2, 9),
                "sky_loss_mag": rounded(light.sky_loss_mag, 3),
                "milky_way_contrast": rounded(light.milky_way_contrast, 4),
                "contrast_kept": rounded(light.contrast_kept, 4),
                "land_vs_sky_stops": rounded(light.land_vs_sky_stops, 3),
            },
            "doubts": doubt_words(Caveats::of(site, sky)),
            "camera": self.frame.map(|frame| json!({
                "f_number": frame.exposure.f_number,
                "shutter_s": rounded(frame.exposure.shutter_s, 4),
                "iso": frame.exposure.iso,
                "sky_ev100": rounded(frame.exposure.sky_ev100, 2),
                "land_ev100": rounded(frame.exposure.land_ev100, 2),
                "sky_placement_stops": rounded(frame.exposure.sky_placement_stops, 2),
                "land_placement_stops": rounded(frame.exposure.land_placement_stops, 2),
                "target_in_frame": frame.target_in_frame,
                "subject_in_frame": frame.subject_in_frame,
                "moon_in_frame": frame.moon_in_frame,
            })),
        })
    }

    /// Writes the JSON object.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write_json(&self, out: &mut impl Write) -> io::Result<()> {
        let mut body = Map::new();
        body.insert("site".into(), site_object(self.site));
        if let Value::Object(fields) = self.to_json() {
            body.extend(fields);
        }
        let document = document(query("sky"), Value::Object(body));
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    /// Writes the instant for people.
    ///
    /// # Errors
    ///
    /// What `out` says.
    pub fn write_table(&self, out: &mut impl Write) -> io::Result<()> {
        let (site, instant) = (self.site, &self.instant);
        let (sky, light) = (&instant.sky, &instant.light);
        writeln!(
            out,
            "{STRONG}{}{STRONG:#}  {} {}  {FAINT}({}){FAINT:#}",
            site.name,
            site.zone.local(sky.moment).format("%a %Y-%m-%d %H:%M:%S"),
            offset_text(site.zone.offset_seconds_at(sky.moment)),
            Cell::Utc(sky.moment).to_text(),
        )?;
        let mut grid = Grid::new([Side::Left, Side::Right, Side::Right, Side::Right]);
        grid.heading(["", "altitude", "appears at", "azimuth"]);
        for (name, place) in [
            ("Sun", &sky.sun),
            ("Moon", &sky.moon),
            (instant.target_name(), &sky.target),
        ] {
            grid.row([
                name.to_string(),
                format!("{:.2}°", Figure(place.altitude_deg)),
                format!("{:.2}°", Figure(place.apparent_altitude_deg)),
                format!("{:.2}°", place.azimuth_deg),
            ]);
        }
        if let Some(arch) = sky.arch {
            grid.row([
                "arch, top".to_string(),
                format!("{:.2}°", Figure(arch.top_altitude_deg)),
                String::new(),
                format!("{:.2}°", arch.top_azimuth_deg),
            ]);
            for foot in arch.feet {
                grid.row([
                    "arch, foot".to_string(),
                    String::new(),
                    String::new(),
                    format!("{:.2}°", foot.azimuth_deg),
                ]);
            }
        }
        grid.write(out)?;
        let phase = &sky.phase;
        let age = self
            .age_days
            .map_or_else(String::new, |age| format!(", {age:.1} days old"));
        writeln!(
            out,
            "Moon {:.1}% lit, {}{age}, {:.0} km away, {:.1}° from the {}",
            100.0 * phase.illuminated_fraction,
            if phase.waxing { "waxing" } else { "waning" },
            sky.moon.distance_km.unwrap_or_default(),
            sky.moon_target_separation_deg,
            instant.target_name(),
        )?;
        write!(out, "Facing {:.0}°: ", instant.facing_deg)?;
        if instant.moon_is_up() {
            writeln!(
                out,
                "moonlight from {}, {:.2} mlx on the ground",
                light_words(instant.signed_light_angle_deg()),
                1000.0 * light.moonlight_lux,
            )?;
        } else {
            writeln!(out, "no moonlight, the Moon is down")?;
        }
        writeln!(
            out,
            "Sky behind the {} {:.2} mag/arcsec2, Milky Way contrast {:.2} ({:.0}% kept)",
            instant.target_name(),
            light.sky_mag_arcsec2,
            light.milky_way_contrast,
            100.0 * light.contrast_kept,
        )?;
        writeln!(
            out,
            "Land {} stops against the sky",
            stops(light.land_vs_sky_stops)
        )?;
        if let Some(frame) = self.frame {
            let exposure = &frame.exposure;
            writeln!(
                out,
                "The site's camera: {}\nThe land falls {} stops from mid-tone",
                settings_text(exposure),
                stops(exposure.land_placement_stops),
            )?;
        }
        Ok(())
    }
}

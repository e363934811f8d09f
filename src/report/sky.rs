//! One instant, as a table and as JSON.

use super::{
    cell::Cell,
    grid::{Grid, Side},
    json::{document, list, object, query, site_object},
    key::Key,
    rows::{framing, photo, sky},
    words::{
        bearing_words, capitalised, framing_sentence, land_words, light_words, lux, mid_tone_words,
        near_town_words, north_words, photo_sentences, settings_text, stops, target_light_words,
        town_glow_lines,
    },
    wrap::{write_head, write_note, write_wrapped},
};
use crate::{
    Figure,
    light::{OneExposure, photometry::stops_between},
    scene::{North, offset_text},
};
use serde_json::{Map, Value, json};
use std::io::{self, Write};

pub use super::rows::{photo::PhotoReport, sky::SkyReport};

impl SkyReport<'_> {
    /// The instant as one JSON object.
    pub fn to_json(&self) -> Value {
        let sky = &self.instant.sky;
        let mut moon = object(sky::BODY, &&sky.moon);
        moon.extend(object(sky::MOON, self));
        let arch = sky.arch.map_or(Value::Null, |arch| {
            let feet = arch.feet.map(|foot| {
                let foot = (foot.azimuth_deg, foot.galactic_longitude_deg);
                list(sky::ARCH_FOOT, &foot)
            });
            json!({"top": list(sky::ARCH_TOP, &&arch), "feet": feet})
        });
        let camera = self.frame.as_ref();
        let mut whole = object(sky::TIME, self);
        whole.insert("sun".into(), list(sky::BODY, &&sky.sun));
        whole.insert("moon".into(), Value::Object(moon));
        whole.insert("target".into(), list(sky::BODY, &&sky.target));
        whole.extend(object(sky::SEPARATION, self));
        whole.insert("arch".into(), arch);
        whole.extend(object(sky::FRAME, self));
        whole.insert("light".into(), list(sky::LIGHT, &&self.instant));
        whole.extend(object(sky::LAND_RANGE, self));
        whole.extend(object(sky::DOUBTS, self));
        whole.extend(object(sky::TOWN, self));
        let plan = camera.and_then(|frame| frame.plan.as_ref());
        let plan = plan.map_or(Value::Null, |plan| list(framing::FIELDS, &plan));
        let camera = camera.map_or(Value::Null, |frame| list(sky::CAMERA, &frame));
        whole.insert("camera".into(), camera);
        whole.insert("framing".into(), plan);
        Value::Object(whole)
    }

    /// The photograph as a JSON object, if there is one.
    pub fn photo_json(&self) -> Option<Value> {
        let photo = self.photo.as_ref()?;
        Some(list(photo::PHOTO, &photo))
    }

    /// Writes the JSON object.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_json(&self, out: &mut impl Write) -> io::Result<()> {
        let mut body = Map::new();
        body.insert("site".into(), site_object(self.site));
        body.extend(self.photo_json().map(|photo| ("photo".into(), photo)));
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
    /// Any error of `out`.
    pub fn write_table(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let (site, instant) = (self.site, &self.instant);
        let sky = &instant.sky;
        let when = format!(
            "  {} {}  ({})",
            site.zone.local(sky.moment).format("%a %Y-%m-%d %H:%M:%S"),
            offset_text(site.zone.offset_seconds_at(sky.moment)),
            Cell::Utc(sky.moment).to_text(),
        );
        write_head(out, &site.title(), &when, width)?;
        let north = site.conventions.north;
        if let Some(near) = near_town_words(site) {
            write_wrapped(out, "", &near, width)?;
        }
        let mut grid = Grid::new([Side::Left, Side::Right, Side::Right, Side::Right]);
        grid.heading(["", "", "apparent", ""]);
        grid.heading(["", "altitude", "altitude", "azimuth"]);
        let target = (instant.target_name(), &sky.target);
        let target = Some(target).filter(|_| !instant.target.is_moon());
        let bodies = [("Sun", &sky.sun), ("Moon", &sky.moon)];
        for (name, place) in bodies.into_iter().chain(target) {
            grid.row([
                name.to_string(),
                format!("{:.2}°", Figure(place.altitude_deg)),
                format!("{:.2}°", Figure(place.apparent_altitude_deg)),
                bearing_words(north, place.azimuth_deg, 2),
            ]);
        }
        if let Some(arch) = sky.arch.filter(|_| !instant.target.is_moon()) {
            grid.row([
                "arch, top".to_string(),
                format!("{:.2}°", Figure(arch.top_altitude_deg)),
                String::new(),
                bearing_words(north, arch.top_azimuth_deg, 2),
            ]);
            for foot in arch.feet {
                grid.row([
                    "arch, foot".to_string(),
                    String::new(),
                    String::new(),
                    bearing_words(north, foot.azimuth_deg, 2),
                ]);
            }
        }
        grid.write(out)?;
        for sentence in self.sentences() {
            write_wrapped(out, "", &sentence, width)?;
        }
        Ok(())
    }

    /// Writes what explains its table, in lines of at most `width` columns.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_key(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let text = self.key().text();
        match self.site.conventions.north {
            North::True => write_note(out, text, width),
            North::Magnetic { .. } => {
                let compass = text.replace("azimuth: true,", "azimuth: by compass,");
                write_note(out, &compass, width)
            }
        }
    }

    fn key(&self) -> Key {
        match self.instant.target.is_moon() {
            true => Key::SkyOfMoon,
            false => Key::Sky,
        }
    }

    fn sentences(&self) -> Vec<String> {
        let instant = &self.instant;
        let north = self.site.conventions.north;
        let (sky, light) = (&instant.sky, &instant.light);
        let phase = &sky.phase;
        let age = self
            .age_days
            .map_or_else(String::new, |age| format!(", {age:.1} days old"));
        let mut all: Vec<String> = north_words(self.site.conventions.north)
            .map(|words| capitalised(&words))
            .into_iter()
            .collect();
        all.push(format!(
            "Moon {:.1}% lit, {}{age}, {:.0} km away, {}",
            100.0 * phase.illuminated_fraction,
            if phase.waxing { "waxing" } else { "waning" },
            sky.moon.distance_km.unwrap_or_default(),
            match instant.moon_diameter_deg() {
                Some(diameter_deg) => format!("{:.1}' across", 60.0 * diameter_deg),
                None => format!(
                    "{:.1}° from the {}",
                    sky.moon_target_separation_deg,
                    instant.target_name()
                ),
            },
        ));
        let moonlight = if instant.moon_is_up() {
            format!(
                "moonlight from {}, {} lux on the ground",
                light_words(instant.signed_light_angle_deg()),
                lux(light.moonlight_lux),
            )
        } else {
            "no moonlight, the Moon is down".to_owned()
        };
        all.push(format!(
            "Camera direction {}: {moonlight}",
            bearing_words(north, instant.facing_deg, 0)
        ));
        all.push(target_light_words(instant));
        all.push(format!(
            "The land is {} the sky, give or take {:.1}: one exposure {}",
            land_words(light.land_vs_sky_stops),
            self.land_range.half_width_stops,
            match self.land_range.one_exposure {
                OneExposure::Likely => "likely holds both",
                OneExposure::Perhaps => "perhaps holds both",
                OneExposure::No => "does not hold both",
            }
        ));
        let against_sky = |cd_m2: f64| stops(stops_between(cd_m2, light.sky_cd_m2));
        let level = format!("level ground {}", against_sky(light.level_cd_m2));
        all.push(if instant.is_moonlit() {
            format!(
                "Faces, stops from the sky: toward the Moon {}, {level}, away {}",
                against_sky(light.toward_moon_cd_m2),
                against_sky(light.away_cd_m2)
            )
        } else {
            format!(
                "Faces, stops from the sky: {level}, upright {}",
                against_sky(light.away_cd_m2)
            )
        });
        if let Some(photo) = &self.photo {
            if let Some(plan) = self.frame.as_ref().and_then(|frame| frame.plan.as_ref()) {
                all.push(framing_sentence(plan, instant.target_name(), north));
            }
            all.extend(photo_sentences(photo, self.site));
        } else if let Some(frame) = self.frame {
            let exposure = &frame.exposure;
            if let Some(plan) = &frame.plan {
                all.push(framing_sentence(plan, self.instant.target_name(), north));
            }
            all.push(format!("The site's camera: {}", settings_text(exposure)));
            all.push(format!(
                "The land falls {}",
                mid_tone_words(exposure.land_placement_stops)
            ));
        }
        let target = &sky.target;
        all.extend(town_glow_lines(self.site, |dome| {
            let (azimuth, altitude) = (target.azimuth_deg, target.apparent_altitude_deg);
            let stands = dome.is_under(azimuth, altitude) && altitude >= 0.0;
            stands.then(|| format!("under the {}", instant.target_name()))
        }));
        all
    }
}

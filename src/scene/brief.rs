//! The photographer's wishes, as far as they were said.

use super::azimuth_band::AzimuthBand;
use super::band::Band;
use super::clock_band::ClockBand;
use super::direction::Direction;
use super::facing::{Facing, Side};
use super::light_kind::LightKind;
use super::nearest::nearest;
use super::number::number_within;
use super::value_error::ValueError;
use super::weekdays::{parse_weekdays, weekdays_text};
use super::weights::Weights;
use chrono::WeekdaySet;

/// Wishes as far as they were said in one place (options, a brief file or a
/// site file); `None` leaves the word to the next in line.
///
/// Field names are the option names with `_` for `-`, and the keys of a brief.
///
/// # Example
///
/// ```
/// use rakelight::scene::Brief;
/// let mut typed = Brief::default();
/// typed.set("core_altitude", "12..")?;
/// let mut site = Brief::default();
/// site.set("core_altitude", "10..")?;
/// site.set("light", "dark")?;
/// let both = typed.or(&site);
/// assert_eq!(both.entries(), [
///     ("light", "dark".to_owned()),
///     ("core_altitude", "12..".to_owned()),
/// ]);
/// # Ok::<(), rakelight::scene::ValueError>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Brief {
    /// The kind of light.
    pub light: Option<LightKind>,
    /// What must stand in the sky.
    pub target: Option<Direction>,
    /// Apparent altitude of the target, degrees.
    pub core_altitude: Option<Band>,
    /// True azimuth of the target.
    pub core_azimuth: Option<AzimuthBand>,
    /// Where the camera looks.
    pub facing: Option<Facing>,
    /// Azimuth of the target relative to the facing direction, degrees, left
    /// negative.
    pub core_offset: Option<Band>,
    /// Geometric altitude of the highest point of the Milky Way's arch,
    /// degrees.
    pub arch_altitude: Option<Band>,
    /// Azimuth of that point relative to the facing direction, degrees, left
    /// negative.
    pub arch_offset: Option<Band>,
    /// Angle between the Milky Way's plane and the horizon at the target,
    /// degrees, 0 to 90.
    pub tilt: Option<Band>,
    /// Geometric altitude of the Sun's centre, degrees.
    pub sun_altitude: Option<Band>,
    /// Apparent altitude of the Moon's centre, degrees.
    pub moon_altitude: Option<Band>,
    /// Illuminated fraction of the Moon, 0 to 1, geocentric.
    pub moon_fraction: Option<Band>,
    /// Angle between the facing direction and the Moon's azimuth, degrees,
    /// 0 to 180.
    pub light_angle: Option<Band>,
    /// The side of the facing direction on which the Moon may stand.
    pub light_side: Option<Side>,
    /// Shortest useful window, minutes.
    pub min_minutes: Option<f64>,
    /// Local wall-clock hours that suit.
    pub clock: Option<ClockBand>,
    /// Evenings that suit.
    pub weekdays: Option<WeekdaySet>,
    /// What counts how much in the score.
    pub weights: Option<Weights>,
}

/// One key of a brief: its name, how text sets it, and what text it now is.
struct Key {
    name: &'static str,
    set: fn(&mut Brief, &str) -> Result<(), ValueError>,
    get: fn(&Brief) -> Option<String>,
}

/// A key whose type reads and shows itself.
macro_rules! plain_key {
    ($field:ident) => {
        Key {
            name: stringify!($field),
            set: |brief, text| {
                brief.$field = Some(text.parse()?);
                Ok(())
            },
            get: |brief| brief.$field.map(|value| value.to_string()),
        }
    };
}

/// A band with the limits that its quantity has.
macro_rules! band_key {
    ($field:ident, $lowest:literal, $highest:literal) => {
        Key {
            name: stringify!($field),
            set: |brief, text| {
                brief.$field = Some(Band::parse_within(text, $lowest, $highest)?);
                Ok(())
            },
            get: |brief| brief.$field.map(|band| band.to_string()),
        }
    };
}

static KEYS: [Key; 18] = [
    plain_key!(light),
    plain_key!(target),
    band_key!(core_altitude, -90.0, 90.0),
    plain_key!(core_azimuth),
    plain_key!(facing),
    band_key!(core_offset, -180.0, 180.0),
    band_key!(arch_altitude, -90.0, 90.0),
    band_key!(arch_offset, -180.0, 180.0),
    band_key!(tilt, 0.0, 90.0),
    band_key!(sun_altitude, -90.0, 90.0),
    band_key!(moon_altitude, -90.0, 90.0),
    Key {
        name: "moon_fraction",
        set: |brief, text| {
            brief.moon_fraction = Some(Band::parse_fraction(text)?);
            Ok(())
        },
        get: |brief| brief.moon_fraction.map(|band| band.to_string()),
    },
    band_key!(light_angle, 0.0, 180.0),
    plain_key!(light_side),
    Key {
        name: "min_minutes",
        set: |brief, text| {
            brief.min_minutes = Some(number_within(text, 0.0, 1440.0)?);
            Ok(())
        },
        get: |brief| brief.min_minutes.map(|minutes| minutes.to_string()),
    },
    plain_key!(clock),
    Key {
        name: "weekdays",
        set: |brief, text| {
            brief.weekdays = Some(parse_weekdays(text)?);
            Ok(())
        },
        get: |brief| brief.weekdays.map(weekdays_text),
    },
    plain_key!(weights),
];

impl Brief {
    /// The names of all keys, in the order of [`Brief::entries`].
    pub fn keys() -> impl Iterator<Item = &'static str> {
        KEYS.iter().map(|key| key.name)
    }

    /// Sets one wish from its key and the text that an option, a brief file or
    /// a table gives it; every one of these goes through here.
    ///
    /// # Errors
    ///
    /// An unknown key, or a value that the key does not take.
    pub fn set(&mut self, key: &str, text: &str) -> Result<(), ValueError> {
        match KEYS.iter().find(|known| known.name == key) {
            Some(known) => (known.set)(self, text),
            None => Err(unknown_key(key)),
        }
    }

    /// These wishes, and for each that was not said, that of `fallback`.
    ///
    /// Wishes about the Moon belong to the kind of light they were said with:
    /// where these ask for another kind than `fallback` does, its Moon's
    /// altitude and fraction, light angle and side do not count. A site that
    /// wants its raking Moon at 4 to 25 degrees still has dark nights.
    #[must_use]
    pub fn or(self, fallback: &Self) -> Self {
        let other_light = self.light.is_some_and(|light| {
            light.is_sidelit() != fallback.light.unwrap_or(LightKind::Raking).is_sidelit()
        });
        if other_light {
            let without_moon = Self {
                moon_altitude: None,
                moon_fraction: None,
                light_angle: None,
                light_side: None,
                ..fallback.clone()
            };
            return self.or_all(&without_moon);
        }
        self.or_all(fallback)
    }

    fn or_all(self, fallback: &Self) -> Self {
        Self {
            light: self.light.or(fallback.light),
            target: self.target.or(fallback.target),
            core_altitude: self.core_altitude.or(fallback.core_altitude),
            core_azimuth: self.core_azimuth.or(fallback.core_azimuth),
            facing: self.facing.or(fallback.facing),
            core_offset: self.core_offset.or(fallback.core_offset),
            arch_altitude: self.arch_altitude.or(fallback.arch_altitude),
            arch_offset: self.arch_offset.or(fallback.arch_offset),
            tilt: self.tilt.or(fallback.tilt),
            sun_altitude: self.sun_altitude.or(fallback.sun_altitude),
            moon_altitude: self.moon_altitude.or(fallback.moon_altitude),
            moon_fraction: self.moon_fraction.or(fallback.moon_fraction),
            light_angle: self.light_angle.or(fallback.light_angle),
            light_side: self.light_side.or(fallback.light_side),
            min_minutes: self.min_minutes.or(fallback.min_minutes),
            clock: self.clock.or(fallback.clock),
            weekdays: self.weekdays.or(fallback.weekdays),
            weights: self.weights.or(fallback.weights),
        }
    }

    /// What was said, as key and text that can be typed, in a fixed order.
    pub fn entries(&self) -> Vec<(&'static str, String)> {
        KEYS.iter()
            .filter_map(|key| (key.get)(self).map(|text| (key.name, text)))
            .collect()
    }
}

/// The error for a key that no brief has, naming the nearest known one.
fn unknown_key(key: &str) -> ValueError {
    let error = ValueError::new(key, "a key of a brief");
    match nearest(key, Brief::keys()) {
        Some(word) => error.with_remedy(format!("did you mean {word}?")),
        None => {
            let known: Vec<&str> = Brief::keys().collect();
            error.with_remedy(format!("known keys: {}", known.join(", ")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAID: [(&str, &str); 18] = [
        ("light", "raking"),
        ("target", "gal:0,0"),
        ("core_altitude", "10..60"),
        ("core_azimuth", "320..40"),
        ("facing", "subject"),
        ("core_offset", "-60..60"),
        ("arch_altitude", "20..45"),
        ("arch_offset", "..0"),
        ("tilt", "30..90"),
        ("sun_altitude", "..-18"),
        ("moon_altitude", "3..30"),
        ("moon_fraction", "0.03..0.5"),
        ("light_angle", "40..150"),
        ("light_side", "left"),
        ("min_minutes", "20"),
        ("clock", "21:00..02:30"),
        ("weekdays", "fri,sat"),
        (
            "weights",
            "contrast=2,balance=1,raking=1,position=0.6,length=0",
        ),
    ];

    #[test]
    fn wishes_about_the_moon_belong_to_their_kind_of_light() {
        let mut site = Brief::default();
        site.set("moon_altitude", "4..25").expect("a band");
        site.set("core_altitude", "12..").expect("a band");
        let asked = |light: &str| {
            let mut asked = Brief::default();
            asked.set("light", light).expect("a kind");
            asked.or(&site)
        };
        assert_eq!(asked("dark").moon_altitude, None);
        assert_eq!(asked("any").moon_altitude, None);
        assert_eq!(asked("dark").core_altitude, Some(Band::from(12.0)));
        assert_eq!(asked("raking").moon_altitude, Some(Band::new(4.0, 25.0)));
        assert_eq!(asked("blend").moon_altitude, Some(Band::new(4.0, 25.0)));
    }

    #[test]
    fn each_key_gives_back_what_was_typed() {
        let mut brief = Brief::default();
        for (key, text) in SAID {
            brief.set(key, text).expect(key);
        }
        let said = SAID.map(|(key, text)| (key, text.to_owned()));
        assert_eq!(brief.entries(), said);
        let names: Vec<&str> = Brief::keys().collect();
        assert_eq!(names, SAID.map(|(key, _)| key));
    }

    #[test]
    fn each_key_falls_back_by_itself() {
        let mut fallback = Brief::default();
        for (key, text) in SAID {
            fallback.set(key, text).expect(key);
        }
        assert_eq!(Brief::default().or(&fallback), fallback);
        assert_eq!(fallback.clone().or(&Brief::default()), fallback);
        let mut first = Brief::default();
        first.set("min_minutes", "45").expect("a number");
        let merged = first.or(&fallback);
        assert_eq!(merged.min_minutes, Some(45.0));
        assert_eq!(merged.weekdays, fallback.weekdays);
    }

    #[test]
    fn limits_and_unknown_keys() {
        let refuse = |key: &str, text: &str| match Brief::default().set(key, text) {
            Ok(()) => String::from("accepted"),
            Err(error) => error.to_string(),
        };
        for (key, text, message) in [
            (
                "core_altitude",
                "10..95",
                "found 10..95, expected a band within -90..90; write 10..90",
            ),
            (
                "core_offset",
                "..181",
                "found ..181, expected a band within -180..180; write ..180",
            ),
            (
                "tilt",
                "-1..",
                "found -1.., expected a band within 0..90; write 0..",
            ),
            (
                "light_angle",
                "..200",
                "found ..200, expected a band within 0..180; write ..180",
            ),
            (
                "min_minutes",
                "-5",
                "found -5, expected a number from 0 to 1440",
            ),
            (
                "core_alt",
                "10..",
                "found core_alt, expected a key of a brief; did you mean core_altitude?",
            ),
            (
                "light",
                "rakng",
                "found rakng, expected one of raking, dark, blend, any; did you mean raking?",
            ),
        ] {
            assert_eq!(refuse(key, text), message);
        }
    }
}

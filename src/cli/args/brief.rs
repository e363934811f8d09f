//! The photographer's wishes.

use super::headings::{DARK, LIGHT, PRINT, STAND, WHERE};
use clap::Args;
use rakelight::scene::Brief;
use std::path::PathBuf;

/// Checks a wish by the one parser that files use too, so that what is no band
/// is refused even where it begins with a minus sign like an option.
pub(super) fn wish(key: &'static str) -> impl Fn(&str) -> Result<String, String> + Clone {
    move |text| {
        Brief::default()
            .set(key, text)
            .map(|()| text.to_string())
            .map_err(|error| error.to_string())
    }
}

/// The photographer's wishes; each option is also a key of a brief.
#[derive(Debug, Args)]
pub struct BriefArgs {
    /// The same rules from a TOML file
    ///
    /// Keys are spelled as the options, with _ for -. An option wins over the
    /// file, the file over the site's own [brief].
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub brief: Option<PathBuf>,

    /// Local wall-clock hours that suit
    #[arg(long, value_name = "HH:MM..HH:MM", value_parser = wish("clock"), help_heading = WHERE)]
    pub clock: Option<String>,

    /// Evenings that suit, such as fri,sat
    #[arg(long, value_name = "DAYS", value_parser = wish("weekdays"), help_heading = WHERE)]
    pub weekdays: Option<String>,

    /// Shortest useful window, minutes [default: 20]
    #[arg(long, value_name = "N", value_parser = wish("min_minutes"), help_heading = WHERE)]
    pub min_minutes: Option<String>,

    /// What must stand in the sky: core, gal:L,B or icrs:RA,DEC in degrees
    /// [default: core]
    #[arg(long, value_name = "TARGET", value_parser = wish("target"), help_heading = STAND)]
    pub target: Option<String>,

    /// Where the camera looks: a true bearing, subject, target or arch
    ///
    /// `target` follows the target; `arch` follows the highest point of the
    /// Milky Way's arch, for a panorama of the whole. Default: the subject
    /// where the site has one, else the target.
    #[arg(long, value_name = "DEG|subject|target|arch", value_parser = wish("facing"), help_heading = STAND)]
    pub facing: Option<String>,

    /// Apparent altitude of the target, degrees [default: 10..]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_altitude"), help_heading = STAND)]
    pub core_altitude: Option<String>,

    /// True azimuth of the target, clockwise; 320..40 goes through north
    #[arg(long, value_name = "A..B", value_parser = wish("core_azimuth"), help_heading = STAND)]
    pub core_azimuth: Option<String>,

    /// Azimuth of the target relative to the facing direction, left negative
    /// [default: -60..60 when facing the subject, else any]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_offset"), help_heading = STAND)]
    pub core_offset: Option<String>,

    /// Altitude of the highest point of the Milky Way's arch
    #[arg(long, value_name = "A..B", value_parser = wish("arch_altitude"), help_heading = STAND)]
    pub arch_altitude: Option<String>,

    /// Azimuth of that point relative to the facing direction
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("arch_offset"), help_heading = STAND)]
    pub arch_offset: Option<String>,

    /// Angle of the Milky Way to the horizon at the target: 0 lying, 90 upright
    #[arg(long, value_name = "A..B", value_parser = wish("tilt"), help_heading = STAND)]
    pub tilt: Option<String>,

    /// Geometric altitude of the Sun's centre, degrees [default: ..-18]
    #[arg(long, value_name = "..B", allow_hyphen_values = true, value_parser = wish("sun_altitude"), help_heading = DARK)]
    pub sun_altitude: Option<String>,

    /// The kind of night [default: raking]
    ///
    /// raking: a low Moon from the side. dark: no Moon. blend: such a Moon for
    /// the land, and a dark spell with the target up in the same night. any:
    /// no rule about the Moon.
    #[arg(long, value_name = "raking|dark|blend|any", value_parser = wish("light"), help_heading = LIGHT)]
    pub light: Option<String>,

    /// Apparent altitude of the Moon's centre, degrees [default: 3..30 for
    /// raking and blend]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("moon_altitude"), help_heading = LIGHT)]
    pub moon_altitude: Option<String>,

    /// Illuminated fraction, 0..1 or in percent [default: 0.03..0.5 for raking
    /// and blend]
    #[arg(long, value_name = "A..B", value_parser = wish("moon_fraction"), help_heading = LIGHT)]
    pub moon_fraction: Option<String>,

    /// Angle between the facing direction and the Moon's azimuth [default:
    /// 40..150 for raking and blend]
    ///
    /// 0: the Moon stands behind the subject; 90: square from the side; 180:
    /// behind the camera.
    #[arg(long, value_name = "A..B", value_parser = wish("light_angle"), help_heading = LIGHT)]
    pub light_angle: Option<String>,

    /// Which side of the facing direction the light comes from [default:
    /// either]
    #[arg(long, value_name = "left|right|either", value_parser = wish("light_side"), help_heading = LIGHT)]
    pub light_side: Option<String>,

    /// What counts how much in the score, such as contrast=2,length=0
    #[arg(long, value_name = "NAME=N,...", value_parser = wish("weights"), help_heading = PRINT)]
    pub weights: Option<String>,
}

impl BriefArgs {
    /// The wishes typed, by key.
    pub fn typed(&self) -> [(&'static str, Option<&String>); 18] {
        [
            ("light", self.light.as_ref()),
            ("target", self.target.as_ref()),
            ("core_altitude", self.core_altitude.as_ref()),
            ("core_azimuth", self.core_azimuth.as_ref()),
            ("facing", self.facing.as_ref()),
            ("core_offset", self.core_offset.as_ref()),
            ("arch_altitude", self.arch_altitude.as_ref()),
            ("arch_offset", self.arch_offset.as_ref()),
            ("tilt", self.tilt.as_ref()),
            ("sun_altitude", self.sun_altitude.as_ref()),
            ("moon_altitude", self.moon_altitude.as_ref()),
            ("moon_fraction", self.moon_fraction.as_ref()),
            ("light_angle", self.light_angle.as_ref()),
            ("light_side", self.light_side.as_ref()),
            ("min_minutes", self.min_minutes.as_ref()),
            ("clock", self.clock.as_ref()),
            ("weekdays", self.weekdays.as_ref()),
            ("weights", self.weights.as_ref()),
        ]
    }
}

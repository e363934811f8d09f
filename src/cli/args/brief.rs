//! The photographer's wishes.

use super::headings::{DARK, LIGHT, PRINT, STAND, WHERE};
use super::wish::wish;
use clap::{Arg, Args};
use rakelight::scene::Brief;
use std::path::PathBuf;

/// Wishes that `-h` leaves to `--help` where a command is not about them.
pub fn rules_in_long_help(arg: Arg) -> Arg {
    if Brief::keys().any(|key| arg.get_id() == key) {
        arg.hide_short_help(true)
    } else {
        arg
    }
}

/// The photographer's wishes; each option is also a key of a brief.
#[derive(Debug, Args)]
pub struct BriefArgs {
    /// The rules from a TOML file
    ///
    /// Keys are spelled as the options, with _ for -. An option wins over the
    /// file, the file over the site's own [brief].
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub brief: Option<PathBuf>,

    /// Local wall-clock hours that suit
    #[arg(long, value_name = "HH:MM..HH:MM", value_parser = wish("clock"), help_heading = WHERE)]
    pub clock: Option<String>,

    /// Evenings that suit, such as fri,sat or mon-thu
    #[arg(long, value_name = "DAYS", hide_possible_values = true, value_parser = wish("weekdays"), help_heading = WHERE)]
    pub weekdays: Option<String>,

    /// Shortest useful window, minutes [default: 20]
    #[arg(long, value_name = "N", value_parser = wish("min_minutes"), help_heading = WHERE)]
    pub min_minutes: Option<String>,

    /// What must be up: core, gal:L,B or icrs:RA,DEC
    ///
    /// A direction among the stars: galactic longitude and latitude, or right
    /// ascension and declination, degrees. [default: core]
    #[arg(long, value_name = "TARGET", hide_possible_values = true, value_parser = wish("target"), help_heading = STAND)]
    pub target: Option<String>,

    /// Camera's true bearing, or subject, target, arch
    ///
    /// `subject` looks at the site's subject. `target` follows the target; `arch` follows the highest point of the
    /// Milky Way's arch, for a panorama of the whole. Default: the subject
    /// where the site has one, else the target.
    #[arg(long, value_name = "BEARING", hide_possible_values = true, value_parser = wish("facing"), help_heading = STAND)]
    pub facing: Option<String>,

    /// Apparent altitude of the target [default: 10..]
    ///
    /// In degrees, as every angle here.
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_altitude"), help_heading = STAND)]
    pub core_altitude: Option<String>,

    /// True azimuth of the target; 320..40 is by north
    ///
    /// In degrees, clockwise from true north.
    #[arg(long, value_name = "A..B", value_parser = wish("core_azimuth"), help_heading = STAND)]
    pub core_azimuth: Option<String>,

    /// Target's azimuth from facing, left negative
    ///
    /// Relative to the direction in which the camera looks. [default: -60..60
    /// when facing the subject, else any]
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("core_offset"), help_heading = STAND)]
    pub core_offset: Option<String>,

    /// Altitude of the top of the Milky Way's arch
    #[arg(long, hide_short_help = true, value_name = "A..B", value_parser = wish("arch_altitude"), help_heading = STAND)]
    pub arch_altitude: Option<String>,

    /// Azimuth of that top from facing, left negative
    #[arg(long, hide_short_help = true, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("arch_offset"), help_heading = STAND)]
    pub arch_offset: Option<String>,

    /// Milky Way to horizon: 0 lying, 90 upright
    ///
    /// The angle between its plane and the horizon at the target.
    #[arg(long, hide_short_help = true, value_name = "A..B", value_parser = wish("tilt"), help_heading = STAND)]
    pub tilt: Option<String>,

    /// Geometric altitude of the Sun [default: ..-18]
    ///
    /// Of its centre, without refraction: -18 is the end of astronomical
    /// twilight.
    #[arg(long, value_name = "..B", allow_hyphen_values = true, value_parser = wish("sun_altitude"), help_heading = DARK)]
    pub sun_altitude: Option<String>,

    /// raking, dark, blend or any [default: raking]
    ///
    /// raking: a low Moon from the side. dark: no Moon. blend: such a Moon for
    /// the land, and a dark spell with the target up in the same night. any:
    /// no rule about the Moon.
    #[arg(long, value_name = "KIND", hide_possible_values = true, value_parser = wish("light"), help_heading = LIGHT)]
    pub light: Option<String>,

    /// Apparent altitude of the Moon [default: 3..30]
    ///
    /// Of its centre. The default is that of raking and blend; other kinds of
    /// night have none.
    #[arg(long, value_name = "A..B", allow_hyphen_values = true, value_parser = wish("moon_altitude"), help_heading = LIGHT)]
    pub moon_altitude: Option<String>,

    /// Illuminated part, 0..1 [default: 0.03..0.5]
    ///
    /// From 0 to 1, or in percent (..50%). The default is that of raking and
    /// blend; other kinds of night have none.
    #[arg(long, value_name = "A..B", value_parser = wish("moon_fraction"), help_heading = LIGHT)]
    pub moon_fraction: Option<String>,

    /// From facing to the Moon [default: 40..150]
    ///
    /// In azimuth. The default is that of raking and blend; other kinds of night
    /// have none. 0: the Moon stands behind the subject; 90: square from the side; 180:
    /// behind the camera.
    #[arg(long, value_name = "A..B", value_parser = wish("light_angle"), help_heading = LIGHT)]
    pub light_angle: Option<String>,

    /// The Moon to the left, right or either
    ///
    /// From which side of the facing direction the light comes. [default:
    /// either]
    #[arg(long, value_name = "SIDE", hide_possible_values = true, value_parser = wish("light_side"), help_heading = LIGHT)]
    pub light_side: Option<String>,

    /// What counts how much in the score, such as contrast=2,length=0
    #[arg(long, hide_short_help = true, value_name = "NAME=N,...", value_parser = wish("weights"), help_heading = PRINT)]
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

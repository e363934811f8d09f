//! The columns of a window, each with its unit in its name: one list for CSV,
//! JSON and every other machine format.

use super::{
    cell::Cell,
    words::{doubt_words, eclipse_word, lit_side_word, side_word},
};
use crate::{
    ephemeris::Moment,
    rule::Instant,
    scene::Site,
    search::{LandSpell, Shot, Window},
};

/// A window of a site.
#[derive(Debug, Clone, Copy)]
pub struct Record<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its window.
    pub window: &'a Window,
}

/// A column: its name and how a record fills it.
#[non_exhaustive]
pub struct Column {
    /// Name, with the unit.
    pub name: &'static str,
    /// The value of a record.
    pub cell: for<'a> fn(&Record<'a>) -> Cell<'a>,
}

impl<'a> Record<'a> {
    fn best(&self) -> &'a Instant {
        &self.window.best
    }

    fn local(&self, moment: Moment) -> Cell<'a> {
        Cell::Local(self.site.zone.local(moment))
    }

    fn shot(&self, cell: impl FnOnce(&'a Shot) -> Cell<'a>) -> Cell<'a> {
        self.window.shot.as_ref().map_or(Cell::Empty, cell)
    }

    fn land(&self, cell: impl FnOnce(&'a LandSpell) -> Cell<'a>) -> Cell<'a> {
        self.window.land.as_ref().map_or(Cell::Empty, cell)
    }
}

/// The light angle, degrees 0 to 180, or nothing: a Moon below the horizon
/// lights from nowhere.
pub(super) fn light_angle_deg(instant: &Instant) -> Option<f64> {
    instant
        .moon_is_up()
        .then(|| instant.signed_light_angle_deg().abs())
}

/// The side from which the light comes, where it comes from one.
pub(super) fn light_side_word(instant: &Instant) -> Option<&'static str> {
    instant
        .moon_is_up()
        .then(|| side_word(instant.signed_light_angle_deg()))
}

fn optional(value: Option<f64>, decimals: usize) -> Cell<'static> {
    value.map_or(Cell::Empty, |value| Cell::Number(value, decimals))
}

macro_rules! columns {
    ($($name:literal => |$record:ident| $cell:expr;)*) => {
        &[$(Column { name: $name, cell: |$record| $cell }),*]
    };
}

/// Every column, in the order of the CSV.
pub const COLUMNS: &[Column] = columns! {
    "site" => |r| Cell::Text(&r.site.name);
    "rank" => |r| Cell::Whole(r.window.rank as i64);
    "score" => |r| Cell::Number(r.window.score, 1);
    "night" => |r| Cell::Date(r.window.night);
    "start_local" => |r| r.local(r.window.interval.first());
    "end_local" => |r| r.local(r.window.interval.last());
    "best_local" => |r| r.local(r.best().moment());
    "utc_offset" => |r| Cell::Offset(r.site.zone.offset_seconds_at(r.best().moment()));
    "start_utc" => |r| Cell::Utc(r.window.interval.first());
    "end_utc" => |r| Cell::Utc(r.window.interval.last());
    "best_utc" => |r| Cell::Utc(r.best().moment());
    "minutes" => |r| Cell::Number(r.window.interval.minutes(), 1);
    "core_altitude_deg" => |r| Cell::Number(r.best().sky.target.apparent_altitude_deg, 2);
    "core_azimuth_deg" => |r| Cell::Number(r.best().sky.target.azimuth_deg, 2);
    "core_offset_deg" => |r| Cell::Number(r.best().core_offset_deg(), 2);
    "moon_altitude_deg" => |r| Cell::Number(r.best().sky.moon.apparent_altitude_deg, 2);
    "moon_azimuth_deg" => |r| Cell::Number(r.best().sky.moon.azimuth_deg, 2);
    "moon_fraction" => |r| Cell::Number(r.best().sky.phase.illuminated_fraction, 4);
    "moon_waxing" => |r| Cell::Flag(r.best().sky.phase.waxing);
    "light_angle_deg" => |r| optional(light_angle_deg(r.best()), 2);
    "light_side" => |r| light_side_word(r.best()).map_or(Cell::Empty, Cell::Text);
    "moon_core_separation_deg" => |r| Cell::Number(r.best().sky.moon_target_separation_deg, 2);
    "sun_altitude_deg" => |r| Cell::Number(r.best().sky.sun.altitude_deg, 2);
    "moonlight_lux" => |r| Cell::Number(r.best().light.moonlight_lux, 6);
    "sky_mag_arcsec2" => |r| Cell::Number(r.best().light.sky_mag_arcsec2, 3);
    "sky_loss_mag" => |r| Cell::Number(r.best().light.sky_loss_mag, 3);
    "milky_way_contrast" => |r| Cell::Number(r.best().light.milky_way_contrast, 4);
    "contrast_kept" => |r| Cell::Number(r.best().light.contrast_kept, 4);
    "balance_stops" => |r| Cell::Number(r.best().light.balance_stops, 2);
    "arch_altitude_deg" => |r| optional(r.best().sky.arch.map(|arch| arch.top_altitude_deg), 2);
    "arch_azimuth_deg" => |r| optional(r.best().sky.arch.map(|arch| arch.top_azimuth_deg), 2);
    "tilt_deg" => |r| optional(r.best().sky.tilt_deg, 2);
    "shadow_length_per_height" => |r| optional(r.best().light.shadow_length_per_height, 2);
    "score_contrast" => |r| optional(r.window.factors.contrast, 4);
    "score_balance" => |r| optional(r.window.factors.balance, 4);
    "score_raking" => |r| optional(r.window.factors.raking, 4);
    "score_position" => |r| optional(r.window.factors.position, 4);
    "score_length" => |r| optional(r.window.factors.length, 4);
    "facing_deg" => |r| Cell::Number(r.best().facing_deg, 2);
    "lit_side" => |r| lit_side_word(r.best().light.lit_side).map_or(Cell::Empty, Cell::Text);
    "face_lux" => |r| Cell::Number(r.best().light.face_lux, 6);
    "shadow_azimuth_deg" => |r| optional(r.best().light.shadow_azimuth_deg, 2);
    "shutter_s" => |r| r.shot(|shot| Cell::Number(shot.exposure.shutter_s, 4));
    "iso" => |r| r.shot(|shot| Cell::Whole(i64::from(shot.exposure.iso)));
    "sky_placement_stops" => |r| r.shot(|shot| Cell::Number(shot.exposure.sky_placement_stops, 2));
    "foreground_placement_stops" => |r| r.shot(|shot| Cell::Number(shot.exposure.foreground_placement_stops, 2));
    "core_in_frame" => |r| r.shot(|shot| Cell::Flag(shot.core_in_frame));
    "subject_in_frame" => |r| r.shot(|shot| shot.subject_in_frame.map_or(Cell::Empty, Cell::Flag));
    "moon_in_frame" => |r| r.shot(|shot| Cell::Flag(shot.moon_in_frame));
    "eclipse" => |r| r.window.eclipse.map_or(Cell::Empty, |kind| Cell::Text(eclipse_word(kind)));
    "land_start_local" => |r| r.land(|land| r.local(land.interval.first()));
    "land_end_local" => |r| r.land(|land| r.local(land.interval.last()));
    "land_best_local" => |r| r.land(|land| r.local(land.best.moment()));
    "land_start_utc" => |r| r.land(|land| Cell::Utc(land.interval.first()));
    "land_end_utc" => |r| r.land(|land| Cell::Utc(land.interval.last()));
    "land_best_utc" => |r| r.land(|land| Cell::Utc(land.best.moment()));
    "land_minutes" => |r| r.land(|land| Cell::Number(land.interval.minutes(), 1));
    "land_moon_altitude_deg" => |r| r.land(|land| Cell::Number(land.best.sky.moon.apparent_altitude_deg, 2));
    "land_moon_azimuth_deg" => |r| r.land(|land| Cell::Number(land.best.sky.moon.azimuth_deg, 2));
    "land_moon_fraction" => |r| r.land(|land| Cell::Number(land.best.sky.phase.illuminated_fraction, 4));
    "land_light_angle_deg" => |r| r.land(|land| Cell::Number(land.best.signed_light_angle_deg().abs(), 2));
    "land_light_side" => |r| r.land(|land| Cell::Text(side_word(land.best.signed_light_angle_deg())));
    "land_moonlight_lux" => |r| r.land(|land| Cell::Number(land.best.light.moonlight_lux, 6));
    "doubts" => |r| doubt_words(r.window.doubts).map_or(Cell::Empty, Cell::Text);
};

//! The columns of a night's running order and steps: one list for CSV and
//! JSON.

use super::{
    cell::Cell,
    columns::{light_angle_deg, light_side_word},
    words::lit_side_word,
};
use crate::{
    plan::{Body, Entry, Look, NightPlan},
    scene::Site,
};

/// A line of a running order, or a step between.
#[derive(Debug, Clone, Copy)]
pub struct NightRow<'a> {
    /// The plan it belongs to.
    pub plan: &'a NightPlan<'a>,
    /// What happens; `None` for a step.
    pub entry: Option<&'a Entry>,
    /// What sky and light are like.
    pub look: &'a Look,
}

/// A column of such a row.
#[non_exhaustive]
pub struct NightColumn {
    /// Name, with the unit.
    pub name: &'static str,
    /// The value of a row.
    pub cell: for<'a> fn(&NightRow<'a>) -> Cell<'a>,
}

impl<'a> NightRow<'a> {
    /// Every line and every step of a plan, in order of time; lines first.
    pub fn all(plan: &'a NightPlan<'a>) -> Vec<Self> {
        let lines = plan.order.iter().map(|entry| Self {
            plan,
            entry: Some(entry),
            look: &entry.look,
        });
        let steps = plan.steps.iter().map(|look| Self {
            plan,
            entry: None,
            look,
        });
        let mut rows: Vec<Self> = lines.chain(steps).collect();
        let seconds = |row: &Self| row.look.instant.moment().seconds();
        rows.sort_by(|a, b| seconds(a).total_cmp(&seconds(b)));
        rows
    }

    fn site(&self) -> &'a Site {
        self.plan.site
    }

    fn azimuth_deg(&self) -> Option<f64> {
        self.entry?.place().map(|place| place.azimuth_deg)
    }
}

fn optional(value: Option<f64>, decimals: usize) -> Cell<'static> {
    value.map_or(Cell::Empty, |value| Cell::Number(value, decimals))
}

/// The word for a body.
pub fn body_word(body: Body) -> &'static str {
    match body {
        Body::Sun => "sun",
        Body::Moon => "moon",
        Body::Target => "core",
    }
}

macro_rules! columns {
    ($($name:literal => |$row:ident| $cell:expr;)*) => {
        &[$(NightColumn { name: $name, cell: |$row| $cell }),*]
    };
}

/// What a line of the running order has and a step has not.
pub const LINE_COLUMNS: &[NightColumn] = columns! {
    "what" => |r| r.entry.map_or(Cell::Text("step"), |e| Cell::Text(e.happening.key()));
    "window" => |r| {
        let number = r.entry.and_then(|e| e.happening.window());
        number.map_or(Cell::Empty, |n| Cell::Whole(n as i64))
    };
    "body" => |r| {
        let body = r.entry.and_then(|e| e.happening.body());
        body.map_or(Cell::Empty, |body| Cell::Text(body_word(body)))
    };
    "altitude_deg" => |r| {
        optional(r.entry.and_then(Entry::place).map(|p| p.apparent_altitude_deg), 2)
    };
    "azimuth_deg" => |r| optional(r.azimuth_deg(), 2);
    "magnetic_azimuth_deg" => |r| {
        let field = r.plan.compass.as_ref().ok();
        let azimuth = r.azimuth_deg();
        optional(field.zip(azimuth).map(|(f, a)| f.magnetic_bearing_deg(a)), 2)
    };
};

/// When.
pub const TIME_COLUMNS: &[NightColumn] = columns! {
    "time_local" => |r| Cell::Local(r.site().zone.local(r.look.instant.moment()));
    "utc_offset" => |r| Cell::Offset(r.site().zone.offset_seconds_at(r.look.instant.moment()));
    "time_utc" => |r| Cell::Utc(r.look.instant.moment());
};

/// Sky, light and settings.
pub const LOOK_COLUMNS: &[NightColumn] = columns! {
    "sun_altitude_deg" => |r| Cell::Number(r.look.instant.sky.sun.altitude_deg, 2);
    "moon_altitude_deg" => |r| Cell::Number(r.look.instant.sky.moon.apparent_altitude_deg, 2);
    "moon_azimuth_deg" => |r| Cell::Number(r.look.instant.sky.moon.azimuth_deg, 2);
    "moon_fraction" => |r| Cell::Number(r.look.instant.sky.phase.illuminated_fraction, 4);
    "moon_clear" => |r| Cell::Flag(r.look.moon_clear);
    "light_angle_deg" => |r| optional(light_angle_deg(&r.look.instant), 2);
    "light_side" => |r| light_side_word(&r.look.instant).map_or(Cell::Empty, Cell::Text);
    "lit_side" => |r| lit_side_word(r.look.instant.light.lit_side).map_or(Cell::Empty, Cell::Text);
    "core_altitude_deg" => |r| Cell::Number(r.look.instant.sky.target.apparent_altitude_deg, 2);
    "core_azimuth_deg" => |r| Cell::Number(r.look.instant.sky.target.azimuth_deg, 2);
    "core_offset_deg" => |r| Cell::Number(r.look.instant.core_offset_deg(), 2);
    "core_clear" => |r| Cell::Flag(r.look.target_clear);
    "facing_deg" => |r| Cell::Number(r.look.instant.facing_deg, 2);
    "arch_altitude_deg" => |r| optional(r.look.instant.sky.arch.map(|a| a.top_altitude_deg), 2);
    "arch_azimuth_deg" => |r| optional(r.look.instant.sky.arch.map(|a| a.top_azimuth_deg), 2);
    "moonlight_lux" => |r| Cell::Number(r.look.instant.light.moonlight_lux, 6);
    "shadow_azimuth_deg" => |r| optional(r.look.instant.light.shadow_azimuth_deg, 2);
    "shadow_length_per_height" => |r| optional(r.look.instant.light.shadow_length_per_height, 2);
    "sky_mag_arcsec2" => |r| Cell::Number(r.look.instant.light.sky_mag_arcsec2, 3);
    "sky_loss_mag" => |r| Cell::Number(r.look.instant.light.sky_loss_mag, 3);
    "contrast_kept" => |r| Cell::Number(r.look.instant.light.contrast_kept, 4);
    "balance_stops" => |r| Cell::Number(r.look.instant.light.balance_stops, 2);
    "longest_shutter_s" => |r| Cell::Number(r.look.longest_shutter_s, 2);
    "f_number" => |r| Cell::Number(r.look.exposure.f_number, 1);
    "shutter_s" => |r| Cell::Number(r.look.exposure.shutter_s, 5);
    "iso" => |r| Cell::Whole(r.look.exposure.iso.into());
    "sky_placement_stops" => |r| Cell::Number(r.look.exposure.sky_placement_stops, 2);
    "foreground_placement_stops" => |r| Cell::Number(r.look.exposure.foreground_placement_stops, 2);
};

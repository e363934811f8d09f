//! What an instant is like: the fields that a window, the steps of a night and
//! others share.

pub use crate::report::row::Instants;
use crate::{
    light::{milky_way::visibility, photometry::stops_between},
    report::{
        columns::{light_angle_deg, light_side_word},
        row::{Field, Range},
        words::{lit_side_word, visibility_word},
    },
};

type F = Field<Instants>;

/// How high the target is.
pub const TARGET_ALTITUDE: F = F::number("target_altitude_deg", 2, |i| {
    Some(i.sky.target.apparent_altitude_deg)
})
.range(Range::Within(-90.0, 90.0))
.doc("target, apparent, topocentric, degrees");

/// Where the target is.
pub const TARGET_AZIMUTH: F =
    F::number("target_azimuth_deg", 2, |i| Some(i.sky.target.azimuth_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("target, degrees 0 to 360");

/// How far the target is from the camera direction.
pub const TARGET_OFFSET: F = F::number("target_offset_deg", 2, |i| Some(i.target_offset_deg()))
    .range(Range::Within(-180.0, 180.0))
    .doc("target's azimuth from the facing direction, degrees -180 to 180, left negative");

/// How high the Moon is.
pub const MOON_ALTITUDE: F = F::number("moon_altitude_deg", 2, |i| {
    Some(i.sky.moon.apparent_altitude_deg)
})
.range(Range::Within(-90.0, 90.0))
.doc("Moon's centre, apparent, topocentric, degrees");

/// Where the Moon is.
pub const MOON_AZIMUTH: F = F::number("moon_azimuth_deg", 2, |i| Some(i.sky.moon.azimuth_deg))
    .range(Range::Within(0.0, 360.0))
    .doc("Moon's azimuth, true, topocentric, degrees");

/// How much of the Moon is lit.
pub const MOON_FRACTION: F = F::number("moon_fraction", 4, |i| {
    Some(i.sky.phase.illuminated_fraction)
})
.range(Range::Within(0.0, 1.0))
.doc("illuminated fraction 0 to 1, geocentric, apparent places");

/// Whether the Moon waxes.
pub const MOON_WAXING: F =
    F::flag("moon_waxing", |i| Some(i.sky.phase.waxing)).doc("whether the Moon waxes: true, false");

/// The angle from which the moonlight comes.
pub const LIGHT_ANGLE: F = F::number("light_angle_deg", 2, |i| light_angle_deg(i))
    .range(Range::Within(0.0, 180.0))
    .empty("the Moon is down")
    .doc(
        "between facing direction and Moon's azimuth, degrees 0 to 180: 0 the Moon behind the \
             subject, 180 behind the camera",
    );

/// The side from which the moonlight comes.
pub const LIGHT_SIDE: F = F::word("light_side", &["left", "right"], |i| light_side_word(i))
    .empty("the Moon is down")
    .doc("left, right of the facing direction");

/// How far the Moon is from the target.
pub const MOON_TARGET_SEPARATION: F = F::number("moon_target_separation_deg", 2, |i| {
    (!i.target.is_moon()).then_some(i.sky.moon_target_separation_deg)
})
.range(Range::Within(0.0, 180.0))
.empty("the Moon is the target")
.doc("on the sky, topocentric, geometric, degrees");

/// How much brighter the Moon's disc is than the land.
pub const MOON_DISC_VS_LAND: F = F::number("moon_disc_vs_land_stops", 2, |i| {
    i.moon_disc_vs_land_stops()
})
.empty(NO_MOON_TO_SEE)
.doc(
    "stops from the land up to the lit part of the Moon's disc, with the light of the air before \
     it; up to about 7 one exposure holds both",
);

/// How much brighter the Moon's disc is than the sky.
pub const MOON_DISC_VS_SKY: F =
    F::number("moon_disc_vs_sky_stops", 2, |i| i.moon_disc_vs_sky_stops())
        .range(Range::AtLeast(0.0))
        .empty(NO_MOON_TO_SEE)
        .doc("stops from the sky 3 degrees beside it up to that disc; below 1 it hardly shows");

/// How large the Moon's disc is.
pub const MOON_DIAMETER: F = F::number("moon_diameter_arcmin", 3, |i| {
    i.moon_diameter_deg().map(|degrees| 60.0 * degrees)
})
.range(Range::Above(0.0))
.empty("the Moon is not the target")
.doc("apparent diameter of the Moon's disc from the place, arcminutes, without refraction");

/// Why the Moon's disc has no values.
const NO_MOON_TO_SEE: &str = "the Moon is not the target, or down";

/// How high the Sun is.
pub const SUN_ALTITUDE: F = F::number("sun_altitude_deg", 2, |i| Some(i.sky.sun.altitude_deg))
    .range(Range::Within(-90.0, 90.0))
    .doc("Sun's centre, geometric, degrees");

/// The moonlight on the ground.
pub const MOONLIGHT: F = F::number("moonlight_lux", 6, |i| Some(i.light.moonlight_lux))
    .range(Range::AtLeast(0.0))
    .doc(
        "Moon's beam on level ground at the subject, lux; 0 where it is down, behind terrain \
             or in the umbra",
    );

/// How dark the sky is.
pub const SKY_MAG: F = F::number("sky_mag_arcsec2", 3, |i| Some(i.light.sky_mag_arcsec2)).doc(
    "sky behind the target, V mag/arcsec2, with Moon and twilight, without the Milky Way; with \
         the Moon as target 3 degrees beside it",
);

/// How much Moon and twilight brighten the sky.
pub const SKY_LOSS: F = F::number("sky_loss_mag", 3, |i| Some(i.light.sky_loss_mag))
    .range(Range::AtLeast(0.0))
    .doc("what Moon and twilight take from its darkness, magnitudes, 0 or more");

/// The Milky Way's contrast.
pub const MILKY_WAY_CONTRAST: F =
    F::number("milky_way_contrast", 4, |i| i.light.milky_way_contrast)
        .range(Range::AtLeast(0.0))
        .empty(NOT_KNOWN)
        .doc(
            "luminance of the Milky Way, the mean of 10 by 6 degrees about the target (for the \
             core of its bright half), over that of the sky before it",
        );

/// Why a target has no contrast.
pub(super) const NOT_KNOWN: &str =
    "the Moon as target, or one whose brightness is not known (the Magellanic Clouds)";

/// The word for that contrast.
pub const VISIBILITY: F = F::word(
    "milky_way_visibility",
    &["clear", "washed_out", "hopeless"],
    |i| {
        let contrast = i.light.milky_way_contrast?;
        Some(visibility_word(visibility(contrast)))
    },
)
.empty(NOT_KNOWN)
.doc("the contrast in a word: clear from 0.3, washed_out from 0.1, else hopeless");

/// How much of its contrast the Milky Way keeps.
pub const CONTRAST_KEPT: F = F::number("contrast_kept", 4, |i| Some(i.light.contrast_kept))
    .range(Range::Within(0.0, 1.0))
    .doc("that contrast over the one without Moon and twilight, 0 to 1");

/// How bright the land is against the sky.
pub const BALANCE: F = F::number("land_vs_sky_stops", 2, |i| Some(i.light.land_vs_sky_stops))
    .doc("stops from the sky behind the target up to the land");

/// How bright level ground is against the sky.
pub const LEVEL: F = F::number("level_vs_sky_stops", 2, |i| {
    Some(stops_between(i.light.level_cd_m2, i.light.sky_cd_m2))
})
.doc("the same for level ground alone");

/// How bright the lit side is against the sky.
pub const TOWARD_MOON: F = F::number("toward_moon_vs_sky_stops", 2, |i| {
    Some(stops_between(i.light.toward_moon_cd_m2, i.light.sky_cd_m2))
})
.doc("the same for an upright face turned to the Moon's azimuth");

/// How bright the dark side is against the sky.
pub const AWAY: F = F::number("away_vs_sky_stops", 2, |i| {
    Some(stops_between(i.light.away_cd_m2, i.light.sky_cd_m2))
})
.doc("the same for an upright face turned away from it");

/// How high the arch rises.
pub const ARCH_ALTITUDE: F = F::number("arch_altitude_deg", 2, |i| {
    i.sky.arch.map(|arch| arch.top_altitude_deg)
})
.range(Range::Within(-90.0, 90.0))
.empty("the arch lies along the whole horizon")
.doc("highest point of the galactic equator, geometric, degrees");

/// Where the arch is highest.
pub const ARCH_AZIMUTH: F = F::number("arch_azimuth_deg", 2, |i| {
    i.sky.arch.map(|arch| arch.top_azimuth_deg)
})
.range(Range::Within(0.0, 360.0))
.empty("the arch lies along the whole horizon")
.doc("highest point of the galactic equator, geometric, degrees");

/// How steep the Milky Way is.
pub const TILT: F = F::number("tilt_deg", 2, |i| i.sky.tilt_deg)
    .range(Range::Within(0.0, 90.0))
    .empty("target in the zenith or at a galactic pole, or the Moon")
    .doc("between the Milky Way's plane and the horizontal at the target, degrees 0 to 90");

/// How long the shadows are.
pub const SHADOW_LENGTH: F = F::number("shadow_length_per_height", 2, |i| {
    i.light.shadow_length_per_height
})
.range(Range::AtLeast(0.0))
.empty("no beam reaches the subject")
.doc("shadow on level ground for each unit of height");

/// The camera direction.
pub const FACING: F = F::number("facing_deg", 2, |i| Some(i.facing_deg))
    .range(Range::Within(0.0, 360.0))
    .doc("facing direction, degrees");

/// The side of the subject that is lit.
pub const LIT_SIDE: F = F::word("lit_side", &["left", "right", "front", "back"], |i| {
    lit_side_word(i.light.lit_side)
})
.empty("no beam reaches the subject")
.doc("side of the subject that is lit, from the camera: left, right, front, back");

/// The moonlight on the subject's face.
pub const FACE_LUX: F = F::number("face_lux", 6, |i| Some(i.light.face_lux))
    .range(Range::AtLeast(0.0))
    .doc(
        "Moon's beam on an upright face turned squarely to the camera, lux; 0 where the Moon \
             is behind it",
    );

/// Where the shadows point.
pub const SHADOW_AZIMUTH: F = F::number("shadow_azimuth_deg", 2, |i| i.light.shadow_azimuth_deg)
    .range(Range::Within(0.0, 360.0))
    .empty("no beam reaches the subject")
    .doc("direction in which shadows fall, degrees");

/// Description of an ISO.
pub(super) const ISO: &str = "ISO that puts the sky two stops under mid-tone; with the Moon as \
                              target its disc two stops over it, the sky no brighter than mid-tone";
/// Description of the sky's placement.
pub(super) const SKY_PLACEMENT: &str = "where the sky then falls, stops from mid-tone";
/// Description of the land's placement.
pub(super) const LAND_PLACEMENT: &str = "where the land then falls, stops from mid-tone";

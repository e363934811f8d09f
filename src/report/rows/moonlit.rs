//! The moonlit period of a blend: its fields in a window.

use super::{window_record::Windows, window_texts as texts};
use crate::report::{
    row::{Field, Importance::Must, InBlend, Range, Shown},
    words::side_word,
};

type F = Field<Windows>;
type S = Shown<Windows>;

/// When it begins, local time.
pub const START_LOCAL: F = F::local("moonlit_start_local", |r| {
    r.land().map(|land| r.local(land.interval.first()))
})
.empty("not `blend`")
.doc("when the moonlit period of a blend begins; YYYY-MM-DD HH:MM:SS")
.shown(
    S::new(
        5,
        ["", "moonlit", "moonlit land"],
        Must,
        texts::moonlit_hours,
    )
    .left()
    .blend(InBlend::Only),
);

/// When it ends, local time.
pub const END_LOCAL: F = F::local("moonlit_end_local", |r| {
    r.land().map(|land| r.local(land.interval.last()))
})
.empty("not `blend`")
.doc("when it ends; YYYY-MM-DD HH:MM:SS");

/// Its best instant, local time.
pub const BEST_LOCAL: F = F::local("moonlit_best_local", |r| {
    r.land().map(|land| r.local(land.best.moment()))
})
.empty("not `blend`")
.doc("its best instant; YYYY-MM-DD HH:MM:SS");

/// When it begins.
pub const START_UTC: F = F::utc("moonlit_start_utc", |r| {
    r.land().map(|land| land.interval.first())
})
.empty("not `blend`")
.doc("when the moonlit period of a blend begins; RFC 3339 with Z");

/// When it ends.
pub const END_UTC: F = F::utc("moonlit_end_utc", |r| {
    r.land().map(|land| land.interval.last())
})
.empty("not `blend`")
.doc("when it ends; RFC 3339 with Z");

/// Its best instant.
pub const BEST_UTC: F = F::utc("moonlit_best_utc", |r| {
    r.land().map(|land| land.best.moment())
})
.empty("not `blend`")
.doc("its best instant; RFC 3339 with Z");

/// How long it is.
pub const MINUTES: F = F::number("moonlit_minutes", 1, |r| {
    r.land().map(|land| land.interval.minutes())
})
.range(Range::AtLeast(0.0))
.empty("not `blend`")
.doc("length of the moonlit period, minutes");

/// How high the Moon is then.
pub const MOON_ALTITUDE: F = F::number("moonlit_moon_altitude_deg", 2, |r| {
    r.land()
        .map(|land| land.best.sky.moon.apparent_altitude_deg)
})
.range(Range::Within(-90.0, 90.0))
.empty("not `blend`")
.doc("Moon at its best instant, apparent, degrees");

/// Where the Moon is then.
pub const MOON_AZIMUTH: F = F::number("moonlit_moon_azimuth_deg", 2, |r| {
    r.land().map(|land| land.best.sky.moon.azimuth_deg)
})
.range(Range::Within(0.0, 360.0))
.empty("not `blend`")
.doc("Moon at its best instant, apparent, degrees");

/// How much of the Moon is lit then.
pub const MOON_FRACTION: F = F::number("moonlit_moon_fraction", 4, |r| {
    r.land()
        .map(|land| land.best.sky.phase.illuminated_fraction)
})
.range(Range::Within(0.0, 1.0))
.empty("not `blend`")
.doc("Moon's illuminated fraction at the period's best instant, 0 to 1");

/// The angle of the light then.
pub const LIGHT_ANGLE: F = F::number("moonlit_light_angle_deg", 2, |r| {
    r.land()
        .map(|land| land.best.signed_light_angle_deg().abs())
})
.range(Range::Within(0.0, 180.0))
.empty("not `blend`")
.doc("degrees 0 to 180, from the direction faced in the dark period");

/// The side of the light then.
pub const LIGHT_SIDE: F = F::word("moonlit_light_side", &["left", "right"], |r| {
    r.land()
        .map(|land| side_word(land.best.signed_light_angle_deg()))
})
.empty("not `blend`")
.doc("left, right of the facing direction in the dark period");

/// The moonlight then.
pub const MOONLIGHT: F = F::number("moonlit_moonlight_lux", 6, |r| {
    r.land().map(|land| land.best.light.moonlight_lux)
})
.range(Range::AtLeast(0.0))
.empty("not `blend`")
.doc("Moon's beam on level ground at the period's best instant, lux");

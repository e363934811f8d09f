//! Frames beside the one for the sky: of the land alone, on a mount, in series.

use crate::{
    light::{Exposure, LandFrame, Reach, StarTrails, TimeLapse, Tracked},
    plan::LightChange,
    report::{
        exposure::AtSite,
        row::{Field, Range, RowKind},
    },
};

type OfExposure = Field<Exposure>;
type OfLand = Field<LandFrame>;
type OfTracked = Field<Tracked>;
type OfTrails = Field<StarTrails>;
type OfTimeLapse = Field<TimeLapse>;
type OfChange = Field<LightChange>;

type OfWindow = Field<AtSite>;

impl RowKind for AtSite {
    type Of<'a> = &'a Self;
}

impl RowKind for Exposure {
    type Of<'a> = &'a Self;
}

impl RowKind for LandFrame {
    type Of<'a> = &'a Self;
}

impl RowKind for Tracked {
    type Of<'a> = &'a Self;
}

impl RowKind for StarTrails {
    type Of<'a> = &'a Self;
}

impl RowKind for TimeLapse {
    type Of<'a> = &'a Self;
}

impl RowKind for LightChange {
    type Of<'a> = &'a Self;
}

/// The window that an instant lies in.
pub static WINDOW: &[OfWindow] = &[
    OfWindow::utc("start_utc", |at| at.window.map(|window| window.first()))
        .doc("its beginning, UTC"),
    OfWindow::utc("end_utc", |at| at.window.map(|window| window.last())).doc("its end, UTC"),
    OfWindow::number("left_s", 0, |at| at.left_s())
        .range(Range::AtLeast(0.0))
        .doc("from the instant to its end, seconds"),
];

/// The land's own frame.
pub static LAND: &[OfLand] = &[
    OfLand::exact("f_number", |l| Some(l.f_number))
        .range(Range::AtLeast(0.0))
        .doc("f-number"),
    OfLand::number("shutter_s", 6, |l| Some(l.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("seconds; over 30 by bulb"),
    OfLand::whole("iso", |l| Some(l.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("ISO"),
    OfLand::flag("placement_reached", |l| Some(l.reach == Reach::Reached))
        .doc("whether shutter time and ISO range reach"),
    OfLand::number("placement_error_stops", 2, |l| Some(l.reach.error_stops()))
        .doc("too dark (negative) or too bright, stops"),
    OfLand::number("placement_stops", 2, |l| Some(l.placement_stops))
        .doc("where the land falls, stops from mid-tone"),
    OfLand::whole("frames", |l| Some(l.frames.into()))
        .range(Range::AtLeast(1.0))
        .doc("frames of these settings"),
    OfLand::number("total_s", 3, |l| Some(l.total_s))
        .range(Range::AtLeast(0.0))
        .doc("from the first one's beginning to the last one's end, seconds"),
];

/// The settings of a frame of the sky.
pub static FRAME: &[OfExposure] = &[
    OfExposure::exact("f_number", |e| Some(e.f_number))
        .range(Range::AtLeast(0.0))
        .doc("f-number"),
    OfExposure::number("shutter_s", 6, |e| Some(e.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("seconds"),
    OfExposure::whole("iso", |e| Some(e.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("ISO"),
    OfExposure::flag("placement_reached", |e| Some(e.reach == Reach::Reached))
        .doc("whether the ISO range reaches"),
    OfExposure::number("placement_error_stops", 2, |e| Some(e.reach.error_stops()))
        .doc("too dark (negative) or too bright, stops"),
    OfExposure::number("sky_placement_stops", 2, |e| Some(e.sky_placement_stops))
        .doc("where the sky falls, stops from mid-tone"),
    OfExposure::number("land_placement_stops", 2, |e| Some(e.land_placement_stops))
        .doc("where the land falls, stops from mid-tone"),
];

/// What the land does while a mount follows the sky.
pub static TRACKED: &[OfTracked] =
    &[
        OfTracked::number("land_blur_px", 2, |t| Some(t.land_blur_px))
            .range(Range::AtLeast(0.0))
            .doc("how far the land moves on the sensor, pixels on the optical axis"),
    ];

/// Star trails.
pub static STAR_TRAILS: &[OfTrails] = &[
    OfTrails::whole("frames", |t| Some(t.frames.into()))
        .range(Range::AtLeast(1.0))
        .doc("frames"),
    OfTrails::number("total_s", 3, |t| Some(t.total_s))
        .range(Range::AtLeast(0.0))
        .doc("from the first one's beginning to the last one's end, seconds"),
    OfTrails::number("turn_deg", 3, |t| Some(t.turn_deg))
        .range(Range::AtLeast(0.0))
        .doc("length of every trail about the pole, degrees"),
    OfTrails::number("length_px", 1, |t| Some(t.length_px))
        .range(Range::AtLeast(0.0))
        .doc("length of the fastest star's trail, pixels on the optical axis"),
    OfTrails::number("gap_px", 2, |t| Some(t.gap_px))
        .range(Range::AtLeast(0.0))
        .doc("gap that a pause leaves in it, pixels on the optical axis"),
];

/// A time-lapse.
pub static TIME_LAPSE: &[OfTimeLapse] = &[
    OfTimeLapse::exact("interval_s", |t| Some(t.interval_s))
        .range(Range::AtLeast(0.0))
        .doc("from one frame's beginning to the next, seconds"),
    OfTimeLapse::whole("frames", |t| Some(t.frames.into()))
        .range(Range::AtLeast(1.0))
        .doc("frames"),
    OfTimeLapse::number("total_s", 3, |t| Some(t.total_s))
        .range(Range::AtLeast(0.0))
        .doc("from the first one's beginning to the last one's end, seconds"),
    OfTimeLapse::exact("frame_rate", |t| Some(t.frame_rate))
        .range(Range::AtLeast(0.0))
        .doc("frames that a second of film shows"),
    OfTimeLapse::number("film_s", 3, |t| Some(t.film_s))
        .range(Range::AtLeast(0.0))
        .doc("length of the film, seconds"),
];

/// How the settings change through a time-lapse.
pub static LIGHT_CHANGE: &[OfChange] = &[
    OfChange::utc("first_utc", |c| Some(c.from)).doc("the first frame, UTC"),
    OfChange::number("first_shutter_s", 6, |c| Some(c.first.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("its shutter time, seconds"),
    OfChange::whole("first_iso", |c| Some(c.first.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("its ISO"),
    OfChange::utc("last_utc", |c| Some(c.to)).doc("the last frame, UTC"),
    OfChange::number("last_shutter_s", 6, |c| Some(c.last.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("its shutter time, seconds"),
    OfChange::whole("last_iso", |c| Some(c.last.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("its ISO"),
    OfChange::whole("lowest_iso", |c| Some(c.iso[0].into()))
        .range(Range::AtLeast(1.0))
        .doc("lowest ISO from the first frame to the last"),
    OfChange::whole("highest_iso", |c| Some(c.iso[1].into()))
        .range(Range::AtLeast(1.0))
        .doc("highest ISO from the first frame to the last"),
];

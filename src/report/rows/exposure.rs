//! An exposure sheet in JSON.

use crate::{
    light::{ExposureSheet, Panorama, Reach, trail},
    report::{
        row::{Field, Range, RowKind},
        words::orientation_word,
    },
};

type OfSheet = Field<ExposureSheet>;
type OfPlan = Field<Plans>;

impl RowKind for ExposureSheet {
    type Of<'a> = &'a Self;
}

/// Plans of a panorama.
#[derive(Debug, Clone, Copy)]
pub struct Plans;

/// One plan, on its sheet.
#[derive(Debug, Clone, Copy)]
pub struct PlanRow<'a> {
    /// The plan.
    pub plan: &'a Panorama,
    /// The sheet it is on.
    pub sheet: &'a ExposureSheet,
}

impl RowKind for Plans {
    type Of<'a> = PlanRow<'a>;
}

impl PlanRow<'_> {
    /// The time that a row takes, seconds.
    pub fn row_s(&self) -> f64 {
        let sheet = self.sheet;
        self.plan
            .row_s(sheet.exposure.shutter_s, sheet.question.pause_s)
    }

    /// How far the sky turns meanwhile, degrees.
    pub fn turn_deg(&self) -> f64 {
        trail::turn_deg(self.row_s())
    }

    /// How far the fastest star moves meanwhile, pixels on the axis.
    pub fn turn_px(&self) -> f64 {
        let optics = &self.sheet.question.optics;
        trail::trail_px(optics, self.row_s(), self.sheet.fastest_declination_deg)
    }

    /// The bearing of each frame in a row, left to right, degrees: true where
    /// the panorama's centre is known, else from the centre.
    pub fn bearings_deg(&self) -> Vec<f64> {
        let offsets = self.plan.offsets_deg();
        match self.sheet.question.panorama_centre_deg {
            Some(centre) => offsets
                .map(|offset| (centre + offset).rem_euclid(360.0))
                .collect(),
            None => offsets.collect(),
        }
    }
}

/// Settings, limits and trail.
pub static SETTINGS: &[OfSheet] = &[
    OfSheet::exact("f_number", |s| Some(s.exposure.f_number))
        .range(Range::AtLeast(0.0))
        .doc("f-number"),
    OfSheet::number("shutter_s", 6, |s| Some(s.exposure.shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("seconds"),
    OfSheet::whole("iso", |s| Some(s.exposure.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc("ISO"),
    OfSheet::number("exact_iso", 1, |s| Some(s.exposure.exact_iso))
        .range(Range::AtLeast(0.0))
        .doc("ISO that would place the sky exactly"),
    OfSheet::flag("placement_reached", |s| {
        Some(s.exposure.reach == Reach::Reached)
    })
    .doc("whether the ISO range reaches"),
    OfSheet::number("placement_error_stops", 2, |s| {
        Some(s.exposure.reach.error_stops())
    })
    .doc("too dark (negative) or too bright, stops"),
    OfSheet::number("settings_ev100", 3, |s| Some(s.exposure.settings_ev100))
        .doc("exposure value of the settings at ISO 100"),
    OfSheet::number("sky_ev100", 3, |s| Some(s.exposure.sky_ev100))
        .doc("exposure value of the sky at ISO 100"),
    OfSheet::number("land_ev100", 3, |s| Some(s.exposure.land_ev100))
        .doc("exposure value of the land at ISO 100"),
    OfSheet::number("sky_placement_stops", 2, |s| {
        Some(s.exposure.sky_placement_stops)
    })
    .doc("where the sky falls, stops from mid-tone"),
    OfSheet::number("land_placement_stops", 2, |s| {
        Some(s.exposure.land_placement_stops)
    })
    .doc("where the land falls, stops from mid-tone"),
    OfSheet::number("shutter_limit_s", 3, |s| Some(s.longest_shutter_s))
        .range(Range::AtLeast(0.0))
        .doc("by the limit asked for, seconds"),
    OfSheet::number("npf_s", 3, |s| Some(s.npf_s))
        .range(Range::AtLeast(0.0))
        .doc("full NPF rule, factor 1, seconds"),
    OfSheet::number("rule_500_s", 3, |s| Some(s.rule_500_s))
        .range(Range::AtLeast(0.0))
        .doc("500 rule, seconds"),
    OfSheet::number("trail_px", 2, |s| Some(s.trail_px))
        .range(Range::AtLeast(0.0))
        .doc("trail in shutter_s on the optical axis, pixels"),
    OfSheet::number("declination_deg", 3, |s| Some(s.fastest_declination_deg))
        .range(Range::Within(-90.0, 90.0))
        .doc(
            "declination of the fastest star in the frame, for which limits and trails are, \
             degrees",
        ),
    OfSheet::number("centre_declination_deg", 3, |s| {
        Some(s.question.centre_declination_deg)
    })
    .range(Range::Within(-90.0, 90.0))
    .doc("declination at the frame's centre, degrees"),
    OfSheet::exact("pause_s", |s| Some(s.question.pause_s))
        .range(Range::AtLeast(0.0))
        .doc("pause between frames, seconds"),
];

/// The diagonal of the field of view.
pub static DIAGONAL: &[OfSheet] = &[OfSheet::number("diagonal_deg", 3, |s| Some(s.diagonal_deg))
    .range(Range::Within(0.0, 180.0))
    .doc("diagonal of the field of view, degrees")];

/// The panorama asked for.
pub static PANORAMA: &[OfSheet] = &[
    OfSheet::number("width_deg", 2, |s| Some(s.question.panorama.width_deg))
        .range(Range::Within(0.0, 360.0))
        .doc("degrees"),
    OfSheet::number("height_deg", 2, |s| Some(s.question.panorama.height_deg))
        .range(Range::Within(0.0, 180.0))
        .doc("degrees"),
    OfSheet::number("bottom_deg", 2, |s| Some(s.question.panorama.bottom_deg))
        .range(Range::Within(-90.0, 90.0))
        .doc("altitude of its lower edge, degrees"),
    OfSheet::number("centre_deg", 2, |s| s.question.panorama_centre_deg)
        .range(Range::Within(0.0, 360.0))
        .empty("no site, so bearings are from the centre")
        .doc("true bearing of its centre, degrees"),
    OfSheet::exact("overlap", |s| Some(s.question.overlap))
        .range(Range::Within(0.0, 1.0))
        .doc("overlap of neighbouring frames, 0 to 1"),
];

/// The panorama with the camera held one way.
pub static PLAN: &[OfPlan] = &[
    OfPlan::word("orientation", &["portrait", "landscape"], |p| {
        Some(orientation_word(p.plan.orientation))
    })
    .doc("how the camera is held"),
    OfPlan::whole("frames_per_row", |p| Some(p.plan.frames_per_row.into()))
        .range(Range::AtLeast(1.0))
        .doc("frames in each row"),
    OfPlan::whole("rows", |p| Some(p.plan.rows.into()))
        .range(Range::AtLeast(1.0))
        .doc("rows"),
    OfPlan::number("yaw_step_deg", 2, |p| Some(p.plan.yaw_step_deg))
        .range(Range::AtLeast(0.0))
        .doc("turn from frame to frame, degrees of azimuth"),
    OfPlan::number("pitch_step_deg", 2, |p| Some(p.plan.pitch_step_deg))
        .range(Range::AtLeast(0.0))
        .doc("from row to row, degrees; 0 for one row"),
    OfPlan::number("lowest_pitch_deg", 2, |p| Some(p.plan.lowest_pitch_deg))
        .range(Range::Within(-90.0, 90.0))
        .doc("pitch of the lowest row, degrees"),
    OfPlan::number("row_s", 3, |p| Some(p.row_s()))
        .range(Range::AtLeast(0.0))
        .doc("time that one row takes, its frames with the pause after each, seconds"),
    OfPlan::number("sky_turn_deg", 4, |p| Some(p.turn_deg()))
        .range(Range::AtLeast(0.0))
        .doc("how far the sky turns about its pole in that time, degrees"),
    OfPlan::number("sky_turn_px", 2, |p| Some(p.turn_px()))
        .range(Range::AtLeast(0.0))
        .doc("how far the fastest star moves in that time, pixels on the optical axis"),
];

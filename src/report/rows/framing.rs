//! How land and target get into the picture: the fields of a plan, alone and in
//! a window.

use super::window_record::{Record, Windows};
use crate::{
    light::Orientation,
    report::{
        row::{Field, Importance, Range, Room, RowKind, Shown},
        words::{framed_word, framing_cell, framing_phrase, not_one_word, orientation_word},
    },
    search::{FramePlan, Interval},
};

impl RowKind for FramePlan {
    type Of<'a> = &'a Self;
}

/// When there is no plan, alone or after another reason.
macro_rules! no_plan {
    ($($reason:literal)?) => {
        concat!($($reason, "; ",)? "site without `[camera]`, or a camera that faces the arch")
    };
}
pub(super) const NO_PLAN: &str = no_plan!();
const NO_PICTURE: &str = no_plan!("neither");

/// The fields of a plan in a record. This is a macro because a field holds
/// plain functions.
macro_rules! fields {
    ($kind:ty, $plan:path) => {
        pub const FRAMING: Field<$kind> =
            Field::word("framing", &["one", "panorama", "neither"], |r| {
                Some(framed_word($plan(r)?.framed_as))
            })
            .empty(NO_PLAN)
            .doc(
                "how land and target get into the picture of the site's camera: in one frame, in \
                 a panorama, in neither; a twentieth of the frame stays free at each edge",
            );
        pub const HOLDING: Field<$kind> =
            Field::word("frame_holding", &["landscape", "portrait"], |r| {
                let plan = $plan(r)?;
                super::drawn(plan).then(|| orientation_word(plan.orientation))
            })
            .empty(NO_PICTURE)
            .doc("how the camera is held");
        pub const BEARING: Field<$kind> = Field::number("frame_bearing_deg", 2, |r| {
            let plan = $plan(r)?;
            super::drawn(plan).then_some(plan.bearing_deg)
        })
        .range(Range::Within(0.0, 360.0))
        .empty(NO_PICTURE)
        .doc("true bearing of the frame's or the panorama's centre, degrees");
        pub const PITCH: Field<$kind> = Field::number("frame_pitch_deg", 2, |r| {
            let plan = $plan(r)?;
            super::drawn(plan).then_some(plan.pitch_deg)
        })
        .range(Range::Within(-90.0, 90.0))
        .empty(NO_PICTURE)
        .doc("pitch of the frame, of a panorama's lowest row, degrees, upward positive");
        pub const COLUMNS: Field<$kind> = Field::whole("frame_columns", |r| {
            let plan = $plan(r)?;
            super::drawn(plan).then(|| plan.columns.into())
        })
        .range(Range::AtLeast(1.0))
        .empty(NO_PICTURE)
        .doc("frames side by side, with an overlap of 30 %");
        pub const ROWS: Field<$kind> = Field::whole("frame_rows", |r| {
            let plan = $plan(r)?;
            super::drawn(plan).then(|| plan.rows.into())
        })
        .range(Range::AtLeast(1.0))
        .empty(NO_PICTURE)
        .doc("frames one above the other");
        pub const LEVEL: Field<$kind> = Field::word(
            "level_holding",
            &["landscape", "portrait", "both", "none"],
            |r| Some(super::level_word($plan(r)?)),
        )
        .empty(NO_PLAN)
        .doc("how a level camera holds land and target in one frame");
        pub const WHY_NOT: Field<$kind> = Field::word(
            "not_one_frame",
            &["behind", "land_too_large", "too_high", "too_far_aside"],
            |r| $plan(r)?.why_not_one.map(not_one_word),
        )
        .empty(no_plan!("one frame holds both"))
        .doc("why one frame does not do");
        pub const MOON: Field<$kind> = Field::flag("moon_in_frame", |r| Some($plan(r)?.moon))
            .empty(NO_PLAN)
            .doc("whether the Moon is up and in that frame, or in azimuth within that panorama");
    };
}

/// Whether there is a picture at all.
fn drawn(plan: &FramePlan) -> bool {
    plan.is_possible()
}

pub(super) fn level_word(plan: &FramePlan) -> &'static str {
    match (plan.level_landscape, plan.level_portrait) {
        (true, true) => "both",
        (true, false) => orientation_word(Orientation::Landscape),
        (false, true) => orientation_word(Orientation::Portrait),
        (false, false) => "none",
    }
}

mod of_plan {
    use super::*;

    fn own<'a>(plan: &&'a FramePlan) -> Option<&'a FramePlan> {
        Some(plan)
    }

    fields!(FramePlan, own);
}

/// The fields of a plan.
pub static FIELDS: &[Field<FramePlan>] = &[
    of_plan::FRAMING,
    of_plan::HOLDING,
    of_plan::BEARING,
    of_plan::PITCH,
    of_plan::COLUMNS,
    of_plan::ROWS,
    of_plan::LEVEL,
    of_plan::WHY_NOT,
    of_plan::MOON,
];

/// The fields of a window's plan.
pub(super) mod of_window {
    use super::*;

    /// The plan of a window's best instant, where the site has a camera.
    pub fn plan<'a>(record: &Record<'a>) -> Option<&'a FramePlan> {
        record.window.frame.as_ref()?.plan.as_ref()
    }

    fn framed(record: &Record<'_>) -> Option<Interval> {
        record.window.framed
    }

    fields!(Windows, plan);

    /// How the table and the pages show the plan.
    pub const SHOWN: Shown<Windows> = Shown::new(
        12,
        ["", "frame", "frame"],
        Importance::Usual,
        |r, room| match (plan(r), room) {
            (None, _) => String::new(),
            (Some(plan), Room::Page) => framing_phrase(plan, r.site.conventions.north),
            (Some(plan), _) => framing_cell(plan),
        },
    )
    .left();

    const NEVER: &str = no_plan!("one frame does at no time of the window");

    pub const START_LOCAL: Field<Windows> = Field::local("framed_start_local", |r| {
        framed(r).map(|part| r.local(part.first()))
    })
    .empty(NEVER)
    .doc(
        "start of the part of the window in which one frame holds land and target; \
                 YYYY-MM-DD HH:MM:SS, site's zone",
    );
    pub const END_LOCAL: Field<Windows> = Field::local("framed_end_local", |r| {
        framed(r).map(|part| r.local(part.last()))
    })
    .empty(NEVER)
    .doc("end of that part; YYYY-MM-DD HH:MM:SS, site's zone");
    pub const START_UTC: Field<Windows> =
        Field::utc("framed_start_utc", |r| Some(framed(r)?.first()))
            .empty(NEVER)
            .doc("start of that part; RFC 3339 with Z");
    pub const END_UTC: Field<Windows> = Field::utc("framed_end_utc", |r| Some(framed(r)?.last()))
        .empty(NEVER)
        .doc("end of that part; RFC 3339 with Z");
}

//! How land and target get into the picture.

use super::measure::bearing_words;
use crate::{
    Figure,
    light::{
        NotOneFrame, Orientation,
        subject_frames::{MOST_COLUMNS, MOST_ROWS},
    },
    scene::North,
    search::{FramePlan, FramedAs},
};

/// The word for a way of holding the camera.
pub fn orientation_word(orientation: Orientation) -> &'static str {
    match orientation {
        Orientation::Portrait => "portrait",
        Orientation::Landscape => "landscape",
    }
}

/// The word for how land and target get into the picture.
pub fn framed_word(framed_as: FramedAs) -> &'static str {
    match framed_as {
        FramedAs::One => "one",
        FramedAs::Panorama => "panorama",
        FramedAs::Neither => "neither",
    }
}

/// The word for why one frame does not do.
pub fn not_one_word(why: NotOneFrame) -> &'static str {
    match why {
        NotOneFrame::Behind => "behind",
        NotOneFrame::LandTooLarge => "land_too_large",
        NotOneFrame::TooHigh => "too_high",
        NotOneFrame::TooFarAside => "too_far_aside",
    }
}

/// How a picture is framed, in the few letters of a table's cell.
pub(in crate::report) fn framing_cell(plan: &FramePlan) -> String {
    match (plan.framed_as, plan.orientation) {
        (FramedAs::One, Orientation::Landscape) => "lands".to_owned(),
        (FramedAs::One, Orientation::Portrait) => "portr".to_owned(),
        (FramedAs::Panorama, _) => format!("{}x{}", plan.columns, plan.rows),
        (FramedAs::Neither, _) => "none".to_owned(),
    }
}

/// The camera of a picture on a page, where a column has room for words.
pub(in crate::report) fn framing_phrase(plan: &FramePlan, north: North) -> String {
    let held = orientation_word(plan.orientation);
    let toward = bearing_words(north, plan.bearing_deg, 0);
    match plan.framed_as {
        FramedAs::One => format!("{held}, {}, {toward}", pitch_words(plan.pitch_deg)),
        FramedAs::Panorama => format!(
            "panorama {} by {} {held}, {toward}",
            plan.columns, plan.rows
        ),
        FramedAs::Neither => "none".to_owned(),
    }
}

/// How land and target get into the picture, or why not, as sentences; bearings
/// from that north.
pub fn framing_sentence(plan: &FramePlan, target: &str, north: North) -> String {
    let toward = bearing_words(north, plan.bearing_deg, 0);
    let held = orientation_word(plan.orientation);
    let why = plan.why_not_one.map(|why| why_words(why, target));
    let why = why.unwrap_or_default();
    match plan.framed_as {
        FramedAs::One => format!(
            "One frame holds land and {target}: {held}, {}, toward {toward}.{}",
            pitch_words(plan.pitch_deg),
            level_words(plan)
        ),
        FramedAs::Panorama => format!(
            "No single frame: {why}. A panorama holds both: {} by {} frames in {held} around \
             {toward}, the lowest row {}.",
            plan.columns,
            plan.rows,
            pitch_words(plan.pitch_deg.round())
        ),
        FramedAs::Neither if plan.why_not_one == Some(NotOneFrame::Behind) => {
            format!("No picture with this camera: {why}.")
        }
        FramedAs::Neither => format!(
            "No picture with this camera: {why}, and a panorama would take more than \
             {MOST_COLUMNS} by {MOST_ROWS} frames."
        ),
    }
}

fn why_words(why: NotOneFrame, target: &str) -> String {
    match why {
        NotOneFrame::Behind => format!("the {target} stands behind the camera"),
        NotOneFrame::LandTooLarge => "the subject alone is larger than the frame".to_owned(),
        NotOneFrame::TooHigh => format!("the {target} stands too high above the land"),
        NotOneFrame::TooFarAside => format!("the {target} stands too far to the side"),
    }
}

/// Whether a level camera does too; nothing where the camera is level anyway.
fn level_words(plan: &FramePlan) -> &'static str {
    if plan.pitch_deg == 0.0 {
        return "";
    }
    match (plan.level_landscape, plan.level_portrait) {
        (true, true) => " A level camera does too, landscape or portrait.",
        (true, false) => " A level camera does too, in landscape.",
        (false, true) => " A level camera does too, in portrait.",
        (false, false) => "",
    }
}

/// The pitch of a camera: `level`, `pitched 12° up`.
pub(in crate::report) fn pitch_words(pitch_deg: f64) -> String {
    if pitch_deg == 0.0 {
        return "level".to_owned();
    }
    let way = if pitch_deg > 0.0 { "up" } else { "down" };
    format!("pitched {}° {way}", Figure(pitch_deg.abs()))
}

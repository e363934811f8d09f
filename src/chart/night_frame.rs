//! What the camera's frame holds across in the picture of a night.

use crate::{
    light::{Optics, Orientation, Pointing, View},
    plan::NightPlan,
    report::words::orientation_word,
    rule::{Conditions, offset_deg},
    search::{FramePlan, FramedAs, Planner},
};

/// The side edges of a frame or a panorama: at the target's altitude at the best
/// instant; at the horizon where there is no window, or where the frame reaches
/// round the zenith.
#[derive(Debug, Clone)]
pub struct FrameEdges {
    /// From the camera direction, degrees, left negative.
    pub left_deg: f64,
    /// See `left_deg`.
    pub right_deg: f64,
    /// What frame it is: `20 mm, portrait`.
    pub words: String,
}

/// A frame wider than this reaches round the zenith, half of it in degrees.
const ROUND_ZENITH_DEG: f64 = 90.0;

/// The side edges of the frame that a plan has at an instant; `is_best` says
/// that this is the best of a window.
pub fn frame_edges(
    planner: &Planner,
    plan: &NightPlan<'_>,
    at: &Conditions,
    is_best: bool,
) -> Option<FrameEdges> {
    let camera = plan.site.camera.as_ref()?;
    let settings = planner.own_settings(at)?;
    let optics = Optics::try_from(camera).ok()?;
    let FramePlan {
        framed_as,
        orientation,
        bearing_deg,
        pitch_deg,
        columns,
        yaw_step_deg,
        ..
    } = settings.plan?;
    let view = |orientation, pitch_deg| {
        View::new(&optics, orientation, Pointing::new(bearing_deg, pitch_deg))
    };
    let altitude = at.sky.target.apparent_altitude_deg.max(0.0);
    let of = |orientation: Orientation, middle_deg: f64, half_deg: f64, words: String| {
        let lens = format!("{} mm, {}", camera.focal_mm, orientation_word(orientation));
        FrameEdges {
            left_deg: middle_deg - half_deg,
            right_deg: middle_deg + half_deg,
            words: format!("{lens}{words}"),
        }
    };
    let middle = offset_deg(bearing_deg, at.facing_deg);
    Some(match framed_as {
        FramedAs::One => {
            let view = view(orientation, pitch_deg);
            let level = 0.5 * view.width_deg();
            let half = view
                .half_width_at_deg(altitude)
                .filter(|half| is_best && *half <= ROUND_ZENITH_DEG)
                .or_else(|| view.half_width_at_deg(0.0))
                .filter(|half| *half <= ROUND_ZENITH_DEG);
            of(orientation, middle, half.unwrap_or(level), String::new())
        }
        FramedAs::Panorama => {
            let half = 0.5 * view(orientation, 0.0).width_deg();
            let more = 0.5 * yaw_step_deg * f64::from(columns.saturating_sub(1));
            let words = format!(", {columns} across");
            of(orientation, middle, (half + more).min(180.0), words)
        }
        FramedAs::Neither => {
            let half = 0.5 * view(Orientation::Landscape, 0.0).width_deg();
            of(Orientation::Landscape, 0.0, half, ", level".to_owned())
        }
    })
}

//! How far a panorama of land and target reaches.

use super::{
    framing::{Orientation, Pointing, View},
    optics::Optics,
    panorama::{DEFAULT_OVERLAP, Panorama, PanoramaSpan},
    subject_frames::{BEHIND_DEG, EDGE_SHARE, LandInFrame, MOST_COLUMNS, MOST_ROWS},
};

/// Halvings in which the reach of a panorama is found, to a hundredth of a
/// degree.
const REACH_STEPS: u32 = 13;

/// The panorama with the fewest frames that holds land and a target, and the
/// offset of its centre from the land's bearing, degrees; `None` beyond
/// [`MOST_COLUMNS`] by [`MOST_ROWS`]. Offset and apparent altitude in degrees.
pub(super) fn panorama_of(
    optics: &Optics,
    land: &LandInFrame,
    offset_deg: f64,
    altitude_deg: f64,
) -> Option<(f64, Panorama)> {
    let left_deg = (-land.half_width_deg).min(offset_deg);
    let right_deg = land.half_width_deg.max(offset_deg);
    let low_deg = land.foot_deg.min(altitude_deg);
    let high_deg = land.top_deg.max(altitude_deg);
    let cover = |orientation| {
        let view = View::new(optics, orientation, Pointing::new(0.0, 0.0));
        let (across_deg, up_deg) = (view.width_deg(), view.height_deg());
        let span = PanoramaSpan {
            width_deg: (right_deg - left_deg + 2.0 * EDGE_SHARE * across_deg).min(360.0),
            height_deg: (high_deg - low_deg + 2.0 * EDGE_SHARE * up_deg).min(180.0),
            bottom_deg: (low_deg - EDGE_SHARE * up_deg).max(-90.0),
        };
        let most = [MOST_COLUMNS, MOST_ROWS];
        Panorama::cover_within(optics, orientation, &span, DEFAULT_OVERLAP, most).ok()
    };
    [Orientation::Portrait, Orientation::Landscape]
        .into_iter()
        .filter_map(cover)
        .min_by_key(Panorama::frames)
        .map(|panorama| (0.5 * (left_deg + right_deg), panorama))
}

/// How far a panorama reaches, see
/// [`SubjectFrames::panorama_reach_deg`](super::subject_frames::SubjectFrames::panorama_reach_deg).
pub(super) fn panorama_reach(optics: &Optics, land: &LandInFrame) -> Option<(f64, f64)> {
    let fits =
        |offset_deg, altitude_deg| panorama_of(optics, land, offset_deg, altitude_deg).is_some();
    // The greatest value up to `most` at which it fits; it does at `least`.
    let greatest = |least: f64, most: f64, fits: &dyn Fn(f64) -> bool| {
        if fits(most) {
            return most;
        }
        let (mut good, mut bad) = (least, most);
        for _ in 0..REACH_STEPS {
            let middle = 0.5 * (good + bad);
            if fits(middle) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        good
    };
    if !fits(0.0, land.top_deg) {
        return None;
    }
    let top_deg = greatest(land.top_deg, 90.0, &|altitude_deg| fits(0.0, altitude_deg));
    let side_deg = greatest(0.0, BEHIND_DEG, &|offset_deg| fits(offset_deg, top_deg));
    Some((side_deg, top_deg))
}

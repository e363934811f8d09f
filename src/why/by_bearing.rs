//! Where to point the camera: nights by the bearing of a subject.

use crate::search::{AnyFacing, Night, Planner};
use crate::{
    parallel,
    rule::{BESIDE_SUBJECT, TARGET_OFFSET},
    scene::{Band, Facing},
};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// The result for one bearing.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct BearingResult {
    /// True bearing of the subject, degrees.
    pub bearing_deg: f64,
    /// Nights with a window.
    pub nights: usize,
    /// The best score, if there is a window.
    pub best_score: Option<f64>,
    /// The night of the best score.
    #[serde(serialize_with = "crate::serial::maybe_date")]
    pub best_night: Option<NaiveDate>,
    /// Nights whose best instant has the light from the left.
    pub nights_lit_from_left: usize,
}

/// A sector of bearings, shown by the best bearing tried in it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct BearingSector {
    /// Where it begins, degrees clockwise from north.
    pub from_deg: f64,
    /// Where it ends.
    pub to_deg: f64,
    /// The bearing in it with the most nights; among equals the one with the
    /// better score.
    pub best: BearingResult,
}

/// Bearings tried, degrees apart.
const STEP_DEG: u32 = 10;
/// Width of a sector, degrees.
const SECTOR_DEG: u32 = 30;
/// Nights that are worth a task of their own: their windows are most of the work.
const NIGHTS_A_TASK: usize = 10;

impl Planner {
    /// The nights that a subject at each bearing would have, by sector. The
    /// rules stay the same except the camera direction; if they do not limit
    /// the target's offset, it must be within 60 degrees of the subject.
    pub fn by_bearing(&self) -> Vec<BearingSector> {
        // Most of the search does not depend on where the camera looks.
        let nights = self.nights_of_any_facing();
        (0..360 / SECTOR_DEG)
            .filter_map(|sector| {
                let from = sector * SECTOR_DEG;
                (from..from + SECTOR_DEG)
                    .step_by(STEP_DEG as usize)
                    .map(|bearing| self.turn(f64::from(bearing), &nights))
                    .max_by(|a, b| {
                        let score = |turn: &BearingResult| turn.best_score.unwrap_or(0.0);
                        // The first of true equals.
                        a.nights
                            .cmp(&b.nights)
                            .then(score(a).total_cmp(&score(b)))
                            .then(b.bearing_deg.total_cmp(&a.bearing_deg))
                    })
                    .map(|best| BearingSector {
                        from_deg: f64::from(from),
                        to_deg: f64::from(from + SECTOR_DEG),
                        best,
                    })
            })
            .collect()
    }

    fn turn(&self, bearing_deg: f64, nights: &[(Night, AnyFacing)]) -> BearingResult {
        let rules = self.rules();
        let offset: Band = rules.get(&TARGET_OFFSET).unwrap_or(BESIDE_SUBJECT);
        let mut turned = rules.clone().with(&TARGET_OFFSET, offset);
        turned.facing = Facing::Bearing(bearing_deg);
        let planner = self.with_rules(&turned);
        let mut windows = parallel::flat_map(nights, NIGHTS_A_TASK, |(night, left)| {
            planner.night_windows_of(night, Some(left))
        });
        windows.retain(|window| window.score >= rules.min_score());
        // The first of true equals.
        let best = windows
            .iter()
            .rev()
            .max_by(|a, b| a.score.total_cmp(&b.score));
        let nights: BTreeSet<NaiveDate> = windows.iter().map(|window| window.night).collect();
        let from_left: BTreeSet<NaiveDate> = windows
            .iter()
            .filter(|window| window.lit().signed_light_angle_deg() < 0.0)
            .map(|window| window.night)
            .collect();
        BearingResult {
            bearing_deg,
            nights: nights.len(),
            best_score: best.map(|window| window.score),
            best_night: best.map(|window| window.night),
            nights_lit_from_left: from_left.len(),
        }
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        rule::{Brief, FROM_FACING, Rules},
        scene::{Camera, Dates, Site, Subject, SubjectPlace},
        search::{Season, Window, whole},
    };
    use chrono::Days;

    fn planner(latitude_deg: f64, given: &[(&str, &str)], days: u64) -> Planner {
        let mut site = Site::new(latitude_deg, 20.0).expect("a place");
        site.camera = Some(Camera {
            focal_mm: 20.0,
            ..Camera::default()
        });
        site.subject = Some(Subject {
            name: None,
            place: SubjectPlace::Bearing {
                bearing_deg: 150.0,
                distance_m: Some(60.0),
            },
            height_m: Some(8.0),
            width_m: Some(5.0),
            reflectance: None,
            reflectance_measured: None,
        });
        let mut brief = Brief::default();
        for (key, value) in given {
            brief.set(key, value).expect("a rule");
        }
        let rules = Rules::new(&brief, &site).expect("rules");
        let first = NaiveDate::from_ymd_opt(2027, 5, 20).expect("a date");
        let dates = Dates::new(first, first + Days::new(days)).expect("dates");
        Season::new(dates).planner(site, rules).expect("a planner")
    }

    #[test]
    fn each_bearing_has_the_nights_of_a_scan_that_faces_it() {
        let mut windows_seen = 0;
        for (latitude_deg, given) in [
            (-31.4, &[("light", "raking")][..]),
            (24.0, &[("light", "blend"), ("min_minutes", "30")]),
            (-5.0, &[("light", "dark"), ("framing", "one")]),
            (
                40.0,
                &[
                    ("light", "any"),
                    ("moon_in_frame", "no"),
                    ("min_score", "50"),
                ],
            ),
            (
                -50.0,
                &[
                    ("light", "raking"),
                    ("facing", "arch"),
                    ("light_side", "left"),
                ],
            ),
        ] {
            let planner = planner(latitude_deg, given, 20);
            for sector in planner.by_bearing() {
                let of = |bearing: u32| {
                    let rules = planner.rules();
                    let offset: Band = rules.get(&TARGET_OFFSET).unwrap_or(BESIDE_SUBJECT);
                    let mut turned = rules.clone().with(&TARGET_OFFSET, offset);
                    turned.facing = Facing::Bearing(f64::from(bearing));
                    planner.with_rules(&turned).windows()
                };
                let nights = |windows: &[Window]| {
                    let nights: BTreeSet<_> = windows.iter().map(|w| w.night).collect();
                    nights.len()
                };
                let best = sector.best;
                let windows = of(best.bearing_deg as u32);
                assert_eq!(best.nights, nights(&windows), "{given:?} {sector:?}");
                assert_eq!(best.best_night, windows.first().map(|w| w.night));
                match (best.best_score, windows.first()) {
                    (Some(score), Some(window)) => assert!((score - window.score).abs() < 1e-3),
                    (score, window) => assert!(score.is_none() && window.is_none()),
                }
                windows_seen += windows.len();
                let from = sector.from_deg as u32;
                if !from.is_multiple_of(120) {
                    continue;
                }
                let most = (from..from + SECTOR_DEG).step_by(STEP_DEG as usize);
                assert_eq!(most.map(|b| nights(&of(b))).max(), Some(best.nights));
            }
        }
        assert!(windows_seen > 100, "{windows_seen}");
    }

    /// The rules that are measured from the camera direction change with it, and
    /// no others do.
    #[test]
    fn the_rules_from_the_camera_direction_are_known() {
        let given = [
            ("light", "raking"),
            ("framing", "one"),
            ("moon_in_frame", "no"),
            ("target_azimuth", "100..250"),
            ("target_place", "beside:3"),
            ("target_offset", "-40..20"),
            ("arch_altitude", "20..80"),
            ("arch_offset", "-60..30"),
            ("tilt", "20..70"),
            ("light_side", "left"),
            ("clock", "20:00..04:00"),
            ("weekdays", "mon,tue,wed,thu,fri,sat"),
        ];
        let planner = planner(-31.4, &given, 12);
        let facing = |bearing_deg: f64| {
            let mut rules = planner.rules().clone();
            rules.facing = Facing::Bearing(bearing_deg);
            planner.with_rules(&rules)
        };
        let (one, other) = (facing(20.0), facing(230.0));
        let limits = one.constraints(one.rules());
        assert!(limits.len() > 12, "{limits:?}");
        for (a, b) in limits.iter().zip(other.constraints(other.rules())) {
            let differs = planner.nights().any(|night| {
                one.held(a, &night, &whole(&night)) != other.held(&b, &night, &whole(&night))
            });
            assert_eq!(differs, FROM_FACING.contains(&a.rule), "{:?}", a.rule);
        }
    }
}

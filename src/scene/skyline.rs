//! The skyline around a place.

use super::value_error::ValueError;
use crate::turn::in_one_turn;
use std::sync::Arc;

/// The altitude of the terrain over every azimuth: straight lines between the
/// points given, closed around north.
#[derive(Debug, Clone, PartialEq)]
pub struct Skyline {
    /// Azimuth from 0 below 360 and altitude, degrees, azimuths increasing.
    /// Shared by the views of a place.
    points: Arc<[(f64, f64)]>,
    steepest_slope: f64,
    highest_deg: f64,
}

/// See [`Skyline::steepest_slope`].
fn steepest_slope(points: &[(f64, f64)]) -> f64 {
    let next = points.iter().cycle().skip(1);
    let slopes = points.iter().zip(next).map(|(a, b)| slope(a, b).abs());
    slopes.fold(0.0, f64::max)
}

/// The slope of the line from one point on through east to another; a point alone
/// is level all around.
fn slope(from: &(f64, f64), to: &(f64, f64)) -> f64 {
    let width = in_one_turn(to.0 - from.0);
    if width > 0.0 {
        (to.1 - from.1) / width
    } else {
        0.0
    }
}

impl Skyline {
    /// The skyline through `points`: true azimuth (0 to 360) and altitude (-90
    /// to 90), degrees, in any order.
    ///
    /// # Errors
    ///
    /// No point at all, numbers out of range, and two altitudes for one azimuth
    /// (0 and 360 are one).
    ///
    /// # Example
    ///
    /// ```
    /// use rakelight::scene::Skyline;
    /// let skyline = Skyline::new([(90.0, 4.0), (350.0, 2.0)])?;
    /// assert_eq!(skyline.altitude_deg_at(40.0), 3.0);
    /// # Ok::<(), rakelight::scene::ValueError>(())
    /// ```
    pub fn new(points: impl IntoIterator<Item = (f64, f64)>) -> Result<Self, ValueError> {
        let mut sorted = Vec::new();
        for (azimuth_deg, altitude_deg) in points {
            let inside =
                (0.0..=360.0).contains(&azimuth_deg) && (-90.0..=90.0).contains(&altitude_deg);
            if !inside {
                let found = format!("{azimuth_deg}, {altitude_deg}");
                return Err(ValueError::new(
                    &found,
                    "an azimuth from 0 to 360 and an altitude from -90 to 90",
                ));
            }
            sorted.push((azimuth_deg.rem_euclid(360.0), altitude_deg));
        }
        sorted.sort_by(|a: &(f64, f64), b| a.0.total_cmp(&b.0));
        sorted.dedup();
        for pair in sorted.windows(2) {
            if let [(first, _), (second, _)] = pair
                && first == second
            {
                let found = format!("azimuth {first} twice");
                return Err(ValueError::new(&found, "one altitude for each azimuth")
                    .with_remedy("0 and 360 are one azimuth"));
            }
        }
        if sorted.is_empty() {
            return Err(ValueError::new("", "at least one point")
                .with_remedy("add a row, such as 0,5 for 5 degrees all around"));
        }
        let altitudes = sorted.iter().map(|point| point.1);
        Ok(Self {
            steepest_slope: steepest_slope(&sorted),
            highest_deg: altitudes.fold(f64::NEG_INFINITY, f64::max),
            points: sorted.into(),
        })
    }

    /// Its points: azimuth and altitude, degrees, by increasing azimuth.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// Altitude of the terrain at a true azimuth (any turn), degrees.
    pub fn altitude_deg_at(&self, azimuth_deg: f64) -> f64 {
        let azimuth = in_one_turn(azimuth_deg);
        let after = self.points.partition_point(|point| point.0 <= azimuth);
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return 0.0;
        };
        let before = after
            .checked_sub(1)
            .and_then(|index| self.points.get(index));
        let next = self.points.get(after).unwrap_or(first);
        let before = before.unwrap_or(last);
        let width = in_one_turn(next.0 - before.0);
        if width == 0.0 {
            return before.1;
        }
        let part = in_one_turn(azimuth - before.0) / width;
        before.1 + part * (next.1 - before.1)
    }

    /// The lowest and the highest altitude from one azimuth (any turn) on through
    /// east to another, degrees.
    pub(crate) fn altitudes_between(&self, from_deg: f64, to_deg: f64) -> [f64; 2] {
        let width = (to_deg - from_deg).min(360.0);
        let from = from_deg.rem_euclid(360.0);
        let first = self.points.partition_point(|point| point.0 <= from);
        // Once round from there, as long as they are within.
        let (before, after) = self.points.split_at(first);
        let within = after.iter().chain(before);
        let within = within.take_while(|point| (point.0 - from).rem_euclid(360.0) <= width);
        let ends = [from_deg, to_deg].map(|azimuth_deg| self.altitude_deg_at(azimuth_deg));
        let altitudes = within.map(|point| point.1).chain(ends);
        altitudes.fold(
            [f64::INFINITY, f64::NEG_INFINITY],
            |[low, high], altitude| [low.min(altitude), high.max(altitude)],
        )
    }

    /// The least and the greatest slope from one azimuth (any turn) on through
    /// east to another, degrees of altitude for each degree of azimuth.
    pub(crate) fn slopes_between(&self, from_deg: f64, to_deg: f64) -> [f64; 2] {
        let count = self.points.len();
        let from = in_one_turn(from_deg);
        let first = self.points.partition_point(|point| point.0 <= from);
        let slopes = (first..first + count).map_while(|index| {
            let before = self.points.get((index + count - 1) % count)?;
            let after = self.points.get(index % count)?;
            // The line that begins before the first azimuth counts as well.
            let begins = from_deg + in_one_turn(before.0 - from);
            (index == first || begins <= to_deg).then(|| slope(before, after))
        });
        slopes.fold(
            [f64::INFINITY, f64::NEG_INFINITY],
            |[least, most], slope| [least.min(slope), most.max(slope)],
        )
    }

    /// The steepest slope: degrees of altitude per degree of azimuth, without
    /// sign.
    pub fn steepest_slope(&self) -> f64 {
        self.steepest_slope
    }

    /// The highest altitude, degrees.
    pub fn highest_deg(&self) -> f64 {
        self.highest_deg
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_altitude_is_beyond_those_between_two_azimuths(
            points in proptest::collection::btree_map(0..360_i32, -5.0..40.0_f64, 1..30),
            from in -400.0..400.0_f64,
            width in 0.0..400.0_f64,
        ) {
            let points = points.into_iter().map(|(azimuth, altitude)| (azimuth.into(), altitude));
            let skyline = Skyline::new(points).expect("points");
            let [low, high] = skyline.altitudes_between(from, from + width);
            let mut seen = [f64::INFINITY, f64::NEG_INFINITY];
            for step in 0..=2000 {
                let azimuth = from + width * f64::from(step) / 2000.0;
                let altitude = skyline.altitude_deg_at(azimuth);
                prop_assert!(low - 1e-9 <= altitude && altitude <= high + 1e-9);
                seen = [seen[0].min(altitude), seen[1].max(altitude)];
            }
            // No wider than they are, but for what lies between two steps.
            let step = width / 2000.0 * skyline.steepest_slope() + 1e-9;
            prop_assert!(seen[0] - step <= low && high <= seen[1] + step);
            // The same of slopes.
            let [least, most] = skyline.slopes_between(from, from + width);
            for step in 0..2000 {
                let ends = [step, step + 1].map(|step| from + width * f64::from(step) / 2000.0);
                let [low, high] = ends.map(|azimuth| skyline.altitude_deg_at(azimuth));
                let turned = ends[1] - ends[0];
                let spare = 1e-9;
                prop_assert!(least * turned - spare <= high - low);
                prop_assert!(high - low <= most * turned + spare);
            }
        }
    }

    #[test]
    fn lines_run_between_the_points_and_around_north() {
        let skyline = Skyline::new([(90.0, 4.0), (350.0, 2.0), (180.0, 10.0)]).expect("points");
        assert_eq!(skyline.altitude_deg_at(90.0), 4.0);
        assert_eq!(skyline.altitude_deg_at(135.0), 7.0);
        assert_eq!(skyline.altitude_deg_at(40.0), 3.0);
        assert_eq!(skyline.altitude_deg_at(-320.0), 3.0);
        assert_eq!(skyline.altitude_deg_at(360.0), 2.2);
        assert!((skyline.steepest_slope() - 6.0 / 90.0).abs() < 1e-12);
        let level = Skyline::new([(10.0, 3.0)]).expect("a point");
        assert_eq!(
            (level.altitude_deg_at(200.0), level.steepest_slope()),
            (3.0, 0.0)
        );
        assert!(Skyline::new([(0.0, 1.0), (360.0, 1.0)]).is_ok());
        assert!(Skyline::new([(0.0, 1.0), (360.0, 2.0)]).is_err());
        assert!(Skyline::new([(0.0, f64::NAN)]).is_err());
    }

    proptest! {
        #[test]
        fn no_step_is_steeper_than_the_steepest_slope(
            points in proptest::collection::vec((0.0_f64..360.0, -10.0_f64..60.0), 1..20),
            azimuth in 0.0_f64..360.0,
        ) {
            let Ok(skyline) = Skyline::new(points) else { return Ok(()) };
            let step = 0.01;
            let rise = skyline.altitude_deg_at(azimuth + step) - skyline.altitude_deg_at(azimuth);
            prop_assert!(rise.abs() <= skyline.steepest_slope() * step + 1e-9);
        }
    }
}

//! What is in the frame.

use super::optics::Optics;

/// How the camera is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum Orientation {
    /// Long side level.
    #[default]
    Landscape,
    /// Long side upright.
    Portrait,
}

/// A direction in the sky or on the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pointing {
    /// True azimuth, degrees through east.
    pub azimuth_deg: f64,
    /// Apparent altitude, degrees.
    pub altitude_deg: f64,
}

/// A point in the frame.
///
/// In half frames from its centre: the edges are at -1 and 1.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct FramePosition {
    /// To the right.
    pub across: f64,
    /// Upward.
    pub up: f64,
}

impl FramePosition {
    /// Whether the point is in the frame, edges included.
    pub fn is_in_frame(&self) -> bool {
        self.across.abs() <= 1.0 && self.up.abs() <= 1.0
    }
}

impl Pointing {
    /// Direction from azimuth and altitude, degrees.
    pub fn new(azimuth_deg: f64, altitude_deg: f64) -> Self {
        Self {
            azimuth_deg,
            altitude_deg,
        }
    }

    /// The direction half way between two, along the great circle.
    ///
    /// `None` where they are opposite and no direction is between them.
    pub fn between(a: Self, b: Self) -> Option<Self> {
        let sum = add(a.unit(), b.unit());
        let [east, north, up] = sum;
        let length = dot(sum, sum).sqrt();
        (length > 1e-9).then(|| Self {
            azimuth_deg: east.atan2(north).to_degrees().rem_euclid(360.0),
            altitude_deg: up.atan2(east.hypot(north)).to_degrees(),
        })
    }

    /// The angle to another direction, degrees.
    pub fn separation_deg(&self, other: Self) -> f64 {
        let (a, b) = (self.unit(), other.unit());
        let across = add(a, b.map(|component| -component));
        let along = add(a, b);
        // Half the angle, from the rhombus of the two: exact for small ones.
        2.0 * dot(across, across)
            .sqrt()
            .atan2(dot(along, along).sqrt())
            .to_degrees()
    }

    /// The declination of what stands in this direction, degrees, at a
    /// latitude (degrees, north positive).
    ///
    /// # Source
    /// Spherical triangle of pole, zenith and star: sin dec = sin lat sin alt +
    /// cos lat cos alt cos az. The lift of the air is left out: under 0.6 deg,
    /// and only at the horizon.
    pub fn declination_deg(&self, latitude_deg: f64) -> f64 {
        let (sin_latitude, cos_latitude) = latitude_deg.to_radians().sin_cos();
        let [_, north, up] = self.unit();
        (sin_latitude * up + cos_latitude * north)
            .clamp(-1.0, 1.0)
            .asin()
            .to_degrees()
    }

    /// Unit vector: east, north, up.
    fn unit(&self) -> [f64; 3] {
        let (sin_azimuth, cos_azimuth) = self.azimuth_deg.to_radians().sin_cos();
        let (sin_altitude, cos_altitude) = self.altitude_deg.to_radians().sin_cos();
        [
            cos_altitude * sin_azimuth,
            cos_altitude * cos_azimuth,
            sin_altitude,
        ]
    }
}

/// A camera without roll, pointed somewhere through a rectilinear lens.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct View {
    pointing: Pointing,
    half_width_tan: f64,
    half_height_tan: f64,
}

impl View {
    /// The view of a lens at infinity.
    ///
    /// # Source
    /// Central projection: half the sensor over the focal length is the tangent
    /// of half the field. Fisheye lenses follow another law.
    pub fn new(optics: &Optics, orientation: Orientation, pointing: Pointing) -> Self {
        let half = |side_mm: f64| side_mm / (2.0 * optics.focal_mm());
        let (width_mm, height_mm) = match orientation {
            Orientation::Landscape => (optics.sensor_width_mm(), optics.sensor_height_mm()),
            Orientation::Portrait => (optics.sensor_height_mm(), optics.sensor_width_mm()),
        };
        Self {
            pointing,
            half_width_tan: half(width_mm),
            half_height_tan: half(height_mm),
        }
    }

    /// The part of the view that keeps away from each edge by a share of that
    /// side, 0 to 0.5.
    #[must_use]
    pub fn within_edges(self, share: f64) -> Self {
        let kept = 1.0 - 2.0 * share.clamp(0.0, 0.5);
        Self {
            half_width_tan: kept * self.half_width_tan,
            half_height_tan: kept * self.half_height_tan,
            ..self
        }
    }

    /// Field of view across, degrees.
    pub fn width_deg(&self) -> f64 {
        2.0 * self.half_width_tan.atan().to_degrees()
    }

    /// Field of view up and down, degrees.
    pub fn height_deg(&self) -> f64 {
        2.0 * self.half_height_tan.atan().to_degrees()
    }

    /// Field of view from corner to corner, degrees.
    pub fn diagonal_deg(&self) -> f64 {
        2.0 * self
            .half_width_tan
            .hypot(self.half_height_tan)
            .atan()
            .to_degrees()
    }

    /// Half the azimuth between the frame's side edges at an altitude, degrees
    /// of 0 to 180, as if the frame had no upper and lower edge.
    ///
    /// `None` where no direction of that altitude (degrees) is between them.
    /// With the pitch positive it grows with altitude, with the pitch negative
    /// it shrinks.
    ///
    /// # Source
    /// Central projection: with t the tangent of half the field, an edge is the
    /// plane cos a sin z = t (cos p cos a cos z + sin p sin a), which gives z =
    /// atan(t cos p) + asin(t tan a sin p / sqrt(1 + t^2 cos^2 p)).
    pub fn half_width_at_deg(&self, altitude_deg: f64) -> Option<f64> {
        let (sin_pitch, cos_pitch) = self.pointing.altitude_deg.to_radians().sin_cos();
        let level = self.half_width_tan * cos_pitch;
        let rise = self.half_width_tan * tangent(altitude_deg) * sin_pitch / level.hypot(1.0);
        let half = (level.atan() + rise.min(1.0).asin()).to_degrees();
        match rise {
            all if all >= 1.0 => Some(180.0),
            none if none < -1.0 => None,
            _ => Some(half).filter(|half| *half >= 0.0),
        }
    }

    /// Half the azimuth within which the frame reaches from one altitude to
    /// another (degrees, the lower first), degrees of 0 to 180.
    ///
    /// `None` where it does not even reach them straight ahead. All four edges
    /// count: away from its middle a frame's upper and lower edge bend.
    ///
    /// # Source
    /// Central projection: with h the tangent of half the height, the upper
    /// edge is the plane tan a (cos p - h sin p) = cos z (h cos p + sin p), the
    /// lower one the same with -h. Both sides are monotonic in a, so the two
    /// altitudes decide.
    pub fn half_width_between_deg(&self, lowest_deg: f64, highest_deg: f64) -> Option<f64> {
        let (sin_pitch, cos_pitch) = self.pointing.altitude_deg.to_radians().sin_cos();
        let mut half: f64 = 180.0;
        for altitude_deg in [lowest_deg, highest_deg] {
            half = half.min(self.half_width_at_deg(altitude_deg)?);
            for (side, tan) in [(1.0, self.half_height_tan), (-1.0, -self.half_height_tan)] {
                // Inside: high <= level cos z.
                let high = side * tangent(altitude_deg) * (cos_pitch - tan * sin_pitch);
                let level = side * (tan * cos_pitch + sin_pitch);
                if high > level {
                    return None;
                }
                if level > 0.0 {
                    half = half.min((high / level).max(-1.0).acos().to_degrees());
                }
            }
        }
        Some(half)
    }

    /// Where a direction falls, inside the frame or out.
    ///
    /// `None` at a right angle to the axis or behind the camera. Gnomonic
    /// projection.
    pub fn position(&self, of: Pointing) -> Option<FramePosition> {
        let (sin_azimuth, cos_azimuth) = self.pointing.azimuth_deg.to_radians().sin_cos();
        let (sin_pitch, cos_pitch) = self.pointing.altitude_deg.to_radians().sin_cos();
        let right = [cos_azimuth, -sin_azimuth, 0.0];
        let up = [
            -sin_pitch * sin_azimuth,
            -sin_pitch * cos_azimuth,
            cos_pitch,
        ];
        let unit = of.unit();
        let ahead = dot(unit, self.pointing.unit());
        (ahead > 1e-9).then(|| FramePosition {
            across: dot(unit, right) / ahead / self.half_width_tan,
            up: dot(unit, up) / ahead / self.half_height_tan,
        })
    }

    /// The direction that falls on a point of the frame, or of its plane
    /// outside: [`View::position`] turned round.
    pub fn direction(&self, of: FramePosition) -> Pointing {
        let (sin_azimuth, cos_azimuth) = self.pointing.azimuth_deg.to_radians().sin_cos();
        let (sin_pitch, cos_pitch) = self.pointing.altitude_deg.to_radians().sin_cos();
        let right = [cos_azimuth, -sin_azimuth, 0.0];
        let up = [
            -sin_pitch * sin_azimuth,
            -sin_pitch * cos_azimuth,
            cos_pitch,
        ];
        let scaled = |v: [f64; 3], by: f64| v.map(|component| component * by);
        let [east, north, height] = add(
            self.pointing.unit(),
            add(
                scaled(right, of.across * self.half_width_tan),
                scaled(up, of.up * self.half_height_tan),
            ),
        );
        Pointing {
            azimuth_deg: east.atan2(north).to_degrees().rem_euclid(360.0),
            altitude_deg: height.atan2(east.hypot(north)).to_degrees(),
        }
    }

    /// Whether a direction (target, subject, Moon) is in the frame.
    pub fn holds(&self, direction: Pointing) -> bool {
        self.position(direction)
            .is_some_and(|position| position.is_in_frame())
    }
}

/// The tangent of an altitude, degrees; finite at the zenith too.
fn tangent(altitude_deg: f64) -> f64 {
    const NEARLY_UP_DEG: f64 = 89.999_999;
    altitude_deg
        .clamp(-NEARLY_UP_DEG, NEARLY_UP_DEG)
        .to_radians()
        .tan()
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn position_and_direction_undo_each_other() {
        let optics = Optics::new(14.0, 2.8, [36.0, 24.0], 6.0).expect("a lens");
        for (azimuth, pitch) in [(128.0, 20.0), (0.0, 0.0), (350.0, 75.0)] {
            let view = View::new(
                &optics,
                Orientation::Landscape,
                Pointing::new(azimuth, pitch),
            );
            for (across, up) in [(0.0, 0.0), (-1.0, 1.0), (1.0, -1.0), (0.3, 0.9)] {
                let there = view.direction(FramePosition { across, up });
                let back = view.position(there).expect("ahead of the camera");
                assert_abs_diff_eq!(back.across, across, epsilon = 1e-9);
                assert_abs_diff_eq!(back.up, up, epsilon = 1e-9);
            }
        }
    }
}

//! Sectors of azimuths as margins.
//!
//! Everything is written on direction vectors in the local frame. A sector is a
//! wedge between two vertical planes, and the margin is the component
//! perpendicular to the nearer one: no arctangent, no seam at north, no special
//! case near the zenith.

use crate::{
    ephemeris::{Bounded, LocalVector, Reading, Sky},
    scene::{AzimuthBand, Band, Facing},
};

/// Where the camera looks, as a margin needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Bearing {
    /// East and north components of a fixed bearing.
    Fixed { east: f64, north: f64 },
    /// The target's own direction.
    Target,
    /// That of the arch's highest point.
    Arch,
}

impl Bearing {
    /// A fixed true bearing, degrees.
    pub fn fixed(bearing_deg: f64) -> Self {
        let (east, north) = bearing_deg.to_radians().sin_cos();
        Self::Fixed { east, north }
    }

    /// The direction that a facing means if the subject is at
    /// `subject_bearing_deg`.
    pub fn of(facing: Facing, subject_bearing_deg: Option<f64>) -> Self {
        match facing {
            Facing::Bearing(bearing) | Facing::Magnetic(bearing) => Self::fixed(bearing),
            Facing::Subject => subject_bearing_deg.map_or(Self::Target, Self::fixed),
            Facing::Target => Self::Target,
            Facing::Arch => Self::Arch,
        }
    }
}

/// Anything farther to the side than this is behind the camera, degrees.
pub(crate) const WIDEST_OFFSET_DEG: f64 = 90.0;

/// A sector of azimuths, clockwise from one vertical plane to another, measured
/// from some direction.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sector {
    /// Sine and cosine of its beginning.
    from: (f64, f64),
    /// Sine and cosine of its end.
    to: (f64, f64),
    /// Whether it is wider than a half circle.
    wide: bool,
    /// Whether it is the whole circle.
    whole: bool,
}

impl Sector {
    pub fn new(from_deg: f64, width_deg: f64) -> Self {
        Self {
            from: from_deg.to_radians().sin_cos(),
            to: (from_deg + width_deg).to_radians().sin_cos(),
            wide: width_deg > 180.0,
            whole: width_deg >= 360.0,
        }
    }

    /// From offsets, left negative, -180 to 180.
    pub fn of_offsets(band: Band) -> Self {
        let (low, high) = (band.low.max(-180.0), band.high.min(180.0));
        Self::new(low, high - low)
    }

    pub fn of_azimuths(band: AzimuthBand) -> Self {
        Self::new(band.from_deg, band.width_deg)
    }

    /// The margin of a direction whose sine and cosine relative to the
    /// sector's zero are given, both times the same positive length.
    #[inline]
    pub fn read(
        self,
        sine: Bounded,
        cosine: Bounded,
        bound: impl Fn(Bounded) -> Bounded,
    ) -> Reading {
        if self.whole {
            return Reading::constant(1.0);
        }
        let past = |(s, c): (f64, f64)| bound(sine * c - cosine * s).reading();
        let after_start = past(self.from);
        let before_end = past(self.to).negated();
        if self.wide {
            after_start.or(before_end)
        } else {
            after_start.and(before_end)
        }
    }
}

/// Bounds for a combination `sine * a + cosine * b` with `a2 + b2 = 1` of the
/// horizontal components of a unit vector: it is itself such a component.
pub(crate) fn as_component_of(vector: LocalVector) -> impl Fn(Bounded) -> Bounded {
    move |combination| Bounded {
        slack: vector.east.slack,
        most: vector.east.most,
        fastest: vector.east.fastest,
        sharpest: vector.east.sharpest,
        ..combination
    }
}

/// The margin of a body's azimuth in sectors measured from a direction.
pub(crate) fn around(
    direction: Bearing,
    sectors: &[Sector],
    sky: &Sky<'_>,
    t: f64,
    body: LocalVector,
) -> Reading {
    match direction {
        // The camera follows the body itself, which so stands straight ahead.
        Bearing::Target if sky.target_is_moon() && is_target(sky, t, body) => any_of(
            sectors,
            Bounded::constant(0.0),
            Bounded::constant(1.0),
            |combination| combination,
        ),
        Bearing::Fixed { east, north } => {
            let sine = body.east * north - body.north * east;
            let cosine = body.east * east + body.north * north;
            any_of(sectors, sine, cosine, as_component_of(body))
        }
        Bearing::Target | Bearing::Arch => around_moving(direction, sectors, sky, t, body),
    }
}

/// Whether a body is the target.
fn is_target(sky: &Sky<'_>, t: f64, body: LocalVector) -> bool {
    let target = sky.target(t);
    target.east.value == body.east.value && target.north.value == body.north.value
}

/// The same, with bounds from the products alone.
pub(crate) fn around_moving(
    direction: Bearing,
    sectors: &[Sector],
    sky: &Sky<'_>,
    t: f64,
    body: LocalVector,
) -> Reading {
    let (east, north) = match direction {
        Bearing::Fixed { east, north } => (Bounded::constant(east), Bounded::constant(north)),
        Bearing::Target => {
            let target = sky.target(t);
            (target.east, target.north)
        }
        Bearing::Arch => {
            // The highest point is opposite the galactic pole that is above the
            // horizon. The factor of the pole's height makes the product go
            // through zero where the arch passes the zenith and its highest
            // point jumps to the other side.
            let pole = sky.galactic_pole(t);
            (-(pole.up * pole.east), -(pole.up * pole.north))
        }
    };
    let sine = body.east * north - body.north * east;
    let cosine = body.east * east + body.north * north;
    any_of(sectors, sine, cosine, |combination| combination)
}

fn any_of(
    sectors: &[Sector],
    sine: Bounded,
    cosine: Bounded,
    bound: impl Fn(Bounded) -> Bounded,
) -> Reading {
    sectors
        .iter()
        .map(|sector| sector.read(sine, cosine, &bound))
        .reduce(Reading::or)
        .unwrap_or(Reading::constant(-1.0))
}

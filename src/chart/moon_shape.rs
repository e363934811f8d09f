//! The shape of the Moon's disc: limb, lit part and the edge of the umbra.

use crate::ephemeris::UmbraOnDisc;

/// Points along half the limb.
const STEPS: i32 = 48;

/// A point in radii of the disc from its middle: to the right, and up.
pub type OnDisc = (f64, f64);

/// The limb.
pub fn limb() -> Vec<OnDisc> {
    circle((0.0, 0.0), 1.0)
}

/// The lit part of a disc whose bright limb is turned clockwise from straight
/// up, degrees: its bright half and half an ellipse.
///
/// The terminator is a great circle seen at the phase angle i: half an ellipse
/// with the semi-axis cos i, so the lit part of the disc is (1 + cos i) / 2.
pub fn lit_part(illuminated_fraction: f64, bright_limb_deg: f64) -> Vec<OnDisc> {
    let bulge = (2.0 * illuminated_fraction - 1.0).clamp(-1.0, 1.0);
    let (sin, cos) = bright_limb_deg.to_radians().sin_cos();
    let angle = |step: i32| f64::from(step) / f64::from(STEPS) * std::f64::consts::PI;
    let outer = (0..=STEPS).map(|step| (-angle(step).cos(), angle(step).sin()));
    let inner = (0..=STEPS).map(|step| (angle(step).cos(), -bulge * angle(step).sin()));
    // Upward is the bright limb: turned clockwise with it.
    let turned = |(right, up): OnDisc| (right * cos + up * sin, up * cos - right * sin);
    outer.chain(inner).map(turned).collect()
}

/// The umbra.
pub fn umbra(umbra: &UmbraOnDisc) -> Vec<OnDisc> {
    let (sin, cos) = umbra.from_zenith_deg.to_radians().sin_cos();
    circle((umbra.distance * sin, umbra.distance * cos), umbra.radius)
}

fn circle((right, up): OnDisc, radius: f64) -> Vec<OnDisc> {
    let steps = 3 * STEPS;
    (0..steps)
        .map(|step| f64::from(step) / f64::from(steps) * std::f64::consts::TAU)
        .map(|angle| (right + radius * angle.cos(), up + radius * angle.sin()))
        .collect()
}

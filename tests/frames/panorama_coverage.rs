//! Panoramas without a hole: plans against a projection written here.

use approx::assert_abs_diff_eq as near;
use proptest::prelude::*;
use rakelight::light::{Optics, Orientation, Panorama, Pointing, View, panorama::PanoramaSpan};

type Vector = [f64; 3];

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// East, north, up.
fn unit(azimuth_deg: f64, altitude_deg: f64) -> Vector {
    let (azimuth, altitude) = (azimuth_deg.to_radians(), altitude_deg.to_radians());
    [
        azimuth.sin() * altitude.cos(),
        azimuth.cos() * altitude.cos(),
        altitude.sin(),
    ]
}

/// A camera without roll: its axis, what is right and up of it, and half its
/// sensor over its focal length.
struct Frame {
    axis: Vector,
    right: Vector,
    up: Vector,
    half: [f64; 2],
}

impl Frame {
    fn new(azimuth_deg: f64, pitch_deg: f64, half: [f64; 2]) -> Self {
        let axis = unit(azimuth_deg, pitch_deg);
        // Level, and a right angle clockwise of the axis.
        let right = unit(azimuth_deg + 90.0, 0.0);
        Self {
            axis,
            right,
            up: cross(right, axis),
            half,
        }
    }

    fn holds(&self, direction: Vector) -> bool {
        let ahead = dot(direction, self.axis);
        let hair = 1e-9;
        ahead > 0.0
            && dot(direction, self.right).abs() <= self.half[0] * ahead + hair
            && dot(direction, self.up).abs() <= self.half[1] * ahead + hair
    }
}

fn half(sensor_mm: [f64; 2], focal_mm: f64, orientation: Orientation) -> [f64; 2] {
    let [width, height] = sensor_mm.map(|side| 0.5 * side / focal_mm);
    match orientation {
        Orientation::Landscape => [width, height],
        Orientation::Portrait => [height, width],
    }
}

fn frames(plan: &Panorama, half: [f64; 2]) -> Vec<Frame> {
    plan.pitches_deg()
        .flat_map(|pitch| plan.offsets_deg().map(move |offset| (offset, pitch)))
        .map(|(offset, pitch)| Frame::new(offset, pitch, half))
        .collect()
}

/// Azimuth that a frame spans at an altitude without a break, degrees: outward
/// in small steps, then by bisection.
fn spanned_deg(frame: &Frame, altitude_deg: f64) -> f64 {
    let inside = |azimuth| {
        let direction = unit(azimuth, altitude_deg);
        let ahead = dot(direction, frame.axis);
        ahead > 0.0 && dot(direction, frame.right).abs() <= frame.half[0] * ahead
    };
    let mut steps = (0..=3600).map(|step| 0.05 * f64::from(step));
    let Some(mut high) = steps.find(|azimuth| !inside(*azimuth)) else {
        return 360.0;
    };
    let mut low = (high - 0.05f64).max(0.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if inside(middle) {
            low = middle
        } else {
            high = middle
        }
    }
    2.0 * low
}

/// 14 mm upright, pitched 42.1 degrees: a frame spans 64.9 degrees of the
/// horizon and not 109, so with 30 % overlap the camera turns by 45.4.
#[test]
fn a_pitched_frame_spans_less_of_the_horizon() {
    let optics = Optics::new(14.0, 2.8, [36.0, 24.0], 6.0).unwrap();
    let own = half([36.0, 24.0], 14.0, Orientation::Portrait);
    let spanned = spanned_deg(&Frame::new(0.0, 42.1, own), 0.0);
    near!(spanned, 64.9, epsilon = 0.05);
    let view = View::new(&optics, Orientation::Portrait, Pointing::new(0.0, 42.1));
    near!(
        2.0 * view.half_width_at_deg(0.0).unwrap(),
        spanned,
        epsilon = 1e-9
    );
    let span = PanoramaSpan {
        width_deg: 200.0,
        height_deg: 84.2,
        bottom_deg: 0.0,
    };
    let plan = Panorama::cover(&optics, Orientation::Portrait, &span, 0.3).unwrap();
    assert_eq!(plan.rows, 1);
    near!(plan.lowest_pitch_deg, 42.1, epsilon = 1e-9);
    near!(plan.yaw_step_deg, 45.4, epsilon = 0.05);
}

#[test]
fn the_width_of_a_frame_is_that_of_its_edges() {
    let optics = Optics::new(20.0, 2.8, [36.0, 24.0], 6.0).unwrap();
    let own = half([36.0, 24.0], 20.0, Orientation::Landscape);
    for pitch in [-70.0, -20.0, 0.0, 15.0, 48.0, 80.0] {
        let pointing = Pointing::new(0.0, pitch);
        let view = View::new(&optics, Orientation::Landscape, pointing);
        let frame = Frame::new(0.0, pitch, own);
        for altitude in [-50.0, -10.0, 0.0, 25.0, 60.0, 85.0] {
            let spanned = spanned_deg(&frame, altitude);
            match view.half_width_at_deg(altitude) {
                Some(half) => near!(2.0 * half, spanned, epsilon = 1e-6),
                None => near!(spanned, 0.0, epsilon = 1e-6),
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_direction_is_left_out(
        focal_mm in 6.0..70.0f64,
        width_mm in 13.0..44.0f64,
        aspect in 1.0..1.8f64,
        upright in any::<bool>(),
        width_deg in 0.0..=360.0f64,
        height_deg in 0.0..=150.0f64,
        bottom_deg in -90.0..=80.0f64,
        from_horizon in any::<bool>(),
        overlap in 0.0..0.6f64,
    ) {
        let sensor_mm = [width_mm, width_mm / aspect];
        let optics = Optics::new(focal_mm, 2.8, sensor_mm, 6.0).unwrap();
        let orientation = if upright { Orientation::Portrait } else { Orientation::Landscape };
        let bottom_deg = if from_horizon { -10.0 } else { bottom_deg };
        let span = PanoramaSpan { width_deg, height_deg, bottom_deg };
        let plan = Panorama::cover(&optics, orientation, &span, overlap).unwrap();
        let own = half(sensor_mm, focal_mm, orientation);
        let frames = frames(&plan, own);
        prop_assert_eq!(frames.len() as u64, plan.frames());
        let top_deg = (bottom_deg + height_deg).min(90.0);
        let (across, up) = (60, 24);
        for i in 0..=across {
            let azimuth = width_deg * (f64::from(i) / f64::from(across) - 0.5);
            for j in 0..=up {
                let altitude = bottom_deg + (top_deg - bottom_deg) * f64::from(j) / f64::from(up);
                let direction = unit(azimuth, altitude);
                prop_assert!(
                    frames.iter().any(|frame| frame.holds(direction)),
                    "{azimuth} {altitude} {plan:?}"
                );
            }
        }
        // Half-way between two frames, where the holes were.
        let halves: Vec<f64> = plan.offsets_deg().map(|offset| offset + 0.5 * plan.yaw_step_deg)
            .filter(|azimuth| azimuth.abs() <= 0.5 * width_deg).collect();
        for azimuth in halves {
            for j in 0..=up {
                let altitude = bottom_deg + (top_deg - bottom_deg) * f64::from(j) / f64::from(up);
                let direction = unit(azimuth, altitude);
                prop_assert!(frames.iter().any(|frame| frame.holds(direction)));
            }
        }
        // Neighbours overlap on the horizon as asked.
        if bottom_deg <= 0.0 && top_deg >= 0.0 && plan.frames_per_row > 1 {
            let rows: Vec<f64> = plan.pitches_deg().collect();
            let half_row = 0.5 * (top_deg - bottom_deg) / f64::from(plan.rows);
            let row = rows.iter().find(|pitch| pitch.abs() <= half_row + 1e-9).unwrap();
            let spanned = spanned_deg(&Frame::new(0.0, *row, own), 0.0);
            prop_assert!(plan.yaw_step_deg <= (1.0 - overlap) * spanned + 1e-6);
        }
        // Rows that lie nearly on each other would be frames for nothing.
        let field_deg = 2.0 * own[1].atan().to_degrees();
        prop_assert!(
            plan.rows == 1 || plan.pitch_step_deg > 0.25 * field_deg * (1.0 - overlap),
            "{plan:?}"
        );
    }
}

//! Where directions fall in the frame, against OpenCV
//! (`tests/reference/camera_frame.csv`).

use crate::common;

use common::{Row, rows, spread};
use rakelight::light::{Optics, Orientation, Pointing, View};

/// Half frames within which two projections in double precision may differ.
const TOLERANCE: f64 = 1e-6;

fn view(row: &Row) -> View {
    let sensor_mm = ["sensor_width_mm", "sensor_height_mm"].map(|side| row.number(side));
    // Aperture and pixel size do not matter to the frame.
    let optics = Optics::new(row.number("focal_mm"), 2.8, sensor_mm, 4.0).expect("a lens");
    let orientation = match row.text("holding") {
        "landscape" => Orientation::Landscape,
        "portrait" => Orientation::Portrait,
        other => panic!("no way to hold a camera: {other}"),
    };
    let axis = Pointing::new(row.number("bearing_deg"), row.number("pitch_deg"));
    View::new(&optics, orientation, axis)
}

#[test]
fn directions_fall_where_opencv_puts_them() {
    let (mut across, mut up, mut behind, mut checked) = (Vec::new(), Vec::new(), 0, [0, 0]);
    for row in rows("camera_frame.csv") {
        let direction = Pointing::new(row.number("azimuth_deg"), row.number("altitude_deg"));
        let view = view(&row);
        let position = view.position(direction);
        let ahead = row.text("ahead") == "true";
        assert_eq!(position.is_some(), ahead, "{direction:?} from {view:?}");
        let inside = row.text("inside") == "true";
        let Some(position) = position else {
            behind += 1;
            assert!(!view.holds(direction), "{direction:?} from {view:?}");
            continue;
        };
        let theirs = ["across", "up"].map(|side| row.number(side));
        across.push(position.across - theirs[0]);
        up.push(position.up - theirs[1]);
        let is_near_edge = |side: f64| (side.abs() - 1.0).abs() < TOLERANCE;
        if !theirs.into_iter().any(is_near_edge) {
            assert_eq!(view.holds(direction), inside, "{direction:?} from {view:?}");
            checked[usize::from(inside)] += 1;
        }
    }
    spread(
        "across the frame",
        "half frames",
        &across,
        TOLERANCE,
        TOLERANCE,
    );
    spread("up the frame", "half frames", &up, TOLERANCE, TOLERANCE);
    assert!(behind >= 50 && checked.iter().all(|count| *count >= 200));
}
